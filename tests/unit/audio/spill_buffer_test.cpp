#include "../../../src/audio/spill_buffer.hpp"

#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <numeric>
#include <string>

using namespace firmus;
using namespace firmus::audio;

namespace {

/// 0, 1, 2, ... in blocks of 7, of which `in_memory` may stay in memory.
Samples counted(int count, std::int64_t in_memory) {
  SpillBuffer spool(in_memory);
  for (int i = 0; i < count; ++i) {
    spool.tail().push_back(static_cast<float>(i));
    if (i % 7 == 6) spool.spill();
  }
  return spool.finish();
}

std::vector<float> values_at(const Samples& samples, std::int64_t begin, std::size_t count) {
  std::vector<float> values(count, -1);
  samples.read(begin, values);
  return values;
}

/// Another folder for temporary files, for as long as this lives.
class TemporaryFolder {
 public:
  explicit TemporaryFolder(const char* folder) {
    if (const char* now = std::getenv("TMPDIR")) before_ = now;
    setenv("TMPDIR", folder, 1);
  }
  ~TemporaryFolder() {
    if (before_.empty())
      unsetenv("TMPDIR");
    else
      setenv("TMPDIR", before_.c_str(), 1);
  }

 private:
  std::string before_;
};

}  // namespace

TEST_CASE("samples_read_back_are_those_that_came_in_wherever_they_lie") {
  for (const std::int64_t in_memory : {1000, 50, 0}) {
    CAPTURE(in_memory);
    const Samples samples = counted(200, in_memory);  // the last four are never settled
    CHECK(samples.size() == 200);
    std::vector<float> all(200);
    std::iota(all.begin(), all.end(), 0.0F);
    CHECK(values_at(samples, 0, 200) == all);
    CHECK(values_at(samples, 194, 4) == std::vector<float>{194, 195, 196, 197});  // over the file's end
    CHECK(values_at(samples, 198, 4) == std::vector<float>{198, 199, 0, 0});
    CHECK(values_at(samples, -2, 4) == std::vector<float>{0, 0, 0, 1});
  }
}

TEST_CASE("a_copy_reads_what_the_original_read_when_that_is_gone") {
  Samples copy;
  {
    const Samples samples = counted(100, 10);
    copy = samples;
  }
  CHECK(values_at(copy, 40, 2) == std::vector<float>{40, 41});
}

TEST_CASE("a_long_take_leaves_no_file_behind") {
  const std::filesystem::path folder = std::filesystem::temp_directory_path() / "firmus-spool-test";
  std::filesystem::create_directories(folder);
  {
    const TemporaryFolder elsewhere(folder.c_str());
    const Samples samples = counted(100, 10);
    CHECK(values_at(samples, 40, 2) == std::vector<float>{40, 41});
    CHECK(std::filesystem::is_empty(folder));
  }
  std::filesystem::remove_all(folder);
}

TEST_CASE("without_a_folder_for_temporary_files_the_samples_stay_in_memory") {
  const TemporaryFolder nowhere("/no such folder");
  CHECK(values_at(counted(100, 10), 40, 2) == std::vector<float>{40, 41});
}
