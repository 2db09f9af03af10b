// The sheets' typeface: DejaVu Sans Condensed (Debian: fonts-dejavu-extra), a humanist condensed face with
// tabular figures. Measures text, names the font for the backends. Pango stays behind this door and in
// pdf.cpp.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "paper/display.h"

namespace halfround::paper {

inline constexpr const char* kFontFamily = "DejaVu Sans Condensed";
/// Height of H over the em, from the font's outlines: 1493 of 2048 units.
inline constexpr double kCapHeightPerEm = 1493.0 / 2048.0;

/// Font size (em) for a cap height, both mm.
[[nodiscard]] inline double em_for(double cap_height) {
  return cap_height / kCapHeightPerEm;
}

/// Text as it can be set in one line: ill-formed UTF-8 becomes U+FFFD, control characters become a space.
[[nodiscard]] std::string settable(const std::string& text);

/// The text, cut with an ellipsis if it is wider than `width` mm at cap height `height`.
[[nodiscard]] std::string fitted(const std::string& text, double height, double width, bool bold = false,
                                 bool italic = false);

/// The text broken at spaces into lines of at most `width` mm; a single longer word keeps its line.
[[nodiscard]] std::vector<std::string> wrapped(const std::string& text, double height, double width,
                                               bool bold = false, bool italic = false);

/// The four corners of the plate behind a text, lower left first, counter-clockwise: from 0.25 h below the
/// baseline to 0.15 h above the capitals, 0.2 h to the sides; turned with the text. mm, frame P.
[[nodiscard]] std::vector<Vec2> plate_of(const Text& text);

/// Is the typeface on this machine, and does it have every letter of the text?
///   fails   font-missing: the package is not installed
///           letter-missing: names the text
[[nodiscard]] base::Result<bool> can_set(const std::string& text);

}  // namespace halfround::paper
