// The one number formatter and reader: never the locale, never an exponent, never "-0".
// Frame: none. People get the typographic minus (U+2212), machines get the ASCII '-'.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace halfround::base {

inline constexpr int kMostDecimals = 17;              ///< more digits than a double holds help nobody
inline constexpr std::string_view kMinus = "\u2212";  ///< the minus people read

/// For machines (JSON, SVG, display list): fixed decimals, ASCII minus.
///   in     v         any finite value (else a Bug)
///          decimals  0..kMostDecimals; the exact binary value is rounded to nearest, a tie to the even digit
[[nodiscard]] std::string fixed(double v, int decimals);

/// For machines: as few decimals as still give the same double back; ASCII minus, no exponent.
///   in     v  any finite value (else a Bug)
[[nodiscard]] std::string shortest(double v);

/// For people: fixed decimals, U+2212. parse_quantity() reads it.
///   in     as fixed()
[[nodiscard]] std::string format_number(double v, int decimals);

/// Reads a whole text such as "-28.6" or "28": ASCII digits, '.' as decimal mark, nothing before or after.
///   out    nothing for an empty text, an exponent, hexadecimal, "nan", "inf" and what doesn't fit a double
[[nodiscard]] std::optional<double> read_number(std::string_view text);

/// On which side of a number things still fit.
enum class Fits { up_to, from };

/// A number as it is offered: rounded to what can be typed, never past what fits.
///   in     limit     the last value that fits; closer than kSameNumber to a shown number it is that number
///          fits      up_to: what is less fits too; from: what is more
///          decimals  0..kMostDecimals
inline constexpr double kSameNumber = 1e-5;
[[nodiscard]] double reachable(double limit, Fits fits, int decimals = 1);

}  // namespace halfround::base
