#include "../../../src/cli/arguments.hpp"

#include <doctest/doctest.h>

#include "firmus/error.hpp"

using namespace firmus;
using namespace firmus::cli;

namespace {

struct Parsed {
  std::vector<std::string> takes;
  std::optional<std::string> melody, tolerance;
  bool quiet = false;
  ParseOutcome outcome = ParseOutcome::run;
  std::string complaint;
};

Parsed parse(std::vector<const char*> words) {
  Parsed parsed;
  Arguments arguments("firmus check", "Measures.", "  firmus check a.wav");
  arguments.positionals("TAKE", "takes", parsed.takes);
  arguments.option("--melody", "FILE", "the melody", parsed.melody);
  arguments.option("--tolerance", "CENTS", "in tune up to here", parsed.tolerance);
  arguments.flag("--quiet", "no warnings", parsed.quiet);
  try {
    parsed.outcome = arguments.parse(static_cast<int>(words.size()), words.data());
  } catch (const InputError& error) {
    parsed.complaint = error.what();
  }
  return parsed;
}

using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("options and takes may come in any order") {
  const Parsed parsed = parse({"a.wav", "--melody", "m.melody", "b.wav", "--quiet", "--tolerance=12"});
  CHECK(parsed.complaint == "");
  CHECK(parsed.takes == Words{"a.wav", "b.wav"});
  CHECK(parsed.melody == "m.melody");
  CHECK(parsed.tolerance == "12");
  CHECK(parsed.quiet);
}

TEST_CASE("a name is one name, whatever it looks like") {
  CHECK(parse({"[a,b]", "++", "check", "a,b", "-", "{}"}).takes == Words{"[a,b]", "++", "check", "a,b", "-", "{}"});
  CHECK(parse({"--melody", "[a,b]", "x"}).melody == "[a,b]");
  CHECK(parse({"--quiet", "--", "-x.wav", "--melody", "--"}).takes == Words{"-x.wav", "--melody", "--"});
  CHECK(parse({""}).takes == Words{""});
}

TEST_CASE("a value that begins with a minus is a value") {
  CHECK(parse({"--tolerance", "-5"}).tolerance == "-5");
}

TEST_CASE("what is given twice, unknown or lacks its value is told in one line") {
  CHECK(parse({"--melody", "a", "--melody", "b"}).complaint == "--melody is given twice; give it once");
  CHECK(parse({"--quiet", "--quiet"}).complaint == "--quiet is given twice; give it once");
  CHECK(parse({"a.wav", "--melody"}).complaint == "--melody has no value; write --melody FILE");
  CHECK(parse({"--colour"}).complaint ==
        "--colour is not an option of firmus check; see firmus check --help; a name that begins with - goes after --");
  CHECK(parse({"-x.wav"}).complaint ==
        "-x.wav is not an option of firmus check; see firmus check --help; a name that begins with - goes after --");
  CHECK(parse({"--quiet=5"}).complaint.starts_with("--quiet takes no value"));
  CHECK(parse({"--mel", "a"}).complaint.starts_with("--mel is not an option"));
}

TEST_CASE("help is asked for, not failed into") {
  CHECK(parse({"--help"}).outcome == ParseOutcome::show_help);
  CHECK(parse({"a.wav", "--help"}).outcome == ParseOutcome::show_help);
}
