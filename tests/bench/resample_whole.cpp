#include "resample_whole.hpp"

#include <fftw3.h>

#include <algorithm>

namespace firmus::bench {

std::vector<float> resampled(std::span<const float> samples, std::size_t count) {
  std::vector<float> in(samples.begin(), samples.end()), out(count);
  const std::size_t bins = std::max(samples.size(), count) / 2 + 1;
  fftwf_complex* spectrum = fftwf_alloc_complex(bins);
  std::fill_n(&spectrum[0][0], 2 * bins, 0.0F);
  const fftwf_plan forth = fftwf_plan_dft_r2c_1d(static_cast<int>(in.size()), in.data(), spectrum, FFTW_ESTIMATE);
  fftwf_execute(forth);
  const fftwf_plan back = fftwf_plan_dft_c2r_1d(static_cast<int>(count), spectrum, out.data(), FFTW_ESTIMATE);
  fftwf_execute(back);
  fftwf_destroy_plan(forth);
  fftwf_destroy_plan(back);
  fftwf_free(spectrum);
  for (float& sample : out) sample /= static_cast<float>(in.size());
  return out;
}

}  // namespace firmus::bench
