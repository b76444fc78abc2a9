#include "base/base.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "base/diagnostics.hpp"
#include "firmus/error.hpp"

using namespace firmus;

TEST_CASE("sha256 gives the digests of the standard's examples") {
  // FIPS 180-4 example values for "abc" and the empty message.
  CHECK(sha256_hex("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(sha256_hex("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("a shown name has no control characters and no stray bytes") {
  CHECK(display_name("take 1.wav") == "take 1.wav");
  CHECK(display_name("a\nb\x1b[31m") == "a\\x0Ab\\x1B[31m");
  CHECK(display_name("caf\xc3\xa9") == "caf\xc3\xa9");
  CHECK(display_name("caf\xe9") == "caf\\xE9");
  CHECK(display_name("\xc0\xaf") == "\\xC0\\xAF");  // overlong
  CHECK(display_name("\xc2\x9b") == "\\xC2\\x9B");  // C1 control
}

TEST_CASE("columns count code points, not bytes") {
  CHECK(code_points("F\xe2\x99\xaf"
                    "4") == 3);
  CHECK(code_points("\xff\xff") == 2);
}

TEST_CASE("an error line names file, line and column, then what and the remedy") {
  CHECK(to_line({{"song.melody", 3, 7}, "no such note \"H4\"", "write B4"}) ==
        "song.melody:3:7: no such note \"H4\"; write B4");
  CHECK(to_line({{"song.melody", 0, 0}, "is empty", ""}) == "song.melody: is empty");
}

TEST_CASE("a quoted token is cut between characters, whatever its bytes") {
  const std::string cut = "\"" + std::string(39, 'a') + "...\"";
  CHECK(firmus::in_quotes(std::string(40, 'a')) == "\"" + std::string(40, 'a') + "\"");
  CHECK(firmus::in_quotes(std::string(39, 'a') + "\xc3\xa9") == cut);
  CHECK(firmus::in_quotes(std::string(38, 'a') + "\xe2\x99\xaf" + "b").size() == cut.size() - 1);
  CHECK(firmus::in_quotes(std::string(100, '\xbc')).size() <= cut.size() + 1);  // goes on from no character
}

TEST_CASE("a whole file appears under its name complete, and no temporary stays") {
  const std::filesystem::path folder =
      std::filesystem::temp_directory_path() / ("firmus-base-" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  const std::string path = (folder / "out.txt").string();
  write_whole_file(path, "first");
  write_whole_file(path, "second");
  std::ifstream in(path);
  std::stringstream content;
  content << in.rdbuf();
  CHECK(content.str() == "second");
  CHECK(std::distance(std::filesystem::directory_iterator(folder), {}) == 1);
  CHECK_THROWS_AS(write_whole_file((folder / "no" / "such").string(), "x"), WriteError);
  std::filesystem::remove_all(folder);
}
