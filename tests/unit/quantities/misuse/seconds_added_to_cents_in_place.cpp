#include "firmus/quantities.hpp"
using namespace firmus;
void shift(Cents& error) {
#ifdef MISUSE
  error += Seconds(1);
#else
  error += Cents(1);
#endif
}
