// FFTW makes and destroys plans one at a time in the whole process.
#pragma once
#include <mutex>

namespace firmus::room {

/// Held by whoever makes or destroys a plan. Transforms themselves need no lock.
std::mutex& fft_planner();

}  // namespace firmus::room
