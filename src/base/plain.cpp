#include "base/plain.h"

#include <cmath>

#include "base/number.h"

namespace halfround::base {

std::string plain(double v) {
  if (std::isnan(v)) return "no number";
  if (std::isinf(v)) return v > 0 ? "infinite" : "-infinite";
  std::string out = fmt::format("{:g}", v);
  if (out.find('e') == std::string::npos) return out == "-0" ? "0" : out;
  if (std::abs(v) >= 1) return fixed(v, 0);
  // six digits behind the zeros
  return shortest(std::stod(fmt::format("{:.5e}", v)));
}

}  // namespace halfround::base
