#include "spectra.hpp"

#include <fftw3.h>

#include <cmath>
#include <new>
#include <numbers>

#include "fft_planner.hpp"

namespace firmus::room {

std::mutex& fft_planner() {
  static std::mutex one_at_a_time;
  return one_at_a_time;
}

struct RealFft::Plans {
  explicit Plans(int transform_size)
      : size(static_cast<std::size_t>(transform_size)),
        values(fftwf_alloc_real(size)),
        bins(fftwf_alloc_complex(size / 2 + 1)) {
    if (!values || !bins) {
      fftwf_free(values);
      fftwf_free(bins);
      throw std::bad_alloc();
    }
    const std::lock_guard<std::mutex> lock(fft_planner());
    forward = fftwf_plan_dft_r2c_1d(transform_size, values, bins, FFTW_ESTIMATE);
    inverse = fftwf_plan_dft_c2r_1d(transform_size, bins, values, FFTW_ESTIMATE);
  }
  ~Plans() {
    const std::lock_guard<std::mutex> lock(fft_planner());
    fftwf_destroy_plan(forward);
    fftwf_destroy_plan(inverse);
    fftwf_free(values);
    fftwf_free(bins);
  }
  Plans(const Plans&) = delete;
  Plans& operator=(const Plans&) = delete;
  std::size_t size;
  float* values;
  fftwf_complex* bins;
  fftwf_plan forward, inverse;
};

RealFft::RealFft(int size) : plans_(std::make_unique<Plans>(size)) {}
RealFft::~RealFft() = default;

std::span<float> RealFft::values() {
  return {plans_->values, plans_->size};
}

std::span<std::complex<float>> RealFft::bins() {
  return {reinterpret_cast<std::complex<float>*>(plans_->bins), plans_->size / 2 + 1};
}

void RealFft::forward() {
  fftwf_execute(plans_->forward);
}

void RealFft::inverse() {
  fftwf_execute(plans_->inverse);
}

std::vector<float> periodic_hann(int size) {
  std::vector<float> window;
  for (int i = 0; i < size; ++i)
    window.push_back(static_cast<float>(0.5 - 0.5 * std::cos(2 * std::numbers::pi * i / size)));
  return window;
}

}  // namespace firmus::room
