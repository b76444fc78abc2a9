#include "grade_take.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>

#include "aside.hpp"
#include "base/base.hpp"
#include "firmus/read_result.hpp"
#include "firmus/report.hpp"
#include "take_files.hpp"

namespace firmus::cli {
namespace {

bool same(const Context& a, const Context& b) {
  return a.student == b.student && a.assignment == b.assignment && a.piece == b.piece && a.date == b.date;
}

/// Empty where there is no file whose content could be known; such a take is measured each time.
std::string content_digest(const std::string& path) {
  std::error_code error;
  if (!std::filesystem::is_regular_file(path, error)) return {};
  try {
    return sha256_hex_of_file(path);
  } catch (const std::system_error&) {
    return {};
  }
}

/// Nothing that is written may name the student's file.
TakeError without_names(const TakeError& error) {
  if (error.kind != "phone_format") return error;
  return {error.kind, error.detail, "convert it first: ffmpeg -i RECORDING RECORDING.wav"};
}

}  // namespace

std::optional<std::string> content_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) return std::nullopt;
  std::string content{std::istreambuf_iterator<char>(file), {}};
  return file.bad() ? std::nullopt : std::optional(std::move(content));
}

std::vector<std::string> result_names(const std::string& stem) {
  return take_file_names("results/" + stem);
}

Context TakeGrader::context_of(const MatchedTake& take) const {
  Context context = plan_.measuring[take.piece].context;
  context.student = take.student;
  return context;
}

/// All that a measurement depends on. Names, ids, titles and dates are no part of it.
std::string TakeGrader::key_of(const MatchedTake& take, const std::string& sha256) const {
  const Melody& melody = plan_.melodies[take.piece];
  const Settings& settings = plan_.measuring[take.piece].settings;
  return sha256_hex(fmt::format("{}\n{}\n{}\n{}\n{} {:.17g} {:.17g} {}\n{:.17g}\n{}", program_version(), sha256,
                                melody.sha256, sha256_hex(melody_as_csv(melody)), to_string(settings.reference),
                                settings.tolerance_cents, settings.a4_hz, settings.tuning, plan_.reading.longest_s,
                                plan_.reading.decoder.value_or("")));
}

std::optional<Result> TakeGrader::there_already(const MatchedTake& take, const std::string& key) const {
  const auto digest = store_.files_digest(take.stem, key);
  if (!digest || plan_.fresh) return std::nullopt;
  const std::vector<std::string> names = result_names(take.stem);
  std::vector<std::string> contents;
  for (const std::string& name : names) {
    auto content = content_of(out_.path() + "/" + name);
    if (!content) return std::nullopt;
    contents.push_back(std::move(*content));
  }
  if (digest_of(names, contents) != *digest) return std::nullopt;  // damaged: measured again
  Result result;
  try {
    result = read_result(contents.front(), names.front());
  } catch (const InputError&) {
    return std::nullopt;
  }
  if (!same(result.context, context_of(take))) {
    result.context = context_of(take);
    contents.front() = as_json(result) + "\n";  // the one file that tells it
    out_.write(names.front(), contents.front());
    store_.add(take.stem, key, digest_of(names, contents));
  }
  return result;
}

Result TakeGrader::measured(const MatchedTake& take) const {
  MeasureOptions options = plan_.measuring[take.piece];
  options.context = context_of(take);
  Result result;
  try {
    result = measure_take(read_recording(plan_.path_of(take), plan_.reading), &plan_.melodies[take.piece], options);
  } catch (const TakeError& error) {
    result = not_measured(take.stem, without_names(error), options);
  } catch (const InputError&) {
    throw;
  } catch (const WriteError&) {
    throw;
  } catch (const std::exception&) {  // one bad take never stops the rest
    result = not_measured(take.stem, {"failed", "could not be measured", "please report it, with the take"}, options);
  }
  result.take.name = take.stem;
  return result;
}

void TakeGrader::write_files(const std::string& stem, const std::vector<std::string>& contents,
                             const std::string& key) const {
  const std::vector<std::string> names = result_names(stem);
  for (std::size_t i = 0; i < names.size(); ++i) out_.write(names[i], contents[i]);
  if (!key.empty()) store_.add(stem, key, digest_of(names, contents));
}

WrittenTake TakeGrader::write(const MatchedTake& take) const {
  WrittenTake written;
  try {
    const std::string sha256 = content_digest(plan_.path_of(take));
    const std::string key = sha256.empty() ? "" : key_of(take, sha256);
    std::optional<Result> result = key.empty() ? std::nullopt : there_already(take, key);
    if (!result) {
      result = measured(take);
      // A file that changed while it was read, or a fault of ours, is not what the key stands for.
      const bool holds = result->error ? result->error->kind != "failed" : result->take.sha256 == sha256;
      written.on_disk = aside([this, stem = take.stem, contents = take_file_contents(*result, ""),
                               key = holds ? key : ""] { write_files(stem, contents, key); });
    }
    written.said =
        said_of(*result, plan_.path_of(take), plan_.require_percent, plan_.quiet ? Warnings::kept : Warnings::told);
  } catch (...) {
    written.ends_the_run = std::current_exception();
  }
  return written;
}

}  // namespace firmus::cli
