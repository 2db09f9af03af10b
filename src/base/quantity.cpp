#include "base/quantity.h"

#include <cmath>
#include <numeric>

#include "base/maths.h"
#include "base/quantity_lexer.h"
#include "base/quantity_parser.h"

namespace halfround::base {

Result<Quantity> parse_quantity(std::string_view text, Kind kind) {
  const auto tokens = quantity_tokens(text, kind);
  if (!tokens) return tl::unexpected(tokens.error());
  const auto sum = quantity_sum(*tokens, kind);
  if (!sum) return tl::unexpected(sum.error());

  Quantity quantity;
  quantity.typed = tokens->text;
  quantity.value = kind == Kind::angle ? to_rad(sum->value) : sum->value;
  quantity.inches = sum->first != nullptr && sum->first->inch;
  return quantity;
}

std::string format_length(double mm, int decimals) {
  return format_number(mm, decimals) + " mm";
}

std::string format_inches(double mm, int denominator) {
  check(std::isfinite(mm) && std::abs(mm) <= kLargestQuantity, "a length to print is within reach");
  check(denominator >= 1 && denominator <= 1024, "the shop's denominator is 1 to 1024");
  const long long parts = std::llround(mm / kMmPerInch * denominator);
  const long long whole = std::abs(parts) / denominator;
  const long long over = std::abs(parts) % denominator;
  const long long common = std::gcd(over, static_cast<long long>(denominator));

  // the fraction in lowest terms
  std::string text = parts < 0 ? std::string(kMinus) : std::string();
  if (whole > 0 || over == 0) text += std::to_string(whole);
  if (whole > 0 && over > 0) text += " ";
  if (over > 0) text += std::to_string(over / common) + "/" + std::to_string(denominator / common);
  text += " in";

  // what the fraction leaves over, unless it rounds to nothing
  const double rest = mm - static_cast<double>(parts) * kMmPerInch / denominator;
  const std::string left = fixed(std::abs(rest), 2);
  if (left == "0.00") return text;
  return text + (rest < 0 ? " " + std::string(kMinus) + " " : " + ") + left + " mm";
}

std::string format_angle(double rad, int decimals) {
  return format_number(to_deg(rad), decimals) + "°";
}

std::string format_angle_minutes(double rad) {
  check(std::isfinite(rad) && std::abs(to_deg(rad)) <= kLargestQuantity, "an angle to print is within reach");
  const long long minutes = std::llround(to_deg(rad) * 60);
  const std::string rest = std::to_string(std::abs(minutes) % 60);
  return (minutes < 0 ? std::string(kMinus) : std::string()) + std::to_string(std::abs(minutes) / 60) + "°" +
         (rest.size() < 2 ? "0" : "") + rest + "'";
}

std::string format_force(double newton, int decimals) {
  return format_number(newton, decimals) + " N";
}

std::string format_mass(double kg, int decimals) {
  return format_number(kg, decimals) + " kg";
}

}  // namespace halfround::base
