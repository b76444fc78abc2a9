// Spectra and autocorrelations of two real signals at once, on FFTW in single precision.
#pragma once
#include <complex>
#include <memory>
#include <span>

namespace firmus::evidence {

/// Two real signals of `size` values, one as the real and one as the imaginary part of a complex transform: FFTW then
/// needs a third of the instructions of two real transforms. A signal more than 100 dB below the other is lost in its
/// rounding errors. Plans are made with FFTW_ESTIMATE, once per size and process, under a lock, and shared (plans made
/// by timing differ from run to run, and so do the last bits). Buffers are aligned and belong to the object: one object
/// for each thread.
class PairFft {
 public:
  /// `size`: a multiple of 16.
  explicit PairFft(int size);

  int size() const { return size_; }
  /// Sets both signals, of equal length, multiplied by `window` if it is given and padded with zeros.
  void set(std::span<const float> first, std::span<const float> second, const float* window = nullptr);
  /// |X|^2 of both signals for bins 1 to size / 2; element k holds bin k + 1.
  void powers(std::span<float> first, std::span<float> second);
  /// Circular autocorrelations, times size: real parts of the first signal, imaginary parts of the second one.
  std::span<const std::complex<float>> autocorrelations();

  /// The smallest size >= `least` among 16 times 1, 2, 4, 5, 8, 10, 16, 20, ...: sizes at which FFTW is fast.
  static int good_size(int least);

 private:
  struct Free {
    void operator()(void* memory) const;
  };
  struct Plan;
  using Buffer = std::unique_ptr<std::complex<float>[], Free>;
  static Buffer make_buffer(int size);
  static const Plan& plan_for(int size);
  void transform(const Buffer& from, const Buffer& to);
  int size_;
  Buffer time_, bins_;
  const Plan& plan_;
};

}  // namespace firmus::evidence
