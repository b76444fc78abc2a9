#include "firmus/quantities.hpp"
using namespace firmus;
double midi_of(Hertz hz);
#ifdef MISUSE
const double midi = midi_of(Seconds(2));
#else
const double midi = midi_of(Hertz(2));
#endif
