// How a blade goes into a blind bore, of a crown that is there already or of a block: the air round it, what
// has to be bored, and how far it must be spread because blade and socket point different ways. Frame: the
// assembly's.
#pragma once

#include <vector>

#include "bike/assembly.h"
#include "bike/limit.h"

namespace halfround::study {

/// Air that a brazing filler still runs into by itself, a side, mm.
/// [source: AWS Brazing Handbook, from memory: 0.05 to 0.13 for brass; up to 0.25 is common practice]
inline constexpr double kLeastSocketGap = 0.05, kMostSocketGap = 0.25;
inline constexpr double kWantedSocketGap =
    0.1;  ///< what a socket is bored out to, a side, mm [common practice]

struct SocketFit {
  bike::Part member, plate;
  double gap_least =
      0;  ///< from the blade to the socket's wall, a side, square to the socket, mm; < 0: too tight
  double gap_most = 0;    ///< the same where it is widest, mm
  double gap_mean = 0;    ///< mm
  double lean = 0;        ///< between the blade's middle line at the mouth and the socket, rad
  double bore_width = 0;  ///< to bore it out to, across the bicycle, kWantedSocketGap a side, mm
  double bore_depth = 0;  ///< and fore and aft, mm
  bool to_bore = false;   ///< somewhere it is tighter than kLeastSocketGap
  double spread =
      0;  ///< the blade's other end, left to the socket, would stand so far inward of its place, mm
  double forward = 0;  ///< and so far behind it, mm
};

/// Every member that stands in a blind bore.
///   within  1e-3 mm of the gap of sections square to the socket: the air is looked at in 9 places along it
///   and
///           72 round it; for an oval it is measured along the radius
[[nodiscard]] std::vector<SocketFit> socket_fits(const bike::Assembly& assembly);

/// Gap and direction of each, with what to do about them; no direction where the socket points along its
/// blade.
[[nodiscard]] std::vector<bike::Verdict> verdicts(const std::vector<SocketFit>& fits);

}  // namespace halfround::study
