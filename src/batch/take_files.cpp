#include "take_files.hpp"

#include "firmus/page.hpp"
#include "firmus/picture.hpp"
#include "firmus/report.hpp"

namespace firmus::batch {

std::vector<std::string> take_file_names(const std::string& stem) {
  return {stem + ".json", stem + ".notes.csv", stem + ".habits.csv", stem + ".txt", stem + ".svg", stem + ".html"};
}

std::vector<std::string> take_file_contents(const Result& result, std::string_view next) {
  const std::string picture = take_picture(result);
  return {as_json(result) + "\n", notes_csv_header() + notes_csv_rows(result),
          habits_csv(result),     as_text(result, Colour::never, next),
          as_svg_file(picture),   take_page(result, picture, next)};
}

}  // namespace firmus::batch
