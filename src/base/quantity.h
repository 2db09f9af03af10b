// Quantities as people write them: "28.6", "28,6 mm", "1 1/8 in", "2' 1.5\"", "72°30'", "28.6 + 2*0.9 mm".
// Frame: none. The grammar, its rules and every refusal are in docs/quantities.md; the examples there and in
// tests/base/quantity_vectors.tsv are the same for every reader of this grammar.
#pragma once

#include <string>
#include <string_view>

#include "base/number.h"
#include "base/result.h"

namespace halfround::base {

/// What a field wants. A count and a ratio are plain numbers.
enum class Kind { length, angle, count, ratio, force, mass };

struct Quantity {
  double value = 0;     ///< house units: mm, rad, N, kg, or a plain number
  std::string typed;    ///< exactly what was typed, without the space around it
  bool inches = false;  ///< the first unit written is an inch or a foot
};

inline constexpr std::size_t kLongestQuantity = 200;  ///< bytes; nobody types more into one field
inline constexpr int kDeepestNesting = 16;            ///< parentheses within parentheses
inline constexpr double kLargestQuantity = 1e12;      ///< in the kind's own unit (mm, deg, N, kg)

/// Reads one quantity.
///   in     text  any bytes
///   out    finite, at most kLargestQuantity in mm, deg, N, kg; any sign (whether a length may be negative is
///          the field's business)
///   fails  every code of the table in docs/quantities.md; `where` is left empty for the caller to fill
[[nodiscard]] Result<Quantity> parse_quantity(std::string_view text, Kind kind);

/// "28.6 mm"; reads back within half the last digit, as does everything below.
///   in     mm        any finite value
///          decimals  0..kMostDecimals
[[nodiscard]] std::string format_length(double mm, int decimals = 1);

/// The nearest inch fraction and, where it isn't exact, what is left over: "1 1/8 in", "1 1/8 in + 0.03 mm".
///   in     mm           finite, at most kLargestQuantity either way
///          denominator  1..1024, the shop's finest fraction; the fraction is printed in lowest terms
///   within 0.005 mm when read back
[[nodiscard]] std::string format_inches(double mm, int denominator = 32);

/// "72.5°"
///   in     rad  any finite value
[[nodiscard]] std::string format_angle(double rad, int decimals = 1);

/// Degrees and whole minutes: "72°30'", "−0°05'".
///   in     rad  finite, at most kLargestQuantity degrees either way
[[nodiscard]] std::string format_angle_minutes(double rad);

[[nodiscard]] std::string format_force(double newton, int decimals = 0);  ///< "1200 N"
[[nodiscard]] std::string format_mass(double kg, int decimals = 3);       ///< "1.250 kg"

}  // namespace halfround::base
