// XML from memory, read without entities of its own.
#pragma once
#include <pugixml.hpp>
#include <string>
#include <string_view>

namespace firmus::score {

/// A document type is passed over, as most scores have one; one that declares entities is refused, since entities can
/// name other files or grow without limit. Throws InputError for damaged XML.
void load_xml(pugi::xml_document& document, std::string_view bytes, const std::string& file);

/// The text of a child element without white space around it; empty where there is none.
std::string_view child_text(const pugi::xml_node& node, const char* name);
bool has_child(const pugi::xml_node& node, const char* name);
/// Whether an attribute says "yes".
bool says_yes(const pugi::xml_node& node, const char* name);

}  // namespace firmus::score
