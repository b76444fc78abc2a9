#include "firmus/quantities.hpp"
using namespace firmus;
#ifdef MISUSE
const auto time = Seconds(2) - Hertz(1);
#else
const auto time = Seconds(2) - Seconds(1);
#endif
