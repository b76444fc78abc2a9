// Real FFTs of one size, on FFTW in single precision.
#pragma once
#include <complex>
#include <memory>
#include <span>

namespace firmus {

/// Forward and inverse transform of `size` real values. Plans are made with FFTW_ESTIMATE, once per size and process,
/// under a lock, and shared (plans made by timing differ from run to run, and so do the last bits). Buffers belong to
/// the object and are aligned, so one object serves one thread.
class RealFft {
 public:
  explicit RealFft(int size);
  ~RealFft();
  RealFft(const RealFft&) = delete;
  RealFft& operator=(const RealFft&) = delete;

  int size() const { return size_; }
  std::span<float> time() { return {time_.get(), static_cast<std::size_t>(size_)}; }
  std::span<std::complex<float>> bins() { return {bins_.get(), static_cast<std::size_t>(size_ / 2 + 1)}; }
  void forward();  ///< time -> bins; time is kept
  void inverse();  ///< bins -> time, not divided by size; bins are destroyed

  /// The smallest size >= `least` that is even and has no prime factor over 5: what FFTW does fast.
  static int good_size(int least);

 private:
  struct Free {
    void operator()(void* memory) const;
  };
  struct Plans;
  static const Plans& plans_for(int size);
  int size_;
  std::unique_ptr<float[], Free> time_;
  std::unique_ptr<std::complex<float>[], Free> bins_;
  const Plans& plans_;
};

}  // namespace firmus
