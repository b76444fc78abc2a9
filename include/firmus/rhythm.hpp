// Exact lengths and meters.
#pragma once
#include <cstdint>

namespace firmus {

/// An exact number of beats or quarter notes, always reduced, den > 0. Throws std::overflow_error past 64 bits.
struct Fraction {
  std::int64_t num = 0;
  std::int64_t den = 1;
  Fraction() = default;
  Fraction(std::int64_t numerator, std::int64_t denominator = 1);
  double value() const { return static_cast<double>(num) / static_cast<double>(den); }
  friend bool operator==(const Fraction&, const Fraction&) = default;
};
Fraction operator+(const Fraction& a, const Fraction& b);
Fraction operator-(const Fraction& a, const Fraction& b);
Fraction operator*(const Fraction& a, const Fraction& b);
Fraction operator/(const Fraction& a, const Fraction& b);
bool operator<(const Fraction& a, const Fraction& b);

struct Meter {
  int count = 4;  ///< upper figure
  int unit = 4;   ///< lower figure: the beat unit is one 1/unit note
  friend bool operator==(const Meter&, const Meter&) = default;
};

}  // namespace firmus
