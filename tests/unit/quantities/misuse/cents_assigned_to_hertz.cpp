#include "firmus/quantities.hpp"
using namespace firmus;
void retune(Hertz& a4) {
#ifdef MISUSE
  a4 = Cents(10);
#else
  a4 = Hertz(442);
#endif
}
