#include "page_check.hpp"

#include <map>

#include "drawn.hpp"

namespace firmus::page {
namespace {

using Faults = std::vector<std::string>;

void check_headings(const pugi::xml_document& page, Faults& faults) {
  int before = 0, first = 0;
  for (const auto& found : page.select_nodes("//h1|//h2|//h3|//h4")) {
    const int level = found.node().name()[1] - '0';
    if (level == 1) ++first;
    if (level > before + 1) faults.push_back(std::string("heading jumps: ") + found.node().text().as_string());
    before = level;
  }
  if (first != 1) faults.push_back("not one h1");
}

void check_ids(const pugi::xml_document& page, Faults& faults) {
  std::map<std::string, int> ids;
  for (const auto& found : page.select_nodes("//*[@id]")) ++ids[found.node().attribute("id").as_string()];
  for (const auto& [id, count] : ids)
    if (count > 1) faults.push_back("id twice: " + id);
}

void check_pictures(const pugi::xml_document& page, Faults& faults) {
  for (const auto& found : page.select_nodes("//svg[not(@aria-hidden)]")) {
    const auto svg = found.node();
    if (svg.attribute("role").as_string() != std::string("img") || !svg.child("title").text() ||
        !svg.child("desc").text())
      faults.push_back("a picture without a text alternative");
  }
}

void check_tables(const pugi::xml_document& page, Faults& faults) {
  for (const auto& found : page.select_nodes("//table")) {
    const auto table = found.node();
    if (!table.child("caption").text()) faults.push_back("a table without a caption");
    const auto heads = table.select_nodes("thead/tr/th[@scope='col']").size();
    for (const auto& row : table.select_nodes("tbody/tr"))
      if (row.node().select_nodes("th|td").size() != heads || row.node().select_nodes("th[@scope='row']").size() != 1)
        faults.push_back("a row that does not fit its heads");
  }
}

void check_nothing_is_fetched(const std::string& html, const pugi::xml_document& page, Faults& faults) {
  for (const char* path : {"//script[@src]", "//link", "//img", "//iframe", "//object", "//embed", "//image", "//use"})
    if (page.select_node(path)) faults.push_back(std::string("fetches: ") + path);
  for (const char* words : {"url(", "@import", "javascript:", " onload=", " onclick="})
    if (html.find(words) != std::string::npos) faults.push_back(std::string("fetches or runs: ") + words);
  const auto policy = page.select_node("//meta[@http-equiv='Content-Security-Policy']").node();
  if (std::string(policy.attribute("content").as_string()).find("default-src 'none'") == std::string::npos)
    faults.push_back("no policy that forbids fetching");
}

}  // namespace

std::vector<std::string> faults_of(const std::string& html) {
  Faults faults;
  pugi::xml_document page;
  try {
    page = drawn::parsed(html);
  } catch (const std::exception& error) {
    return {error.what()};
  }
  const auto root = page.child("html");
  if (!html.starts_with("<!DOCTYPE html>\n")) faults.push_back("no doctype");
  if (root.attribute("lang").as_string() != std::string("en")) faults.push_back("no language");
  if (!root.child("head").child("title").text()) faults.push_back("no title");
  if (root.child("body").select_nodes("main").size() != 1) faults.push_back("not one main");
  check_headings(page, faults);
  check_ids(page, faults);
  check_pictures(page, faults);
  check_tables(page, faults);
  check_nothing_is_fetched(html, page, faults);
  return faults;
}

}  // namespace firmus::page
