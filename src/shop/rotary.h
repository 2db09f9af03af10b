// A mitre as a path for a machine that turns the tube: a rotary axis under one tool. Explained in
// docs/exchange.md. Frame R of the machine: the tube lies along X and turns about it.
//
//      Z ^  | tool, along Z, always over the axis (y = 0)
//        |  v
//     ___|_______________________    A  clock angle under the tool: it grows as the member's own clock angle
//     does
//        0 - - - - - - - - - - -> X  X  from the scribe line toward the end that is cut
//     ___________________________    Z  from the axis the tube turns about
//        scribe line      cut end
#pragma once

#include <string>
#include <vector>

#include "bike/assembly.h"
#include "shop/shop.h"
#include "study/mitre.h"

namespace halfround::shop {

/// One straight move to here.
struct RotaryMove {
  bool rapid = false;
  double x = 0, a = 0, z = 0;  ///< mm, rad, mm
  double feed = 0;             ///< along the tube's surface, mm/min; unused for a rapid move
};

/// What the moves do to the tube, found by running them, not by how they were made.
struct DryRun {
  double gouged = 0;        ///< deepest cut into steel that is to stay, along the tube, mm
  double u_gouged = 0;      ///< rad
  double left_outer = 0;    ///< most left standing over the outer edge, mm
  double u_left_outer = 0;  ///< rad
  double left_inner = 0;    ///< and over the inner edge
  double u_left_inner = 0;
  double lowest = 0;            ///< least Z, mm: above 0 it never comes below the axis
  bool rapid_in_steel = false;  ///< a rapid move touches the tube
  double minutes = 0;           ///< of the moves at their feeds, rapid ones not counted
  [[nodiscard]] bool fine() const {
    return gouged <= 0.005 && lowest > 0 && !rapid_in_steel && left_outer < 1e3 && left_inner < 1e3;
  }
};

struct RotaryPath {
  bike::Part member;
  bike::End end = bike::End::end;
  bike::Part onto;
  bool mills = false;     ///< false: a tool of zero width marks the outer edge; true: a mill cuts through
  std::string why_marks;  ///< why it only marks, where the shop's tool could mill
  RotaryTool tool;        ///< as used
  std::vector<RotaryMove> moves;
  double radius = 0;           ///< greatest of the tube where it works, mm
  double stock_end = 0;        ///< X of the stock's end, mm
  double scribe_from_end = 0;  ///< from the stock's end back to the scribe line, along the centreline, mm
  double swing = 0;            ///< radius the whole stock sweeps about the axis, mm
  double run_out = 0;  ///< how far the tube's middle line leaves the axis between scribe line and cut, mm
  double x_least = 0, x_most = 0, z_least = 0, z_most = 0;  ///< of all moves, mm
  DryRun dry;
  /// Why no machine should be given it; empty: it can be run.
  [[nodiscard]] std::string why_not() const;
};

/// The path of one end. Axis A is the tangent of the tube's centreline in the middle of the cut. A mill keeps
/// clear of both edges: where outer and inner one differ, it leaves the shallower one standing for the file,
/// and `dry` says how much.
///   in      mitre  of this assembly
///   out     one turn and 5 degrees more; a marking path where the wall is unknown or the mill is too wide
///   within  0.002 mm of the cut: both edges are read every quarter of a degree, straight between
[[nodiscard]] RotaryPath rotary_path(const bike::Assembly& assembly, const study::Mitre& mitre,
                                     const RotaryTool& tool);

/// Runs moves against the tube.
///   in   path  its moves and tool; the rest is read from assembly and mitre again
[[nodiscard]] DryRun dry_run(const bike::Assembly& assembly, const study::Mitre& mitre,
                             const RotaryPath& path);

}  // namespace halfround::shop
