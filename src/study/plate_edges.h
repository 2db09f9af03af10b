// How much metal a plate keeps beside its bores. Lengths mm; on both faces, so that a leaning
// bore counts where it comes nearest. Frame: the plate's own (bike/plate.h).
#pragma once

#include <vector>

#include "bike/assembly.h"
#include "bike/limit.h"

namespace halfround::study {

/// A bolt hole's middle keeps at least this many of its diameters from the plate's edge.
/// [source: EN 1993-1-8:2005, Table 3.3, e1 and e2, as quoted at eurocode.us and in the text kept by Scribd]
inline constexpr double kBoltHoleEdge = 1.2;

/// One bore and what is nearest to it.
struct BoreEdge {
  bike::Part plate, takes;
  double metal = 0;        ///< from the bore's edge to the outline, least
  double from_middle = 0;  ///< from the bore's middle to the outline, least
  double bolt_hole = 0;    ///< what `from_middle` would have to be for a bolt hole as wide
};

/// Every bore of every plate.
///   within  0.005 mm: a bore is looked at in 180 places on either face, the outline's arcs are exact
[[nodiscard]] std::vector<BoreEdge> bore_edges(const bike::Assembly& assembly);

/// One line a plate, its tightest bore; told for information, since no published rule is known for brazed
/// bores.
[[nodiscard]] std::vector<bike::Verdict> verdicts(const std::vector<BoreEdge>& edges);

}  // namespace halfround::study
