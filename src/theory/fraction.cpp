#include <numeric>
#include <stdexcept>

#include "firmus/rhythm.hpp"

namespace firmus {
namespace {

[[noreturn]] void overflow() {
  throw std::overflow_error("a number of beats that 64 bits do not hold");
}

std::int64_t times(std::int64_t a, std::int64_t b) {
  std::int64_t product = 0;
  if (__builtin_mul_overflow(a, b, &product)) overflow();
  return product;
}

std::int64_t plus(std::int64_t a, std::int64_t b) {
  std::int64_t sum = 0;
  if (__builtin_add_overflow(a, b, &sum)) overflow();
  return sum;
}

std::int64_t negative(std::int64_t a) {
  return times(a, -1);
}

}  // namespace

Fraction::Fraction(std::int64_t numerator, std::int64_t denominator) : num(numerator), den(denominator) {
  if (den == 0) throw std::domain_error("a fraction over zero");
  if (den < 0) {
    num = negative(num);
    den = negative(den);
  }
  if (num == INT64_MIN) overflow();  // std::gcd needs a magnitude that fits
  const std::int64_t common = std::gcd(num, den);
  num /= common;
  den /= common;
}

Fraction operator+(const Fraction& a, const Fraction& b) {
  const std::int64_t common = std::gcd(a.den, b.den);
  return {plus(times(a.num, b.den / common), times(b.num, a.den / common)), times(a.den, b.den / common)};
}

Fraction operator-(const Fraction& a, const Fraction& b) {
  return a + Fraction(negative(b.num), b.den);
}

Fraction operator*(const Fraction& a, const Fraction& b) {
  const Fraction left(a.num, b.den);  // reduced crosswise, so that the products stay small
  const Fraction right(b.num, a.den);
  return {times(left.num, right.num), times(left.den, right.den)};
}

Fraction operator/(const Fraction& a, const Fraction& b) {
  return a * Fraction(b.den, b.num);
}

bool operator<(const Fraction& a, const Fraction& b) {
  const std::int64_t common = std::gcd(a.den, b.den);
  return times(a.num, b.den / common) < times(b.num, a.den / common);
}

}  // namespace firmus
