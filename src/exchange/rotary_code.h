// A rotary path as text: a table of X by A, and code after ISO 6983 for a machine with a fourth axis.
#pragma once

#include <string>

#include "exchange/csv.h"
#include "shop/rotary.h"
#include "solve/solve.h"

namespace halfround::exchange {

/// X and Z by the angle A, a row a move.
[[nodiscard]] CsvTable rotary_table(const shop::RotaryPath& path);

/// The path as code: G21 G90; rapid and plain moves under G94 (F in mm/min); moves that turn under G93 (F is
/// one over the minutes the move takes), for the feed along the surface. A in degrees, X and Z in mm. The
/// comments say what to zero on, what the dry run found, and a caution. It never starts a spindle: M00 waits
/// for the hand.
///   in      path  whose why_not() is empty, else a Bug
///   within  0.0005 mm, 0.0005 degrees
///   source  words and codes of ISO 6983-1 [from memory]; machines differ: read it before you run it
[[nodiscard]] std::string rotary_code(const solve::Answer& answer, const shop::RotaryPath& path);

}  // namespace halfround::exchange
