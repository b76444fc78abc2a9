#include "firmus/quantities.hpp"
using namespace firmus;
#ifdef MISUSE
const bool less = Cents(25) < Hertz(25);
#else
const bool less = Cents(25) < Cents(25);
#endif
