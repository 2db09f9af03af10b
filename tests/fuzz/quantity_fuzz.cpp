// Any bytes as a quantity: answered by a value or a sentence, and a value reads back from what is printed.
// The first byte picks the kind. Seeds: tests/fuzz/corpus/quantity.
#include <cmath>
#include <cstdint>
#include <string_view>

#include "base/maths.h"
#include "base/quantity.h"

using namespace halfround::base;

namespace {

void reads_back(const std::string& text, Kind kind, double value, double within) {
  const auto again = parse_quantity(text, kind);
  check(again.has_value(), "what is printed can be read");
  check(std::abs(again->value - value) <= within + 1e-14 * std::abs(value), "what is printed reads back");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const auto kind = static_cast<Kind>(data[0] % 6);
  const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
  const auto quantity = parse_quantity(text, kind);
  if (!quantity) {
    check(!quantity.error().code.empty() && !quantity.error().what.empty() && !quantity.error().fits.empty(),
          "a refusal has its code, its sentence and an example");
    return 0;
  }
  const double value = quantity->value;
  check(std::isfinite(value), "a quantity is finite");
  check(text.find(quantity->typed) != std::string_view::npos, "what was typed is kept");
  // stay clear of the largest quantity, past which rounding up would be refused
  if (std::abs(value) > 0.9e12) return 0;
  if (kind == Kind::length) {
    reads_back(format_length(value, 3), kind, value, 0.0005);
    reads_back(format_inches(value), kind, value, 0.005);
  } else if (kind == Kind::angle) {
    if (std::abs(to_deg(value)) > 0.9e12) return 0;
    reads_back(format_angle(value, 3), kind, value, to_rad(0.0005));
    reads_back(format_angle_minutes(value), kind, value, to_rad(0.5 / 60));
  } else {
    reads_back(format_number(value, 3), kind, value, 0.0005);
  }
  return 0;
}
