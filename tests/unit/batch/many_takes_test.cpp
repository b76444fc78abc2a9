#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <numeric>
#include <thread>

#include "firmus/batch.hpp"
#include "ordered_parallel.hpp"
#include "out_folder.hpp"
#include "stems.hpp"

using namespace firmus;
using namespace firmus::batch;
namespace fs = std::filesystem;

namespace {

/// A temporary folder, removed by the destructor.
struct Scratch {
  fs::path path = fs::temp_directory_path() / ("firmus-batch-" + std::to_string(::getpid()));
  Scratch() { fs::create_directories(path); }
  ~Scratch() { fs::remove_all(path); }
  std::string file(const std::string& name) const { return (path / name).string(); }
  void put(const std::string& name, std::string_view content) const {
    std::ofstream(path / name, std::ios::binary) << content;
  }
  std::string get(const std::string& name) const {
    std::ifstream in(path / name, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
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

TEST_CASE("results come out in order and none is lost, however long each takes") {
  for (const int jobs : {1, 3, 8}) {
    std::vector<std::size_t> order;
    OrderedParallel<int> work(200, jobs, [](std::size_t i) {
      if (i % 7 == 0) std::this_thread::sleep_for(std::chrono::microseconds(300));
      return static_cast<int>(i * i);
    });
    const auto signal = work.emit_all([&](std::size_t i, int square) {
      order.push_back(i);
      CHECK(square == static_cast<int>(i * i));
    });
    CHECK_FALSE(signal);
    std::vector<std::size_t> expected(200);
    std::iota(expected.begin(), expected.end(), std::size_t{0});
    CHECK(order == expected);
  }
}

TEST_CASE("few results wait in memory when one take is slow") {
  std::atomic<int> begun = 0;
  OrderedParallel<int> work(1000, 2, [&](std::size_t i) {
    ++begun;
    if (i == 0) std::this_thread::sleep_for(std::chrono::milliseconds(30));
    return 0;
  });
  int most_ahead = 0;
  work.emit_all([&](std::size_t i, int) { most_ahead = std::max(most_ahead, begun - static_cast<int>(i)); });
  CHECK(most_ahead <= 5);
}

TEST_CASE("an error while emitting ends the work") {
  std::atomic<int> begun = 0;
  const auto run = [&] {
    OrderedParallel<int> work(1000, 2, [&](std::size_t) { return ++begun; });
    work.emit_all([](std::size_t i, int) {
      if (i == 3) throw WriteError("full");
    });
  };
  CHECK_THROWS_AS(run(), WriteError);
  CHECK(begun < 20);
}

TEST_CASE("two takes of one stem are found before any work") {
  CHECK(stem_of("week 3/ana.2.flac") == "ana.2");
  CHECK(stem_of("-") == "standard-input");
  CHECK(complaint([] {
          require_different_stems({"a/x.wav", "b/y.wav", "b/x.flac"});
        }) == "\"a/x.wav\" and \"b/x.flac\" would both be written as x.json; rename one, or give each its own --out");
  CHECK(complaint([] { require_different_stems({"written.wav"}); }).find("written.json") != std::string::npos);
  CHECK(complaint([] { require_different_stems({"x.wav", "y.wav"}); }) == "no complaint");
}

TEST_CASE("a folder of results is private, knows its own files and lets the same run write again") {
  const Scratch scratch;
  const std::string dir = scratch.file("deep/er/out");
  OutFolder first(dir, {"a.json", "a.txt"});
  struct stat status {};
  REQUIRE(::stat(dir.c_str(), &status) == 0);
  CHECK((status.st_mode & 0777) == 0700);
  first.write("a.json", "one");
  first.finish();
  CHECK(scratch.get("deep/er/out/written.json") ==
        "{\n \"schema\": \"firmus.written/1\",\n \"files\": [\n  \"a.json\"\n ]\n}\n");
  OutFolder second(dir + "/", {"a.json", "b.json"});
  second.write("a.json", "two");
  CHECK(scratch.get("deep/er/out/a.json") == "two");
}

TEST_CASE("a file that the program did not write stays") {
  const Scratch scratch;
  fs::create_directory(scratch.path / "out");
  scratch.put("out/b.txt", "mine");
  CHECK(complaint([&] {
          OutFolder(scratch.file("out"), {"a.json", "b.txt"});
        }).find("/b.txt: is there already and was not written by this program; ") != std::string::npos);
  CHECK(scratch.get("out/b.txt") == "mine");
  CHECK_FALSE(fs::exists(scratch.path / "out/written.json"));
  scratch.put("out/written.json", "{\"my\": \"notes\"}");
  CHECK(complaint([&] {
          OutFolder(scratch.file("out"), {"a.json"});
        }).find("is not a list of what the program wrote") != std::string::npos);
  scratch.put("out/written.json", "not JSON");
  CHECK(complaint([&] { OutFolder(scratch.file("out"), {"a.json"}); }) != "no complaint");
}

TEST_CASE("a folder is made in the working directory too") {
  const Scratch scratch;
  const fs::path was = fs::current_path();
  fs::current_path(scratch.path);
  OutFolder("out", {"a.json"}).finish();
  fs::current_path(was);
  CHECK(fs::exists(scratch.path / "out/written.json"));
}

TEST_CASE("a file in the folder's place is the user's error, a folder that cannot be made is not") {
  const Scratch scratch;
  scratch.put("file", "");
  CHECK(complaint([&] { OutFolder(scratch.file("file"), {}); }).find("is a file; ") != std::string::npos);
  CHECK_THROWS_AS(OutFolder("/proc/none/out", {}), WriteError);
  CHECK_THROWS_AS(OutFolder(scratch.file("file/out"), {}), WriteError);
}
