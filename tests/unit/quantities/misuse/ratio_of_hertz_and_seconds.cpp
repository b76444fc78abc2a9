#include "firmus/quantities.hpp"
using namespace firmus;
#ifdef MISUSE
const double ratio = Hertz(440) / Seconds(2);
#else
const double ratio = Hertz(440) / Hertz(2);
#endif
