// Frequencies, pitch distances and times as types of their own, so that the compiler rejects what makes no sense.
#pragma once
#include <compare>
#include <concepts>
#include <type_traits>

namespace firmus {

/// A double with a unit. A plain number becomes a quantity only explicitly, Hertz(440); a quantity is read as a double
/// implicitly. Quantities of one unit can be added, subtracted, compared and scaled, and their ratio is a double. With
/// two units all of these, and conversion from one to the other, do not compile; nor does the product of one unit with
/// itself. Hertz times Seconds is a number of cycles.
template <typename Unit>
class Quantity {
 public:
  constexpr Quantity() = default;
  template <typename T>
  requires std::is_arithmetic_v<T>
  constexpr explicit Quantity(T value) : value_(static_cast<double>(value)) {}
  template <typename Other>
  requires(!std::same_as<Unit, Other>) Quantity(Quantity<Other>)
  = delete;

  constexpr double value() const { return value_; }
  constexpr operator double() const { return value_; }

  constexpr Quantity operator-() const { return Quantity(-value_); }
  constexpr Quantity& operator+=(Quantity other) { return value_ += other.value_, *this; }
  constexpr Quantity& operator-=(Quantity other) { return value_ -= other.value_, *this; }

  friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.value_ + b.value_); }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.value_ - b.value_); }
  template <typename T>
  requires std::is_arithmetic_v<T>
  friend constexpr Quantity operator*(Quantity a, T factor) { return Quantity(a.value_ * static_cast<double>(factor)); }
  template <typename T>
  requires std::is_arithmetic_v<T>
  friend constexpr Quantity operator*(T factor, Quantity a) { return Quantity(static_cast<double>(factor) * a.value_); }
  template <typename T>
  requires std::is_arithmetic_v<T>
  friend constexpr Quantity operator/(Quantity a, T divisor) {
    return Quantity(a.value_ / static_cast<double>(divisor));
  }
  friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }
  friend Quantity operator*(Quantity, Quantity) = delete;

  friend constexpr bool operator==(Quantity a, Quantity b) { return a.value_ == b.value_; }
  friend constexpr auto operator<=>(Quantity a, Quantity b) { return a.value_ <=> b.value_; }

 private:
  double value_ = 0;
};

template <typename A, typename B>
requires(!std::same_as<A, B>) void operator+(Quantity<A>, Quantity<B>) = delete;
template <typename A, typename B>
requires(!std::same_as<A, B>) void operator-(Quantity<A>, Quantity<B>) = delete;
template <typename A, typename B>
requires(!std::same_as<A, B>) void operator*(Quantity<A>, Quantity<B>) = delete;
template <typename A, typename B>
requires(!std::same_as<A, B>) void operator/(Quantity<A>, Quantity<B>) = delete;
template <typename A, typename B>
requires(!std::same_as<A, B>) bool operator==(Quantity<A>, Quantity<B>) = delete;
template <typename A, typename B>
requires(!std::same_as<A, B>) bool operator<=>(Quantity<A>, Quantity<B>) = delete;

using Hertz = Quantity<struct HertzUnit>;      ///< a frequency
using Cents = Quantity<struct CentsUnit>;      ///< a distance of pitch: 100 cents are a semitone of equal temperament
using Seconds = Quantity<struct SecondsUnit>;  ///< a time or a duration

/// Cycles in a time.
constexpr double operator*(Hertz frequency, Seconds duration) {
  return frequency.value() * duration.value();
}
constexpr double operator*(Seconds duration, Hertz frequency) {
  return frequency * duration;
}

}  // namespace firmus
