// Elementary functions on eight floats at once, exact enough for sums of floats.
#pragma once
#include <cstdint>
#include <cstring>

#include "base/simd.hpp"

namespace firmus::onsets {

typedef std::int32_t IntLanes __attribute__((vector_size(lanes * sizeof(std::int32_t))));

/// e^x for |x| <= 80, relative error under 3e-7: 2^k times Taylor's series of the remainder (|r| <= ln 2 / 2).
FIRMUS_INLINE void exp_of(const float8& x, float8& out) {
  constexpr float to_integer = 12582912.0F;  // 1.5 * 2^23: adding it rounds to a whole number
  const float8 whole = (x * 1.44269504F + to_integer) - to_integer;
  const float8 r = (x - whole * 0.693359375F) + whole * 2.12194440e-4F;  // ln 2 in two parts
  const float8 series =
      1.0F + r * (1.0F + r * (0.5F + r * (1.0F / 6 +
                                          r * (1.0F / 24 + r * (1.0F / 120 + r * (1.0F / 720 + r * (1.0F / 5040)))))));
  const IntLanes bits = (__builtin_convertvector(whole, IntLanes) + 127) << 23;
  float8 scale;
  std::memcpy(&scale, &bits, sizeof scale);
  out = series * scale;
}

/// tanh x, absolute error under 3e-7.
FIRMUS_INLINE void tanh_of(const float8& x, float8& out) {
  constexpr float flat_from = 10.0F;  // 1 - tanh 10 = 4e-9
  const float8 high = float8{} + flat_from, low = -high;
  float8 within = x > high ? high : x;
  within = within < low ? low : within;
  const float8 twice = 2.0F * within;
  float8 power;
  exp_of(twice, power);
  out = 1.0F - 2.0F / (power + 1.0F);
}

/// 10 log10 x for x from 1e-30 to 1e30, absolute error under 1e-5: the exponent, and the series of atanh for a mantissa
/// from sqrt 1/2 to sqrt 2.
FIRMUS_INLINE void decibels_of(const float8& x, float8& out) {
  constexpr std::int32_t root_half_bits = 0x3F3504F3;
  IntLanes bits;
  std::memcpy(&bits, &x, sizeof bits);
  const IntLanes exponent = (bits - root_half_bits) >> 23;
  bits -= exponent << 23;
  float8 mantissa;
  std::memcpy(&mantissa, &bits, sizeof mantissa);
  const float8 z = (mantissa - 1.0F) / (mantissa + 1.0F), q = z * z;
  const float8 log = z * (2.0F + q * (2.0F / 3 + q * (2.0F / 5 + q * (2.0F / 7 + q * (2.0F / 9)))));
  out = __builtin_convertvector(exponent, float8) * 3.01029996F + log * 4.34294482F;
}

}  // namespace firmus::onsets
