#include "grade_take.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <new>
#include <system_error>

#include "async_write.hpp"
#include "base/base.hpp"
#include "base/file_content.hpp"
#include "firmus/read_result.hpp"
#include "firmus/report.hpp"
#include "grade_parts.hpp"
#include "take_diagnostics.hpp"
#include "take_files.hpp"

namespace firmus::batch {
namespace {

bool same(const Context& a, const Context& b) {
  return a.student == b.student && a.assignment == b.assignment && a.piece == b.piece && a.date == b.date;
}

/// Empty where the file cannot be read or is no regular file; such a take is measured in every run.
std::string content_digest(const std::string& path) {
  std::error_code error;
  if (!std::filesystem::is_regular_file(path, error)) return {};
  try {
    return sha256_hex_of_file(path);
  } catch (const std::system_error&) {
    return {};
  }
}

/// Results must not name the student's file.
TakeError without_names(const TakeError& error) {
  if (error.kind != "phone_format") return error;
  return {error.kind, error.detail, "convert it first: ffmpeg -i RECORDING RECORDING.wav"};
}

}  // namespace

Context TakeGrader::context_of(const MatchedTake& take) const {
  Context context = plan_.measuring[take.piece].context;
  context.student = take.student;
  return context;
}

/// A digest of all that a measurement depends on: not of names, ids, titles and dates.
std::string TakeGrader::key_of(const MatchedTake& take, const std::string& sha256) const {
  const Melody& melody = plan_.melodies[take.piece];
  const Settings& settings = plan_.measuring[take.piece].settings;
  return sha256_hex(fmt::format("{}\n{}\n{}\n{}\n{} {:.17g} {:.17g} {}\n{:.17g}\n{}", plan_.measured_by, sha256,
                                melody.sha256, sha256_hex(melody_as_csv(melody)), to_string(settings.reference),
                                settings.tolerance_cents, settings.a4_hz, settings.tuning,
                                plan_.options.reading.longest_s, plan_.options.reading.decoder.value_or("")));
}

std::optional<Result> TakeGrader::cached_result(const MatchedTake& take, const std::string& key) const {
  const auto digest = store_.files_digest(take.stem, key);
  if (!digest || plan_.options.fresh) return std::nullopt;
  const std::vector<std::string> names = result_file_names(take.stem);
  std::vector<std::string> contents;
  for (const std::string& name : names) {
    auto content = file_content(out_.path() + "/" + name);
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
    contents.front() = as_json(result) + "\n";  // the one file that holds the context
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
    result =
        measure_take(read_recording(path_of(plan_, take), plan_.options.reading), &plan_.melodies[take.piece], options);
  } catch (const TakeError& error) {
    result = not_measured(take.stem, without_names(error), options);
  } catch (const InputError&) {
    throw;
  } catch (const WriteError&) {
    throw;
  } catch (const std::bad_alloc&) {  // says nothing about the take
    throw;
  } catch (const std::exception&) {  // one bad take never stops the rest
    result = not_measured(take.stem, {"failed", "could not be measured", "please report it, with the take"}, options);
  }
  result.take.name = take.stem;
  return result;
}

void TakeGrader::write_files(const std::string& stem, const std::vector<std::string>& contents,
                             const std::string& key) const {
  const std::vector<std::string> names = result_file_names(stem);
  for (std::size_t i = 0; i < names.size(); ++i) out_.write(names[i], contents[i]);
  if (!key.empty()) store_.add(stem, key, digest_of(names, contents));
}

GradedTake TakeGrader::grade(const MatchedTake& take) const {
  GradedTake graded;
  try {
    const std::string path = path_of(plan_, take);
    const std::string sha256 = content_digest(path);
    const std::string key = sha256.empty() ? "" : key_of(take, sha256);
    std::optional<Result> result = key.empty() ? std::nullopt : cached_result(take, key);
    if (!result) {
      result = measured(take);
      // The key stands for the file as it was digested. Results of a file that changed while it was read, or of an
      // internal error, must not be used again.
      const bool key_holds = result->error ? result->error->kind != "failed" : result->take.sha256 == sha256;
      graded.write = async_write([this, stem = take.stem, contents = take_file_contents(*result, ""),
                                  key = key_holds ? key : ""] { write_files(stem, contents, key); });
    }
    graded.outcome = {path, std::move(*result), TakeStatus::passed, {}, {}, {}};
    add_diagnostics(graded.outcome, plan_.options.require_percent);
  } catch (...) {
    graded.ends_the_run = std::current_exception();
  }
  return graded;
}

}  // namespace firmus::batch
