// Parts that several pages have.
#pragma once
#include <initializer_list>
#include <string_view>
#include <vector>

#include "firmus/result.hpp"
#include "html.hpp"
#include "report/words.hpp"

namespace firmus::page {

/// The words of one part of the summary: labels and texts, headings with their items, paragraphs.
void add_summary_part(Html& html, const Result& result, report::SummaryPart part);

/// Labels and texts, headings of `level` with their items, paragraphs.
void add_blocks(Html& html, const std::vector<report::SummaryBlock>& blocks, int level);

/// The labels and texts of several parts, as one list.
void add_facts_of(Html& html, const Result& result, std::initializer_list<report::SummaryPart> parts);

/// The headline, large.
void add_headline(Html& html, const Result& result);

/// The pictures of a take, each under a heading of `level` that tells how to read it.
void add_pictures(Html& html, const Result& result, std::string_view picture, std::string_view prefix, int level);

/// Level, noise and what is wrong with it.
void add_recording_facts(Html& html, const Result& result);

/// The caution that every mark and measurement has.
void add_caution_footer(Html& html);

}  // namespace firmus::page
