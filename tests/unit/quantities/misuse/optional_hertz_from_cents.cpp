#include <optional>

#include "firmus/quantities.hpp"
using namespace firmus;
#ifdef MISUSE
const std::optional<Hertz> a4 = Cents(10);
#else
const std::optional<Hertz> a4 = Hertz(442);
#endif
