#include "base/plain.h"

#include <cmath>

#include "base/number.h"
#include "base/result.h"

namespace halfround::base {

std::string plain(double v) {
  check(std::isfinite(v), "only a finite number is said to people");
  std::string out = fmt::format("{:g}", v);
  if (out.find('e') == std::string::npos) return out == "-0" ? "0" : out;
  if (std::abs(v) >= 1) return fixed(v, 0);
  // six digits behind the zeros
  return shortest(std::stod(fmt::format("{:.5e}", v)));
}

}  // namespace halfround::base
