#include "../../../src/cli/takes.hpp"

#include <doctest/doctest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "../../../src/cli/exit_status.hpp"
#include "firmus/error.hpp"

using namespace firmus;
using namespace firmus::cli;
namespace fs = std::filesystem;

namespace {

/// A temporary folder, removed by the destructor.
struct Scratch {
  fs::path path = fs::temp_directory_path() / ("firmus-cli-" + std::to_string(::getpid()));
  Scratch() { fs::create_directories(path); }
  ~Scratch() { fs::remove_all(path); }
  std::string file(const std::string& name) const { return (path / name).string(); }
  void put(const std::string& name, std::string_view content) const {
    std::ofstream(path / name, std::ios::binary) << content;
  }
};

template <class Call>
std::string complaint(Call call) {
  try {
    call();
  } catch (const InputError& error) {
    return error.what();
  }
  return "no complaint";
}

}  // namespace

TEST_CASE("the exit status is the first that holds of 2, 4, 1, 3") {
  CHECK(first_of(below_required, take_not_measured) == take_not_measured);
  CHECK(first_of(take_not_measured, not_written) == not_written);
  CHECK(first_of(not_written, wrong_input) == wrong_input);
  CHECK(first_of(done, below_required) == below_required);
  CHECK(first_of(done, done) == done);
}

TEST_CASE("the takes are those named and then those of the list, a path a line") {
  const Scratch scratch;
  scratch.put("list", "b.wav\r\n\nweek 3/c.flac\n# d.wav\nlast.wav");
  CHECK(collect_takes({"a.wav"}, scratch.file("list")) ==
        std::vector<std::string>{"a.wav", "b.wav", "week 3/c.flac", "# d.wav", "last.wav"});
}

TEST_CASE("no takes, a bad list and standard input used twice are told") {
  const Scratch scratch;
  scratch.put("empty", "\n\n");
  scratch.put("binary", std::string_view("a\0b", 3));
  CHECK(complaint([] { collect_takes({}, std::nullopt); }).starts_with("no recording is named; "));
  CHECK(complaint([&] { collect_takes({}, scratch.file("empty")); }).starts_with("no recording is named; "));
  CHECK(complaint([&] { collect_takes({}, scratch.file("none")); }).find("none: cannot be read: ") !=
        std::string::npos);
  CHECK(complaint([&] { collect_takes({}, scratch.file("binary")); }).find("is not text") != std::string::npos);
  CHECK(complaint([&] { collect_takes({}, scratch.path.string()); }).find("is not a regular file") !=
        std::string::npos);
  CHECK(complaint([] {
          collect_takes({"-", "a", "-"}, std::nullopt);
        }).starts_with("standard input (-) is used more than once"));
  CHECK(complaint([] { collect_takes({"-"}, "-"); }).starts_with("standard input (-) is used more than once"));
  CHECK(complaint([] { collect_takes({"a", ""}, std::nullopt); }).starts_with("TAKE: the name is empty"));
}
