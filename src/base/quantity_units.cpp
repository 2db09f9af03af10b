#include "base/quantity_units.h"

#include <array>

#include "base/maths.h"

namespace halfround::base {

namespace {

// scales: inch and pound are exact by definition (1959); lbf = 0.45359237 kg * 9.80665 m/s2 exactly
constexpr double kGravity = 9.80665;
constexpr double kKgPerPound = 0.45359237;
constexpr Unit kFoot{"ft", Kind::length, 12 * kMmPerInch, true, 1};
constexpr Unit kInch{"in", Kind::length, kMmPerInch, true, 2};
constexpr Unit kDegree{"deg", Kind::angle, 1, false, 1};
constexpr Unit kMinute{"'", Kind::angle, 1.0 / 60, false, 2, false};
constexpr Unit kSecond{"\"", Kind::angle, 1.0 / 3600, false, 3, false};
constexpr Unit kMillimetre{"mm", Kind::length, 1};
constexpr Unit kCentimetre{"cm", Kind::length, 10};
constexpr Unit kMetre{"m", Kind::length, 1000};
constexpr Unit kRadian{"rad", Kind::angle, 180 / kPi};
constexpr Unit kNewton{"N", Kind::force, 1};
constexpr Unit kKilonewton{"kN", Kind::force, 1000};
constexpr Unit kPoundForce{"lbf", Kind::force, kKgPerPound* kGravity};
constexpr Unit kKilogram{"kg", Kind::mass, 1};
constexpr Unit kGram{"g", Kind::mass, 0.001};
constexpr Unit kPound{"lb", Kind::mass, kKgPerPound};

struct Word {
  std::string_view spelt;  ///< small letters
  const Unit* unit;
};
constexpr std::array kWords{
    Word{"mm", &kMillimetre}, Word{"cm", &kCentimetre}, Word{"m", &kMetre},       Word{"in", &kInch},
    Word{"inch", &kInch},     Word{"inches", &kInch},   Word{"ft", &kFoot},       Word{"foot", &kFoot},
    Word{"feet", &kFoot},     Word{"deg", &kDegree},    Word{"degree", &kDegree}, Word{"degrees", &kDegree},
    Word{"rad", &kRadian},    Word{"n", &kNewton},      Word{"kn", &kKilonewton}, Word{"lbf", &kPoundForce},
    Word{"kg", &kKilogram},   Word{"g", &kGram},        Word{"lb", &kPound},      Word{"lbs", &kPound},
};

}  // namespace

const Unit* unit_spelt(std::string_view small_letters) {
  for (const Word& known : kWords)
    if (known.spelt == small_letters) return known.unit;
  return nullptr;
}

const Unit* unit_of_primes(int marks, Kind wanted) {
  if (wanted == Kind::angle) return marks == 1 ? &kMinute : &kSecond;
  return marks == 1 ? &kFoot : &kInch;
}

std::string units_of(Kind kind) {
  switch (kind) {
    case Kind::length:
      return "mm, cm, m, in, \", ft or '";
    case Kind::angle:
      return "deg, °, ', \" or rad";
    case Kind::force:
      return "N, kN or lbf";
    case Kind::mass:
      return "kg, g or lb";
    case Kind::ratio:
    case Kind::count:
      return "no unit at all";
  }
  return {};
}

std::string name_of(Kind kind) {
  switch (kind) {
    case Kind::length:
      return "a length";
    case Kind::angle:
      return "an angle";
    case Kind::force:
      return "a force";
    case Kind::mass:
      return "a mass";
    case Kind::ratio:
    case Kind::count:
      return "a plain number";
  }
  return {};
}

std::string example_of(Kind kind) {
  switch (kind) {
    case Kind::length:
      return "Type a length, e.g. 28.6 mm or 1 1/8 in.";
    case Kind::angle:
      return "Type an angle, e.g. 72.5 deg or 72°30'.";
    case Kind::force:
      return "Type a force, e.g. 1200 N or 250 lbf.";
    case Kind::mass:
      return "Type a mass, e.g. 1.2 kg or 850 g.";
    case Kind::count:
      return "Type a number without a unit, e.g. 24.";
    case Kind::ratio:
      return "Type a number without a unit, e.g. 0.3.";
  }
  return {};
}

std::string shown(std::string_view text) {
  std::size_t end = 60;
  if (text.size() <= end) return std::string(text);
  while ((static_cast<unsigned char>(text[end]) & 0xc0) == 0x80) --end;
  return std::string(text.substr(0, end)) + "…";
}

}  // namespace halfround::base
