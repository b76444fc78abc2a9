#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <string>

#include "layer_check.hpp"

using firmus::layers::public_header_faults;
using firmus::layers::read_sources;
using firmus::layers::SourceFile;
using firmus::layers::stages_without_version;
using firmus::layers::wrong_includes;

TEST_CASE("no include of the tree runs against the order of the stages") {
  const auto files = read_sources(FIRMUS_SOURCE_DIR);
  REQUIRE(files.size() >= 12);  // the public headers alone are twelve: an empty tree must not pass
  for (const std::string& finding : wrong_includes(files)) FAIL_CHECK(finding);
}

TEST_CASE("a wrong include planted in the real tree is the one thing found") {
  auto files = read_sources(FIRMUS_SOURCE_DIR);
  const auto theory = std::find_if(files.begin(), files.end(),
                                   [](const SourceFile& file) { return file.path == "include/firmus/theory.hpp"; });
  REQUIRE(theory != files.end());
  theory->text = "#include \"decode/decode.hpp\"\n" + theory->text;
  const auto findings = wrong_includes(files);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0] == "include/firmus/theory.hpp:1: theory stands before decode");
}

namespace {
std::string only_finding(const std::string& path, const std::string& line) {
  const auto findings = wrong_includes({{path, line + "\n"}});
  return findings.empty() ? "" : findings.at(0);
}
}  // namespace

TEST_CASE("a stage may include itself and what stands before it") {
  CHECK(only_finding("src/decode/a.cpp", "#include \"decode/decode.hpp\"") == "");
  CHECK(only_finding("src/decode/a.cpp", "#include \"base/base.hpp\"") == "");
  CHECK(only_finding("src/cli/a.cpp", "#include \"firmus/take.hpp\"") == "");
  CHECK(only_finding("src/main.cpp", "#include \"cli/cli.hpp\"") == "");
}

TEST_CASE("a stage may not include what stands after it, however the line is written") {
  CHECK(only_finding("src/audio/a.cpp", "#include \"decode/decode.hpp\"") ==
        "src/audio/a.cpp:1: audio stands before decode");
  CHECK(only_finding("src/audio/a.cpp", "  #  include <firmus/habits.hpp>") ==
        "src/audio/a.cpp:1: audio stands before habits");
  CHECK(only_finding("src/take/a.cpp", "#include \"cli/cli.hpp\"") == "src/take/a.cpp:1: take stands before cli");
}

TEST_CASE("result.hpp stands before evidence, and error.hpp counts as base") {
  CHECK(only_finding("src/audio/a.cpp", "#include \"firmus/result.hpp\"") ==
        "src/audio/a.cpp:1: audio stands before result");
  CHECK(only_finding("src/evidence/a.cpp", "#include \"firmus/result.hpp\"") == "");
  CHECK(only_finding("src/theory/a.cpp", "#include \"firmus/error.hpp\"") == "");
}

TEST_CASE("the result of a take includes the melody, what is wrong with the recording, and nothing of the pipeline") {
  const std::string result = "include/firmus/result.hpp";
  for (const char* line :
       {"#include <optional>", "#include \"firmus/melody.hpp\"", "#include \"firmus/signal_quality.hpp\""})
    CHECK(only_finding(result, line) == "");
  for (const char* target : {"firmus/audio.hpp", "base/csv.hpp", "measure/measure.hpp", "fmt/format.h"})
    CHECK(only_finding(result, "#include \"" + std::string(target) + "\"") ==
          result + ":1: result.hpp may not include \"" + target + "\"");
  CHECK(only_finding(result, "#include <nlohmann/json.hpp>") != "");
}

TEST_CASE("another stage's private header is out of reach") {
  CHECK(only_finding("src/decode/a.cpp", "#include \"evidence/net.hpp\"") ==
        "src/decode/a.cpp:1: \"evidence/net.hpp\" is private to evidence");
  CHECK(only_finding("src/decode/a.cpp", "#include \"../evidence/net.hpp\"") ==
        "src/decode/a.cpp:1: \"../evidence/net.hpp\" is no file of src/decode");
  CHECK(wrong_includes({{"src/decode/a.cpp", "#include \"b.hpp\"\n"}, {"src/decode/b.hpp", ""}}).empty());
}

TEST_CASE("the fitting program may use the stages as far as onsets and no further") {
  CHECK(only_finding("src/fit/a.cpp", "#include \"pitch/pitch.hpp\"") == "");
  CHECK(only_finding("src/fit/a.cpp", "#include \"decode/decode.hpp\"") == "src/fit/a.cpp:1: fit stands before decode");
}

TEST_CASE("the fitting program sees the private headers of onsets and of no other stage") {
  const SourceFile mine{"src/fit/a.cpp", "#include \"net.hpp\"\n"};
  CHECK(wrong_includes({mine, {"src/onsets/net.hpp", ""}}).empty());
  CHECK(wrong_includes({mine, {"src/decode/net.hpp", ""}}).size() == 1);
}

TEST_CASE("each outside library has one user, FFTW two") {
  CHECK(only_finding("src/audio/a.cpp", "#include <sndfile.h>") == "");
  CHECK(only_finding("src/take/a.cpp", "#include <sndfile.h>") == "src/take/a.cpp:1: <sndfile.h> is for audio alone");
  CHECK(only_finding("src/measure/a.cpp", "#include <fftw3.h>") ==
        "src/measure/a.cpp:1: <fftw3.h> is for room and evidence alone");
  CHECK(only_finding("src/report/a.cpp", "#include <CLI/CLI.hpp>") ==
        "src/report/a.cpp:1: <CLI/CLI.hpp> is for cli alone");
}

TEST_CASE("headers of the operating system are for one folder of base alone") {
  CHECK(only_finding("src/base/system/a.cpp", "#include <unistd.h>") == "");
  CHECK(only_finding("src/base/system/a.cpp", "#include <sys/stat.h>") == "");
  CHECK(only_finding("src/base/a.cpp", "#include <unistd.h>") ==
        "src/base/a.cpp:1: <unistd.h> is for src/base/system alone");
  CHECK(only_finding("src/audio/a.cpp", "#include <sys/wait.h>") ==
        "src/audio/a.cpp:1: <sys/wait.h> is for src/base/system alone");
  CHECK(only_finding("src/cli/system/a.cpp", "#include <signal.h>") ==
        "src/cli/system/a.cpp:1: <signal.h> is for src/base/system alone");
  CHECK(only_finding("src/cli/a.cpp", "#include <csignal>") == "");
}

TEST_CASE("every stage may use the operating system through that folder") {
  CHECK(only_finding("src/audio/a.cpp", "#include \"base/system/files.hpp\"") == "");
  CHECK(only_finding("src/base/system/a.cpp", "#include \"base/system/files.hpp\"") == "");
  CHECK(only_finding("src/base/system/a.cpp", "#include \"audio/audio.hpp\"") ==
        "src/base/system/a.cpp:1: base stands before audio");
}

TEST_CASE("the public headers need the C++ standard library alone, and no particular compiler") {
  for (const std::string& finding : public_header_faults(read_sources(FIRMUS_SOURCE_DIR))) FAIL_CHECK(finding);
}

TEST_CASE("another library or a compiler's own word in a public header is found") {
  const auto faults = [](const std::string& text) { return public_header_faults({{"include/firmus/a.hpp", text}}); };
  CHECK(faults("#include <vector>\n#include \"firmus/error.hpp\"\n").empty());
  CHECK(faults("#include <nlohmann/json.hpp>\n").at(0) == "include/firmus/a.hpp:1: includes nlohmann/json.hpp");
  CHECK(faults("#include <sys/stat.h>\n").size() == 1);
  CHECK(faults("typedef float v8 __attribute__((vector_size(32)));\n").at(0) ==
        "include/firmus/a.hpp: has __attribute__");
  CHECK(faults("[[gnu::always_inline]] inline int f();\n").size() == 1);
  CHECK(public_header_faults({{"src/a/a.hpp", "#include <nlohmann/json.hpp>\n"}}).empty());
}

TEST_CASE("a folder that the order does not know is a finding") {
  CHECK(only_finding("src/misc/a.cpp", "") == "src/misc/a.cpp: \"misc\" is in no place of the order");
}

TEST_CASE("the measurement version covers every stage that decides a result") {
  std::ifstream file(std::string(FIRMUS_SOURCE_DIR) + "/src/take/measurement_version.cmake");
  const std::string list{std::istreambuf_iterator<char>(file), {}};
  for (const std::string& stage : stages_without_version(list)) FAIL_CHECK(stage << " is not in measuring_stages");
}

TEST_CASE("a stage that the measurement version leaves out is found") {
  const auto missing = stages_without_version(
      "set(measuring_stages base theory score melody audio room evidence pitch\n"
      "    onsets decode measure habits practice take)\n");
  REQUIRE(missing.size() == 1);
  CHECK(missing[0] == "sources");
  CHECK(stages_without_version("").size() == 15);
}
