#include "firmus/quantities.hpp"
using namespace firmus;
const Cents error(10);
#ifdef MISUSE
const Hertz a4(error);
#else
const Cents a4(error);
#endif
