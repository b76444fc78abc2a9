#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

#include "base/partial_files.hpp"
#include "base/system/files.hpp"
#include "base/system/processes.hpp"

using namespace firmus;
namespace fs = std::filesystem;

namespace {

struct Folder {
  fs::path path = fs::temp_directory_path() / ("firmus-system-" + std::to_string(system::process_id()));
  Folder() { fs::create_directories(path); }
  ~Folder() { fs::remove_all(path); }
  std::string file(const std::string& name) const { return (path / name).string(); }
  std::string content(const std::string& name) const {
    std::ifstream in(path / name, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
  }
  void put(const std::string& name, std::string_view text) const {
    std::ofstream(path / name, std::ios::binary) << text;
  }
};

std::span<const std::byte> bytes_of(std::string_view text) {
  return std::as_bytes(std::span(text));
}

}  // namespace

TEST_CASE("an anonymous file reads back what was written, at any place, and leaves no name") {
  std::error_code error;
  system::File file = system::File::open_anonymous(error);
  REQUIRE_FALSE(error);
  CHECK_FALSE(file.write_at(3, bytes_of("defgh")));
  CHECK_FALSE(file.write_at(0, bytes_of("abc")));
  std::string back(10, '-');
  CHECK(file.read_at(2, std::as_writable_bytes(std::span(back)), error) == 6);
  CHECK_FALSE(error);
  CHECK(back == "cdefgh----");
}

TEST_CASE("a file for appending is the user's alone and keeps what it holds") {
  const Folder folder;
  for (const char* line : {"one\n", "two\n"}) {
    std::error_code error;
    system::File file = system::File::open(folder.file("list"), system::OpenFor::private_appending, error);
    REQUIRE_FALSE(error);
    CHECK_FALSE(file.write(line));
  }
  CHECK(folder.content("list") == "one\ntwo\n");
  CHECK(fs::status(folder.file("list")).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
}

TEST_CASE("what cannot be opened is an error with the system's number") {
  const Folder folder;
  std::error_code error;
  CHECK_FALSE(system::File::open(folder.file("none"), system::OpenFor::reading, error).is_open());
  CHECK(error == std::errc::no_such_file_or_directory);
  (void)system::status_of(folder.file("none"), error);
  CHECK(error == std::errc::no_such_file_or_directory);
  fs::create_symlink("nowhere", folder.file("link"));
  CHECK(system::name_exists(folder.file("link")));
  CHECK_FALSE(system::name_exists(folder.file("none")));
}

TEST_CASE("a program's output, the end of its messages and how it ended are known") {
  const auto run = [](const char* script) { return system::run_program({"sh", "-c", script}, 1 << 20); };
  const system::ProgramRun good = run("printf 'a\\nb'; cat");
  CHECK(good.succeeded());
  CHECK(good.output == "a\nb");
  const system::ProgramRun failed = run("echo partial; echo why >&2; exit 7");
  CHECK(failed.exit_status == 7);
  CHECK(failed.output == "partial\n");
  CHECK(failed.messages == "why\n");
  const system::ProgramRun ended = run("kill -9 $$");
  CHECK_FALSE(ended.succeeded());
  CHECK(ended.signal == 9);
  CHECK(system::run_program({"firmus-no-such-program"}, 1).not_started == std::errc::no_such_file_or_directory);
}

TEST_CASE("a program that writes more than allowed is ended") {
  const system::ProgramRun run = system::run_program({"sh", "-c", "while :; do echo yes; done"}, 1000);
  CHECK_FALSE(run.output);
  CHECK(run.signal == 9);
}

TEST_CASE("partial files go when their process has ended, and only those that are ours") {
  const Folder folder;
  const int ended = 2147483647;  // above any process number of Linux
  REQUIRE(system::has_ended(ended));
  CHECK_FALSE(system::has_ended(system::process_id()));
  const std::string of_ended = "." + std::to_string(ended) + ".part";
  const std::string of_this = fs::path(partial_path(folder.file("a.json"))).filename().string();
  for (const std::string& name : {"a.json" + of_ended, "b.json" + of_ended, of_this, std::string("a.json.part")})
    folder.put(name, "half");
  remove_abandoned_files(folder.path.string(), [](const std::string& name) { return name == "a.json"; });
  CHECK_FALSE(fs::exists(folder.path / ("a.json" + of_ended)));
  CHECK(fs::exists(folder.path / ("b.json" + of_ended)));
  CHECK(fs::exists(folder.path / of_this));
  CHECK(fs::exists(folder.path / "a.json.part"));
}
