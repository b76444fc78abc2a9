#include "firmus/quantities.hpp"
using namespace firmus;
#ifdef MISUSE
const bool equal = Cents(25) == Seconds(25);
#else
const bool equal = Cents(25) == Cents(25);
#endif
