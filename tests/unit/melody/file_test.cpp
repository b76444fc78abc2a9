#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "reading.hpp"

using namespace firmus;
namespace fs = std::filesystem;

namespace {

/// A temporary folder, removed by the destructor.
struct Folder {
  fs::path path = fs::temp_directory_path() / ("firmus-melody-" + std::to_string(::getpid()));
  Folder() { fs::create_directories(path); }
  ~Folder() { fs::remove_all(path); }
  std::string write(const std::string& name, const std::string& content) const {
    std::ofstream(path / name, std::ios::binary) << content;
    return (path / name).string();
  }
};

std::string refusal(const std::string& path) {
  try {
    read_melody_file(path);
  } catch (const InputError& error) {
    REQUIRE(error.problems().size() == 1);
    return to_line(error.problems().front()).substr(path.size());
  }
  return "";
}

}  // namespace

TEST_CASE("a melody file is read, and its name stands in its problems") {
  const Folder folder;
  CHECK(timeline(read_melody_file(folder.write("a.melody", "C4 D4"))) == "C4@0+1 D4@1+1");
  CHECK(refusal(folder.write("b.txt", "C4\nQ4")).rfind(":2:1: \"Q4\" is not a note", 0) == 0);
}

TEST_CASE("what is no file, missing or too large is refused at once, in one line") {
  const Folder folder;
  CHECK(refusal(folder.path.string()) == ": is a directory, no melody; name a file");
  CHECK(refusal((folder.path / "none").string()) == ": cannot be read: No such file or directory; name a melody file");
  const std::string fifo = (folder.path / "fifo").string();
  REQUIRE(::mkfifo(fifo.c_str(), 0600) == 0);
  CHECK(refusal(fifo) == ": is a pipe, no melody; name a file");  // nobody writes to it: waiting would hang here
  CHECK(refusal("/dev/null") == ": is a device, no melody; name a file");
  const std::string large = folder.write("large.melody", "");
  fs::resize_file(large, (1 << 20) + 1);
  CHECK(refusal(large) == ": is larger than 1 MiB, the most a melody may have; split it");
  CHECK(refusal(folder.write("empty.melody", "")) == ": has no notes; write at least one note, such as C4");
}

TEST_CASE("the sight-singing lines beside the project read without warnings") {
  const fs::path lines = fs::path(FIRMUS_SOURCE_DIR) / ".." / "shared" / "data" / "melodies";
  if (!fs::is_directory(lines)) {
    MESSAGE("skipped: ../shared/data/melodies is not there");
    return;
  }
  int count = 0;
  for (const fs::directory_entry& entry : fs::directory_iterator(lines)) {
    CAPTURE(entry.path().filename().string());
    const Melody melody = read_melody_file(entry.path().string());
    CHECK(melody.warnings.empty());
    CHECK(melody.title.rfind("Sight-singing line", 0) == 0);
    CHECK(facts(read(melody_as_text(melody))) == facts(melody));
    Melody bare = melody;
    bare.text.clear();
    CHECK(facts(read(melody_as_text(bare))) == facts(melody));
    ++count;
  }
  CHECK(count >= 13);
}
