// Compares the result of a take with its ground truth.
#pragma once
#include <string>
#include <vector>

#include "firmus/result.hpp"
#include "truth_take.hpp"

namespace firmus::truth {

inline constexpr double onset_right_s = 0.150;  ///< largest onset error of a correctly matched note

/// Counts and errors of one take, or of many added up.
struct Score {
  int takes = 0, measured = 0, sure = 0;
  int written = 0;         ///< written notes (of the attempt that counts)
  int right = 0;           ///< sung and found as sung within onset_right_s; or left out and said to be missing
  int called_missing = 0;  ///< sung, but said to be missing
  int left_out = 0,
      left_out_said = 0;     ///< written notes not sung; those of them said to be missing (held over: joined)
  int wrong_while_sure = 0;  ///< written notes with a wrong verdict, in a take that says nothing against itself
  int warned = 0;            ///< takes with a warning, not sure, or not measured
  int extras = 0;            ///< said to be extra where nothing unwritten was sung
  int restarts = 0, restarts_named = 0;
  int tries_right = 0;               ///< takes whose attempts are listed correctly
  int with_pitch = 0;                ///< right and sung, and given a pitch
  int octave_off = 0;                ///< of those, by half an octave or more
  int in_interval = 0;               ///< of those, within 1.96 standard errors
  std::vector<double> cents_off;     ///< absolute, of those
  std::vector<double> reach_cents;   ///< 1.96 standard errors, of those that have one
  std::vector<double> onsets_off_s;  ///< absolute, of all right and sung
  std::string notes_csv;             ///< a row for each note that is right and sung, see note_columns
  std::vector<std::string> wrong;    ///< for messages: what was not right
};

inline constexpr const char* note_columns = "take,written,length_s,onset_ms,end_ms,cents,se_cents";

/// The take is sure, has no warning but that given notes were left out, and its recording is good enough to trust notes
/// of it.
bool is_trusted(const Result& result);
/// Written notes whose verdict is wrong: sung but said to be missing, or to be elsewhere; left out, but judged; or
/// judged with the true error (against the singer's own tuning) more than 10 cents outside the limits of the verdict. A
/// note that is said to be unclear has no verdict. Each is described in `told`.
int wrong_verdicts(const TruthTake& take, const Result& result, std::vector<std::string>& told);

Score judge(const TruthTake& take, const Result& result);
void add(Score& sum, const Score& one);

/// Quantile `share` (0 to 1) of the values; none without values.
std::optional<double> quantile(std::vector<double> values, double share);

}  // namespace firmus::truth
