#include "firmus/result.hpp"
using namespace firmus;
#ifdef MISUSE
const Settings settings{.tolerance_cents = Hertz(440), .a4_hz = Cents(25)};
#else
const Settings settings{.tolerance_cents = Cents(25), .a4_hz = Hertz(440)};
#endif
