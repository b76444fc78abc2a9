#include "firmus/quantities.hpp"
using namespace firmus;
#ifdef MISUSE
const Hertz a4 = 440.0;
#else
const Hertz a4 = Hertz(440.0);
#endif
