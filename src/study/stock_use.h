// What is cut off each end of a length and what is left between: the rows of a cut list, which add up.
// Frame: along the member's centreline from the stock's start end (of a blade its tip).
#pragma once

#include <vector>

#include "study/mitre.h"

namespace halfround::study {

/// stock = off_start + used + off_end. A mitred end is measured at the farthest point of its cut: what is off
/// there is off all round.
struct StockUse {
  double stock = 0;      ///< mm
  double off_start = 0;  ///< of a blade: off the tip, mm
  double used = 0;       ///< mm
  double off_end = 0;    ///< of a blade: off the crown end, mm
};

/// in   mitres  of the member's assembly; an end without one is cut square at its design point
[[nodiscard]] StockUse stock_use(const bike::Member& member, const std::vector<Mitre>& mitres);

/// The same to whole steps (0.1: tenths of a mm), so that the printed row adds up: what is used takes the
/// rest.
[[nodiscard]] StockUse rounded(const StockUse& use, double step);

}  // namespace halfround::study
