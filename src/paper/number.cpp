#include "paper/number.h"

#include "base/number.h"

namespace halfround::paper {

std::string fixed3(double value) {
  return base::fixed(value, 3);
}

std::string short3(double value) {
  std::string text = fixed3(value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace halfround::paper
