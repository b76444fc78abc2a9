// Operations on vectors of eight floats or four doubles, for the few loops that take most of the time.
#pragma once
#include <cstring>

// A function with this mark is compiled for AVX2 too, and the loader chooses the version. Both give the same bits: sums
// use eight fixed lanes in both, and AVX2 alone has no fused multiply-add.
#if defined(__x86_64__) && defined(__linux__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define FIRMUS_MULTIVERSION __attribute__((target_clones("avx2", "default")))
#else
#define FIRMUS_MULTIVERSION
#endif
/// For functions called by such a function: they are compiled for AVX2 only when inlined.
#define FIRMUS_INLINE [[gnu::always_inline]] inline

namespace firmus {

inline constexpr int lanes = 8;

/// A vector type of gcc and clang: operators work lane by lane. Passed by reference only, since how it is passed by
/// value differs between the two builds.
typedef float float8 __attribute__((vector_size(lanes * sizeof(float))));

/// As float8: four doubles, passed by reference only.
typedef double double4 __attribute__((vector_size(4 * sizeof(double))));

FIRMUS_INLINE void load(const float* from, float8& to) {
  std::memcpy(&to, from, sizeof to);
}
FIRMUS_INLINE void store(const float8& from, float* to) {
  std::memcpy(to, &from, sizeof from);
}
FIRMUS_INLINE void add_product(const float* a, const float* b, float8& sum) {
  float8 x, y;
  load(a, x);
  load(b, y);
  sum += x * y;
}
/// The sum over the lanes, in a fixed order.
FIRMUS_INLINE float total(const float8& sum) {
  return ((sum[0] + sum[4]) + (sum[2] + sum[6])) + ((sum[1] + sum[5]) + (sum[3] + sum[7]));
}

}  // namespace firmus
