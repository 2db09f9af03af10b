// What holds for every quantity: print and read back, spaces, order of a sum, any bytes at all.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "base/maths.h"
#include "base/quantity.h"

namespace halfround::base {
namespace {

// a double from -limit to limit, in steps fine enough that no decimals are favoured
rc::Gen<double> within(double limit) {
  return rc::gen::map(rc::gen::inRange<long long>(-1'000'000'000'000, 1'000'000'000'001),
                      [limit](long long n) { return static_cast<double>(n) / 1e12 * limit; });
}
rc::Gen<double> any_size() {
  return rc::gen::apply([](double v, int power) { return v * std::pow(10.0, power); }, within(1),
                        rc::gen::inRange(-4, 7));
}
rc::Gen<Kind> any_kind() {
  return rc::gen::element(Kind::length, Kind::angle, Kind::count, Kind::ratio, Kind::force, Kind::mass);
}

double read(const std::string& text, Kind kind) {
  const auto quantity = parse_quantity(text, kind);
  if (!quantity) RC_FAIL(text + ": " + sentence(quantity.error()));
  RC_ASSERT(quantity->typed == text);
  return quantity->value;
}

// half the last digit, and the rounding of the doubles themselves
double half_digit(int decimals, double v) {
  return 0.5 * std::pow(10.0, -decimals) + 4e-16 * std::abs(v);
}

RC_GTEST_PROP(QuantityProperty, LengthsForcesMassesAndNumbersReadBack, ()) {
  const double v = *any_size();
  const int decimals = *rc::gen::inRange(0, 7);
  const double within_mm = half_digit(decimals, v);
  RC_ASSERT(std::abs(read(format_length(v, decimals), Kind::length) - v) <= within_mm);
  RC_ASSERT(std::abs(read(format_force(v, decimals), Kind::force) - v) <= within_mm);
  RC_ASSERT(std::abs(read(format_mass(v, decimals), Kind::mass) - v) <= within_mm);
  RC_ASSERT(std::abs(read(format_number(v, decimals), Kind::ratio) - v) <= within_mm);
  RC_ASSERT(std::abs(read(format_number(v, decimals), Kind::count) - v) <= within_mm);
  RC_ASSERT(std::abs(read(fixed(v, decimals), Kind::ratio) - v) <= within_mm);
  RC_ASSERT(read(shortest(v), Kind::ratio) == v);
}

RC_GTEST_PROP(QuantityProperty, AnglesReadBack, ()) {
  const double rad = *within(7);
  const int decimals = *rc::gen::inRange(0, 7);
  RC_ASSERT(std::abs(read(format_angle(rad, decimals), Kind::angle) - rad) <=
            to_rad(half_digit(decimals, to_deg(rad))) + 4e-16 * std::abs(rad));
  RC_ASSERT(std::abs(read(format_angle_minutes(rad), Kind::angle) - rad) <=
            to_rad(0.5 / 60) + 8e-16 * std::abs(rad));
}

RC_GTEST_PROP(QuantityProperty, InchFractionsReadBack, ()) {
  const double mm = *any_size();
  const int denominator =
      *rc::gen::oneOf(rc::gen::element(1, 2, 4, 8, 16, 32, 64, 128), rc::gen::inRange(1, 1025));
  RC_ASSERT(std::abs(read(format_inches(mm, denominator), Kind::length) - mm) <= half_digit(2, mm));
  RC_ASSERT(parse_quantity(format_inches(mm, denominator), Kind::length)->inches);
}

RC_GTEST_PROP(QuantityProperty, EveryMixedNumberReadsBackBothWays, ()) {
  const int whole = *rc::gen::inRange(0, 100), under = *rc::gen::inRange(2, 129),
            over = *rc::gen::inRange(1, under);
  const std::string fraction = std::to_string(over) + "/" + std::to_string(under);
  const double mm = (whole + static_cast<double>(over) / under) * kMmPerInch;
  RC_ASSERT(std::abs(read(std::to_string(whole) + " " + fraction + " in", Kind::length) - mm) < 1e-9);
  RC_ASSERT(std::abs(read(std::to_string(whole) + "-" + fraction + "\"", Kind::length) - mm) < 1e-9);
  const double difference = (whole - static_cast<double>(over) / under) * kMmPerInch;
  RC_ASSERT(std::abs(read(std::to_string(whole) + " - " + fraction + "\"", Kind::length) - difference) <
            1e-9);
}

// a sum of products with every term in its unit, as words between which space may stand
std::vector<std::string> any_sum() {
  std::vector<std::string> words;
  const int terms = *rc::gen::inRange(1, 6);
  for (int i = 0; i < terms; ++i) {
    if (i > 0) words.push_back(*rc::gen::element<std::string>("+", "−"));
    if (*rc::gen::inRange(0, 3) == 0) {
      words.push_back(std::to_string(*rc::gen::inRange(1, 9)));
      words.push_back(*rc::gen::element<std::string>("*", "/", "×"));
    }
    words.push_back(fixed(*rc::gen::inRange(1, 999) / 8.0, 3));
    words.push_back(*rc::gen::element<std::string>("mm", "in", "cm", "\""));
  }
  return words;
}

RC_GTEST_PROP(QuantityProperty, SpacesBetweenWordsDoNotMatter, ()) {
  const auto words = any_sum();
  std::string tight, loose;
  for (const auto& word : words) {
    tight += word;
    loose += std::string(static_cast<std::size_t>(*rc::gen::inRange(0, 3)), ' ') + word;
  }
  const auto a = parse_quantity(tight, Kind::length), b = parse_quantity(loose, Kind::length);
  RC_ASSERT(a.has_value() == b.has_value());
  if (a)
    RC_ASSERT(a->value == b->value);
  else
    RC_ASSERT(a.error().code == b.error().code);
}

RC_GTEST_PROP(QuantityProperty, TermsOfASumMayChangePlaces, ()) {
  const auto term = [] {
    return fixed(*rc::gen::inRange(1, 99999) / 16.0, 4) +
           *rc::gen::element<std::string>(" mm", " in", "\"", " cm", " ft");
  };
  const std::string a = term(), b = term(), c = term();
  const double sum = read(a + " + " + b + " + " + c, Kind::length);
  RC_ASSERT(std::abs(read(c + " + " + a + " + " + b, Kind::length) - sum) <
            1e-9 * std::max(1.0, std::abs(sum)));
  const double parts = read(a, Kind::length) + read(b, Kind::length) + read(c, Kind::length);
  RC_ASSERT(std::abs(parts - sum) < 1e-9 * std::max(1.0, std::abs(sum)));
  RC_ASSERT(std::abs(read(a + " − (" + b + " + " + c + ")", Kind::length) -
                     (2 * read(a, Kind::length) - sum)) < 1e-9 * std::max(1.0, std::abs(sum)));
}

void is_answered(const std::string& text, Kind kind) {
  const auto quantity = parse_quantity(text, kind);
  if (quantity) {
    RC_ASSERT(std::isfinite(quantity->value));
    RC_ASSERT(text.find(quantity->typed) != std::string::npos);
  } else {
    RC_ASSERT(!quantity.error().code.empty());
    RC_ASSERT(!quantity.error().what.empty());
    RC_ASSERT(!quantity.error().fits.empty());
  }
}

RC_GTEST_PROP(QuantityProperty, AnyBytesAreAnswered, ()) {
  const auto bytes = *rc::gen::container<std::vector<unsigned char>>(rc::gen::arbitrary<unsigned char>());
  is_answered(std::string(bytes.begin(), bytes.end()), *any_kind());
}

RC_GTEST_PROP(QuantityProperty, AnyWordsInAnyOrderAreAnswered, ()) {
  const auto words = *rc::gen::container<std::vector<std::string>>(rc::gen::element<std::string>(
      "1", "8", "28.6", "1,234", "½", "0", " ", " ", "/", "*", "-", "−", "+", "(", ")", "mm", "in", "\"", "'",
      "°", "deg", "kg", "N", "e", "x", ".", ",", "²"));
  std::string text;
  for (const auto& word : words) text += word;
  is_answered(text, *any_kind());
}

}  // namespace
}  // namespace halfround::base
