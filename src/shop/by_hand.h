// An end cut with hacksaw and file: the rough cut that leaves all the steel that is wanted, what the file
// takes off at each clock position, the bevel, and the order. Frame: depths as in study/mitre.h, from the
// scribe line toward the joint along the surface; clock angles the member's own.
#pragma once

#include <string>
#include <vector>

#include "bike/assembly.h"
#include "shop/rough_cut.h"
#include "shop/shop.h"
#include "study/mitre.h"

namespace halfround::shop {

struct HandRow {
  double u = 0;         ///< rad, every 15 degrees
  double wanted = 0;    ///< depth of the finished edge, mm
  double take_off = 0;  ///< from the saw line down to it, mm
  double bevel = 0;     ///< of the finished face, rad; > 0: the outer edge reaches farther
  bool met = true;      ///< false: ends at the plane through the target's axis
};

struct FilingStep {
  std::string what;         ///< one sentence
  std::string file;         ///< name of the shop's file; "" where it has none that fits
  double from = 0, to = 0;  ///< clock angles, rad, to > from (to may exceed 2 pi); equal: all the way round
  double most = 0;          ///< taken off at most, mm
  bool after_mill = false;  ///< is left to do after a cutter too; the others only where all is done by hand
};

struct HandPlan {
  bike::Part member;
  bike::End end = bike::End::end;
  bike::Part onto;
  RoughCut saw;
  std::vector<HandRow> rows;
  std::vector<FilingStep> steps;  ///< in their order, the saw first
  double file_radius = 0;         ///< of the round file that is used, mm; 0: none fits
};

/// The plan for one end.
///   in      mitre  of this assembly; leave: what the saw leaves standing over the finished edge at least, mm
///   out     no row's take_off is below `leave`
[[nodiscard]] HandPlan by_hand(const bike::Assembly& assembly, const study::Mitre& mitre, const Shop& shop,
                               double leave = 0.5);

}  // namespace halfround::shop
