// Sections that several pages share.
#pragma once
#include <initializer_list>
#include <string_view>
#include <vector>

#include "firmus/result.hpp"
#include "html.hpp"
#include "report/words.hpp"

namespace firmus::page {

/// One part of the summary, as add_blocks writes it, with headings of level 2.
void add_summary_part(Html& html, const Result& result, report::SummaryPart part);

/// Blocks of text: labelled ones as a definition list, lines as headings of `level`, items as a list, paragraphs.
void add_blocks(Html& html, const std::vector<report::SummaryBlock>& blocks, int level);

/// The labelled blocks of several parts of the summary, as one definition list.
void add_facts_of(Html& html, const Result& result, std::initializer_list<report::SummaryPart> parts);

/// The headline of the summary.
void add_headline(Html& html, const Result& result);

/// The pictures of a take, each under a heading of `level`, with a caption that explains how to read it.
void add_pictures(Html& html, const Result& result, std::string_view picture, std::string_view prefix, int level);

/// Warnings, level, noise and format of the recording.
void add_recording_facts(Html& html, const Result& result);

/// The cautions that every page ends with.
void add_caution_footer(Html& html);

}  // namespace firmus::page
