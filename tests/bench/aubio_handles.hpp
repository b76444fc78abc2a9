// Owning handles of libaubio's objects, released by their destructors.
#pragma once
#include <aubio/aubio.h>

#include <memory>

namespace firmus::bench {

template <auto release>
struct Release {
  template <typename T>
  void operator()(T* it) const {
    release(it);
  }
};
using AubioVector = std::unique_ptr<fvec_t, Release<del_fvec>>;
using AubioPitch = std::unique_ptr<aubio_pitch_t, Release<del_aubio_pitch>>;
using AubioOnset = std::unique_ptr<aubio_onset_t, Release<del_aubio_onset>>;
using AubioNotes = std::unique_ptr<aubio_notes_t, Release<del_aubio_notes>>;

/// Calls `each` with every complete hop of the samples.
template <typename Samples, typename Each>
void for_each_hop(const Samples& samples, unsigned hop_samples, Each each) {
  const AubioVector hop(new_fvec(hop_samples));
  for (std::size_t at = 0; at + hop_samples <= samples.size(); at += hop_samples) {
    for (unsigned i = 0; i < hop_samples; ++i) fvec_set_sample(hop.get(), samples[at + i], i);
    each(hop.get());
  }
}

}  // namespace firmus::bench
