// The units a quantity may carry and how the kinds are called in a sentence. Inside base/ only; callers use
// base/quantity.h.
#pragma once

#include <string>
#include <string_view>

#include "base/quantity.h"

namespace halfround::base {

/// A unit of one kind, in terms of the kind's own unit (mm, deg, N, kg).
struct Unit {
  std::string_view name;
  Kind kind;
  double scale;       ///< one of these, in mm, deg, N or kg
  bool inch = false;  ///< inch or foot
  int rank = 0;  ///< place in a compound: 1 feet or degrees, 2 inches or minutes, 3 seconds; 0 takes no part
  bool spreads = true;  ///< a bare number left of it in a sum takes it; not so minutes and seconds of arc
};

/// The unit spelt so in small letters ("mm", "inches"); nullptr if there is none.
[[nodiscard]] const Unit* unit_spelt(std::string_view small_letters);

/// One or two prime marks: minutes and seconds where an angle is wanted, feet and inches everywhere else.
[[nodiscard]] const Unit* unit_of_primes(int marks, Kind wanted);

[[nodiscard]] std::string name_of(Kind kind);     ///< "a length", "a plain number"
[[nodiscard]] std::string units_of(Kind kind);    ///< "mm, cm, m, in, \", ft or '"
[[nodiscard]] std::string example_of(Kind kind);  ///< "Type a length, e.g. 28.6 mm or 1 1/8 in."

/// The text as it is quoted in a sentence: cut with "…" behind 60 bytes, never within a character.
///   in     text  well-formed UTF-8
[[nodiscard]] std::string shown(std::string_view text);

}  // namespace halfround::base
