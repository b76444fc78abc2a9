// Whatever the bytes: read_result returns a result or throws InputError with one problem; a result can be written in
// every form, and what it writes as JSON reads back as the same JSON and the same summary.
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "firmus/read_result.hpp"
#include "firmus/report.hpp"

namespace {

void require(bool holds) {
  if (!holds) std::abort();
}

void check_reads_back(const firmus::Result& result) {
  const std::string json = firmus::as_json(result);
  const firmus::Result again = firmus::read_result(json, "again");
  require(firmus::as_json(again) == json);
  require(firmus::notes_csv_rows(again) == firmus::notes_csv_rows(result));
  require(firmus::habits_csv(again) == firmus::habits_csv(result));
  const firmus::Result third = firmus::read_result(firmus::as_json(again), "third");
  const auto text = [](const firmus::Result& r) { return firmus::as_text(r, firmus::Colour::never, "next"); };
  require(text(third) == text(again));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  try {
    check_reads_back(firmus::read_result({reinterpret_cast<const char*>(data), size}, "fuzz"));
  } catch (const firmus::InputError& error) {
    require(error.problems().size() == 1);
    require(to_line(error.problems()[0]).size() < 2000);
  }
  return 0;
}
