#include "sheet/number.h"

#include <charconv>
#include <cmath>

#include "base/result.h"

namespace halfround::sheet {

std::string fixed3(double value) {
  base::check(std::isfinite(value) && std::abs(value) < 1e9, "a coordinate on a sheet is not finite");
  char buffer[32];
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed, 3).ptr;
  std::string text(buffer, end);
  return text == "-0.000" ? "0.000" : text;
}

std::string short3(double value) {
  std::string text = fixed3(value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace halfround::sheet
