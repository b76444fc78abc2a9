#include "firmus/quantities.hpp"
using namespace firmus;
#ifdef MISUSE
const auto product = Hertz(440) * Hertz(2);
#else
const auto product = Hertz(440) * 2;
#endif
