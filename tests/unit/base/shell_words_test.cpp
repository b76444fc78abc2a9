#include "base/shell_words.hpp"

#include <doctest/doctest.h>

#include <string>

#include "base/system/processes.hpp"

using namespace firmus;

TEST_CASE("names are quoted so that a shell reads them back") {
  CHECK(shell_word("week3/ana.flac") == "week3/ana.flac");
  CHECK(shell_word("ana's take.flac") == "'ana'\\''s take.flac'");
  CHECK(shell_word("\xc3\xa4.wav") == "'\xc3\xa4.wav'");
  CHECK(shell_word("caf\xe9.wav") == "$'caf\\351.wav'");
  CHECK(shell_word("a\nb") == "$'a\\012b'");
  CHECK(shell_word("a\nb", ShellEscapes::hexadecimal) == "$'a\\x0ab'");
  CHECK(shell_word("") == "''");
  CHECK(shell_path("-x.wav") == "./-x.wav");
  CHECK(shell_path("-") == "-");
}

TEST_CASE("a real shell reads every quoted word back as it was") {
  const auto run = [](const char* shell, const std::string& script) {
    return system::run_program({shell, "-c", script}, 1 << 16);
  };
  std::string shell = "bash";
  if (run(shell.c_str(), "true").not_started) shell = "sh";  // which may not know $'...'
  for (const std::string word : {"a b", "it's", "$(reboot)", "*", "a=b", "~x", "#x", "x\\y", "\"", "\xc3\xa4!", "`id`"})
    for (const auto escapes : {ShellEscapes::octal, ShellEscapes::hexadecimal})
      CHECK(run(shell.c_str(), "printf %s " + shell_word(word, escapes)).output == word);
  if (shell == "bash")
    for (const std::string word : {"two\nlines 'a'", "\x1b[31m\\", "\x7f\t1"})
      for (const auto escapes : {ShellEscapes::octal, ShellEscapes::hexadecimal})
        CHECK(run("bash", "printf %s " + shell_word(word, escapes)).output == word);
}
