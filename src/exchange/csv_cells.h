// What a cell of every table says in the same way.
#pragma once

#include <optional>
#include <string>

#include "base/maths.h"
#include "bike/assembly.h"
#include "exchange/csv.h"

namespace halfround::exchange {

/// mm to three places; empty: an empty cell
inline std::string mm(std::optional<double> v) {
  return csv_number(v, 3);
}
/// degrees of an angle in rad, to three places
inline std::string deg(double rad) {
  return csv_number(base::to_deg(rad), 3);
}
inline std::string yes(bool b) {
  return b ? "yes" : "no";
}

}  // namespace halfround::exchange
