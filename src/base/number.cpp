#include "base/number.h"

#include <array>
#include <charconv>
#include <cmath>

#include "base/result.h"

namespace halfround::base {

namespace {

// the longest fixed text: minus, 309 digits, mark, and up to 1074 decimals of the smallest double
constexpr std::size_t kLongest = 1400;

std::string without_minus_zero(std::string text) {
  if (text.starts_with('-') && text.find_first_of("123456789") == std::string::npos) text.erase(0, 1);
  return text;
}

}  // namespace

std::string fixed(double v, int decimals) {
  check(std::isfinite(v), "a number to print is finite");
  check(decimals >= 0 && decimals <= kMostDecimals, "decimals are 0 to kMostDecimals");
  std::array<char, kLongest> buffer;
  const auto end =
      std::to_chars(buffer.data(), buffer.data() + buffer.size(), v, std::chars_format::fixed, decimals);
  return without_minus_zero(std::string(buffer.data(), end.ptr));
}

std::string shortest(double v) {
  check(std::isfinite(v), "a number to print is finite");
  std::array<char, kLongest> buffer;
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), v, std::chars_format::fixed);
  return without_minus_zero(std::string(buffer.data(), end.ptr));
}

std::string format_number(double v, int decimals) {
  std::string text = fixed(v, decimals);
  if (text.starts_with('-')) text.replace(0, 1, kMinus);
  return text;
}

std::optional<double> read_number(std::string_view text) {
  if (text.find_first_not_of("-.0123456789") != std::string_view::npos) return std::nullopt;
  double v = 0;
  const auto end = std::from_chars(text.data(), text.data() + text.size(), v, std::chars_format::fixed);
  if (end.ec != std::errc{} || end.ptr != text.data() + text.size()) return std::nullopt;
  return v;
}

double reachable(double limit, Fits fits, int decimals) {
  check(decimals >= 0 && decimals <= kMostDecimals, "decimals from 0 to kMostDecimals");
  const double scale = std::pow(10.0, decimals), steps = limit * scale, nearest = std::round(steps);
  if (std::abs(steps - nearest) < kSameNumber * scale) return nearest / scale;
  return (fits == Fits::up_to ? std::floor(steps) : std::ceil(steps)) / scale;
}

}  // namespace halfround::base
