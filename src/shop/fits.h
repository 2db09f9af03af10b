// Limits of fits after ISO 286 for the sizes a bicycle's axle meets. Frame: none.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"

namespace halfround::shop {

/// Deviations of a tolerance class at one nominal size; hole classes in capitals, shaft classes in small
/// letters.
struct FitLimits {
  std::string tolerance_class;  ///< "H7"
  double nominal = 0;           ///< mm
  double lower = 0, upper = 0;  ///< deviations, mm
  [[nodiscard]] double least() const { return nominal + lower; }
  [[nodiscard]] double most() const { return nominal + upper; }
  [[nodiscard]] double middle() const { return nominal + 0.5 * (lower + upper); }
};

/// The limits of a class: letters F G H for holes, d e f g h js k m n p for shafts, grades 5 to 11 (k to p: 5
/// to 7).
///   in     nominal  above 0, up to 50 mm
///   within the table's whole micrometres
///   fails  fit-class-unknown, fit-size-outside
///   source [from memory: ISO 286-1:2010 tables 1, 2 and 3]; tests/outside/iso286 compares with a table
///          somebody else typed and with the standard's formulas
[[nodiscard]] base::Result<FitLimits> fit_limits(std::string_view tolerance_class, double nominal);

/// What a hole and a shaft of one nominal size leave between them, mm; < 0: they bind.
struct Clearance {
  double least = 0, most = 0;
};
[[nodiscard]] Clearance clearance(const FitLimits& hole, const FitLimits& shaft);

}  // namespace halfround::shop
