// Inside of the re-planning: one side, always as a left one, with its cuts. Frame F.
#pragma once

#include <vector>

#include "base/result.h"
#include "job/done.h"
#include "layout/lay_out.h"
#include "study/mitre.h"

namespace halfround::replan {

/// One side laid out, and the length that proves its blade.
struct Side {
  layout::Intent intent;  ///< mirrored: no right blade; its wishes are splay and lower trim
  layout::Fork fork;
  std::vector<study::Mitre> mitres;  ///< of the left blade, lower end first if it is mitred
  double length = 0;                 ///< mm
  /// What the job says of where the blade lies, in steps of a file; empty: as the plan says it.
  std::vector<layout::Wished> wishes{};
  [[nodiscard]] const layout::Placed& at() const { return fork.left; }
  /// From the seat down to the joint plus this is the drop, whatever the drop.
  [[nodiscard]] double reach() const { return intent.drop - fork.left.crown_height; }
};

/// Lays out one side for given unknowns.
[[nodiscard]] base::Result<Side> side_at(layout::Intent intent, double splay, double lower_trim,
                                         const study::MitreOptions& how);

enum class Mover { splay, blade_from_hub };

/// A length rounded to what a file can do, mm.
[[nodiscard]] double in_file_steps(double mm);

/// What of a blade is finished, in numbers.
struct AsCut {
  double length = 0;      ///< mm
  bool at_lower = false;  ///< the lower cut is the unknown one, the upper one is where it was planned
  double lower_trim = 0;  ///< known unless at_lower
  double top = 0;         ///< known if at_lower: where it ends at the top, from the tip
};

/// The side that takes a finished blade: `mover` gives way until the blade has its length.
///   within  1e-8 mm of the length
///   fails   done-unreachable: no such stand near the plan
[[nodiscard]] base::Result<Side> side_taking(const layout::Intent& intent, const AsCut& cut, Mover mover,
                                             double splay, const study::MitreOptions& how);

/// The side that takes a finished blade in a crown it goes on past: it stands less far past the crown's line,
/// which stays where it is.
///   in      plan  the side as planned
///   within  1e-8 mm of the length
///   fails   done-unreachable: too little of the blade would be left in the crown
[[nodiscard]] base::Result<Side> side_slid(const layout::Intent& intent, const AsCut& cut,
                                           const layout::Placed& plan, const study::MitreOptions& how);
/// A side whose blade meets the crown's line where it was planned, for a given lower trim.
[[nodiscard]] base::Result<Side> side_in_crown(layout::Intent intent, double lower_trim,
                                               const layout::Placed& plan, const study::MitreOptions& how);

/// The same side with its trim and its place at the crown rounded to what a file can do, laid out anew.
///   in   plan     the side as planned
///   out  `wishes` says how the job asks for it
[[nodiscard]] base::Result<Side> side_rounded(const Side& exact, const Side& plan,
                                              const study::MitreOptions& how);

/// Steel that is missing at one end of a finished blade for it to be cut anew: the most by which the new cut
/// reaches beyond the old one, over all of the clock, mm; negative: so much comes off everywhere.
///   in   was   the side by whose template it was cut
///        gone  what is gone at that end beyond that cut, along the tube, mm
[[nodiscard]] double steel_missing(const Side& was, const Side& is, bike::End end, double gone);

/// How the cut of one end differs from another's, once both are pushed home.
struct CutChange {
  double depth = 0;  ///< greatest less least change of the template's depth where both meet the target, mm
  double gap = 0;    ///< what gapes if the first is put where the second belongs, square to the target, mm
};
/// The end of `was` against that of `is`; nothing changes at an end that is not mitred.
[[nodiscard]] CutChange cut_change(const Side& was, const Side& is, bike::End end);

}  // namespace halfround::replan
