#include "firmus/theory.hpp"
using namespace firmus;
#ifdef MISUSE
const double midi = midi_from_hz(440.0);
#else
const double midi = midi_from_hz(Hertz(440.0));
#endif
