#include "real_fft.hpp"

#include <fftw3.h>

#include <map>
#include <mutex>

namespace firmus {

void RealFft::Free::operator()(void* memory) const {
  fftwf_free(memory);
}

struct RealFft::Plans {
  fftwf_plan forward = nullptr;
  fftwf_plan inverse = nullptr;
  Plans() = default;
  Plans(const Plans&) = delete;
  Plans& operator=(const Plans&) = delete;
  ~Plans() {
    fftwf_destroy_plan(forward);
    fftwf_destroy_plan(inverse);
  }
};

namespace {
float* aligned_floats(int size) {
  return static_cast<float*>(fftwf_malloc(sizeof(float) * static_cast<std::size_t>(size)));
}
std::complex<float>* aligned_bins(int size) {
  return static_cast<std::complex<float>*>(
      fftwf_malloc(sizeof(fftwf_complex) * static_cast<std::size_t>(size / 2 + 1)));
}
fftwf_complex* as_fftw(std::complex<float>* bins) {
  return reinterpret_cast<fftwf_complex*>(bins);
}
}  // namespace

const RealFft::Plans& RealFft::plans_for(int size) {
  static std::mutex guard;
  static std::map<int, Plans> plans;  // kept to the end of the process: a handful of sizes
  const std::lock_guard<std::mutex> lock(guard);
  auto [at, is_new] = plans.try_emplace(size);
  if (is_new) {
    const std::unique_ptr<float[], Free> time(aligned_floats(size));
    const std::unique_ptr<std::complex<float>[], Free> bins(aligned_bins(size));
    at->second.forward = fftwf_plan_dft_r2c_1d(size, time.get(), as_fftw(bins.get()), FFTW_ESTIMATE);
    at->second.inverse = fftwf_plan_dft_c2r_1d(size, as_fftw(bins.get()), time.get(), FFTW_ESTIMATE);
  }
  return at->second;
}

RealFft::RealFft(int size)
    : size_(size), time_(aligned_floats(size)), bins_(aligned_bins(size)), plans_(plans_for(size)) {}
RealFft::~RealFft() = default;

void RealFft::forward() {
  fftwf_execute_dft_r2c(plans_.forward, time_.get(), as_fftw(bins_.get()));
}
void RealFft::inverse() {
  fftwf_execute_dft_c2r(plans_.inverse, as_fftw(bins_.get()), time_.get());
}

int RealFft::good_size(int least) {
  for (int size = least + least % 2;; size += 2) {
    int rest = size;
    for (const int factor : {2, 3, 5})
      while (rest % factor == 0) rest /= factor;
    if (rest == 1) return size;
  }
}

}  // namespace firmus
