#include "page_sections.hpp"

#include <fmt/format.h>

#include "firmus/picture.hpp"
#include "firmus/report.hpp"

namespace firmus::page {
namespace {

using report::SummaryBlock;
using report::SummaryPart;
using LabelledTexts = std::vector<std::pair<std::string, std::string>>;

std::string percent_of(double share) {
  return fmt::format("{:.1f} %", 100 * share);
}

std::string take_picture_caption(const Result& result) {
  if (!result.melody)
    return "The black line is the sung pitch, the thin steps are the notes it is nearest to, moved to the pitch of the "
           "take.";
  const bool concert = result.settings.reference == Reference::concert;
  return fmt::format(
      "The black line is the sung pitch; the thin steps are the written notes, {}. The shaded band is {:g} cents "
      "either "
      "way. Triangles tell which notes are off: up is sharp, down is flat.",
      concert ? "at concert pitch" : "in your key", result.settings.tolerance_cents);
}

}  // namespace

void add_summary_part(Html& html, const Result& result, SummaryPart part) {
  add_blocks(html, report::summary_part(result, part), 2);
}

void add_blocks(Html& html, const std::vector<SummaryBlock>& blocks, int level) {
  LabelledTexts facts;
  std::vector<std::string> items;
  const auto flush = [&] {
    html.facts(facts);
    html.list(items);
    facts.clear();
    items.clear();
  };
  for (const SummaryBlock& block : blocks) {
    switch (block.kind) {
      case SummaryBlock::Kind::labelled:
        facts.emplace_back(block.label, block.text);
        break;
      case SummaryBlock::Kind::item:
        items.push_back(block.text);
        break;
      case SummaryBlock::Kind::line:
        flush();
        html.heading(level, block.text);
        break;
      case SummaryBlock::Kind::paragraph:
        flush();
        html.text("p", block.text);
        break;
      case SummaryBlock::Kind::gap:
        break;
    }
  }
  flush();
}

void add_facts_of(Html& html, const Result& result, std::initializer_list<SummaryPart> parts) {
  LabelledTexts facts;
  for (const SummaryPart part : parts)
    for (const SummaryBlock& block : report::summary_part(result, part))
      if (block.kind == SummaryBlock::Kind::labelled) facts.emplace_back(block.label, block.text);
  html.facts(facts);
}

void add_headline(Html& html, const Result& result) {
  bool first = true;
  for (const SummaryBlock& block : report::summary_part(result, SummaryPart::headline)) {
    if (block.kind == SummaryBlock::Kind::gap) continue;
    html.text(first ? "p.lead" : "p", block.label.empty() ? block.text : block.label + ": " + block.text);
    first = false;
  }
}

void add_pictures(Html& html, const Result& result, std::string_view picture, std::string_view prefix, int level) {
  if (!picture.empty()) {
    html.heading(level, "Pitch over time");
    add_figure(html, picture, prefix, take_picture_caption(result));
  }
  if (const std::string cents = cents_picture(result); !cents.empty()) {
    html.heading(level, "Each note: sharp or flat");
    add_figure(
        html, cents, prefix,
        "A note is called sharp or flat only if it is clearly outside the grey band: by more than its whisker, one "
        "standard error.");
  }
  if (const std::string tendencies = tendency_picture(result); !tendencies.empty()) {
    html.heading(level, "Recurring problems");
    add_figure(
        html, tendencies, prefix,
        "How sharp or flat each group of notes is against the rest; the bar shows how sure that is (95 % interval).");
  }
}

void add_recording_facts(Html& html, const Result& result) {
  const SignalQuality& signal_quality = result.signal_quality;
  LabelledTexts facts;
  for (const RecordingWarning& warning : signal_quality.warnings)
    facts.emplace_back("Warning", warning.detail + "; " + warning.advice);
  facts.emplace_back("Level",
                     fmt::format("{:.0f} dB below full scale, in its loud part", -signal_quality.level_dbfs + 0.0));
  if (signal_quality.snr_db)
    facts.emplace_back("Signal above background", fmt::format("{:.0f} dB", *signal_quality.snr_db));
  facts.emplace_back("Distorted", percent_of(signal_quality.clipped_share));
  if (result.take.sample_rate_hz)
    facts.emplace_back("Sound", fmt::format("{} Hz, {}", *result.take.sample_rate_hz,
                                            report::counted(result.take.channels.value_or(1), "channel")));
  html.facts(facts);
}

void add_caution_footer(Html& html) {
  html.begin("footer");
  html.text("p", fmt::format("{} {}", report::teacher_judges, report::teacher_stands));
  html.text("p", report::stop_at_pain);
  html.end("footer");
}

}  // namespace firmus::page
