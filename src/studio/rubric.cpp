#include "rubric.hpp"

#include <fmt/format.h>

namespace firmus {
namespace studio {
namespace {

constexpr double most_points = 1000;   // of a note; more must be a typing error
constexpr double widest_cents = 1200;  // an error above 100 makes it another note in any band

Band band_in(const JsonIn& in, Diagnostics& problems) {
  Band band{-1, 0};
  StrictObject object(in, {"within_cents", "points"}, problems);
  for (const std::string_view key : {"within_cents", "points"})
    if (!object.has(key)) in.reject(fmt::format("lacks \"{}\"", key), "write {\"within_cents\": 25, \"points\": 1}");
  object.read_number("within_cents", 0, widest_cents, band.within_cents);
  object.read_number("points", 0, most_points, band.points);
  return band;
}

std::vector<Band> bands_in(const JsonIn& in, Diagnostics& problems) {
  constexpr std::size_t most_bands = 20;
  if (in.size() == 0 || in.size() > most_bands) in.reject("has no band, or too many", "give 1 to 20 bands");
  std::vector<Band> bands;
  for (std::size_t i = 0; i < in.size(); ++i) {
    const Band band = band_in(in.item(i), problems);
    if (band.within_cents < 0) continue;  // reported already
    if (i == 0 && band.points <= 0) in.item(i).reject("gives no points", "the first band gives the most points");
    if (!bands.empty() && band.within_cents <= bands.back().within_cents)
      in.item(i).reject(
          fmt::format("ends at {:g} cents, the band before it at {:g}", band.within_cents, bands.back().within_cents),
          "let the bands rise");
    if (!bands.empty() && band.points > bands.back().points)
      in.item(i).reject("gives more points than the band before it", "let the points fall");
    bands.push_back(band);
  }
  return bands;
}

}  // namespace

Rubric rubric_in(const JsonIn& in, Diagnostics& problems) {
  Rubric rubric;
  StrictObject object(in, {"bands", "missing", "extra", "other_note", "least_judged_share", "pass_percent", "round"},
                      problems);
  object.read("bands", [&](const JsonIn& bands) {
    std::vector<Band> read = bands_in(bands, problems);
    if (!read.empty()) rubric.bands = std::move(read);
  });
  object.read_number("missing", -most_points, 0, rubric.missing);
  object.read_number("extra", -most_points, 0, rubric.extra);
  object.read_number("other_note", -most_points, 0, rubric.other_note);
  object.read_number("least_judged_share", 0, 1, rubric.least_judged_share);
  object.read_number("pass_percent", 0, 100, rubric.pass_percent);
  object.read("round", [&](const JsonIn& in_round) {
    StrictObject round(in_round, {"points", "standings"}, problems);
    round.read_flag("points", rubric.round_points);
    round.read_flag("standings", rubric.round_standings);
  });
  return rubric;
}

}  // namespace studio

Rubric read_rubric(std::string_view json, const std::string& file) {
  Diagnostics problems(file, "error");
  const JsonSource source(json, file, "give a rubric, such as {\"pass_percent\": 60}");
  Rubric rubric = studio::rubric_in(JsonIn(source), problems);
  problems.throw_if_any();
  return rubric;
}

}  // namespace firmus
