// Short-time spectra of the samples under a Hann window, one after the other, and back.
#pragma once
#include <complex>
#include <memory>
#include <span>
#include <vector>

namespace firmus::room {

/// A real transform and its inverse on FFTW in single precision, planned by FFTW_ESTIMATE, so that every run has the
/// same bits. One object for each thread.
class RealFft {
 public:
  /// `size`: even.
  explicit RealFft(int size);
  ~RealFft();
  RealFft(const RealFft&) = delete;
  RealFft& operator=(const RealFft&) = delete;

  /// `size` values to transform, or that `inverse` has left, times `size`.
  std::span<float> values();
  /// Bins 0 to size / 2. `inverse` may change them.
  std::span<std::complex<float>> bins();
  void forward();
  void inverse();

 private:
  struct Plans;
  std::unique_ptr<Plans> plans_;
};

/// 0.5 - 0.5 cos(2 pi i / size).
std::vector<float> periodic_hann(int size);

}  // namespace firmus::room
