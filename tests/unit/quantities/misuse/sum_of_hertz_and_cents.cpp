#include "firmus/quantities.hpp"
using namespace firmus;
#ifdef MISUSE
const auto pitch = Hertz(440) + Cents(50);
#else
const auto pitch = Hertz(440) + Hertz(50);
#endif
