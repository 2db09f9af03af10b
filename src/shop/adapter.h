// Pieces to turn where the fixture doesn't fit the fork: where its hub is not the dummy axle, where its
// steerer is thinner than the clamp or its crown race seat falls through the race stop. Frame: along the
// axle, from the middle outward, both sides alike; of the steerer's pieces along the steerer, from the seat
// into the stop.
//
//        shoulder  spigot
//         |<-->|<-------->|
//         .____.                    the dummy axle runs through the bore; its shoulder stands on the left
//         |    |__________.         against the piece, the fork end slides on from the right, over the
//         spigot,
//    - - -|- - - - - - - -|- - -    up to the shoulder.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bike/assembly.h"
#include "shop/fits.h"
#include "shop/shop.h"

namespace halfround::shop {

/// How the hub meets the fork.
struct HubEnd {
  double over_locknut = 0;  ///< mm
  double axle = 0;          ///< hole or slot in the fork end, mm
  double depth = 0;         ///< of that hole: the insert's length, or the dropout's thickness, mm
  double outside = 0;       ///< of the insert, mm; 0: a flat dropout
};

/// The hub end of an assembly: of its inserts, else of its dropouts.
///   in  over_locknut, axle  of the job's hub, mm
[[nodiscard]] HubEnd hub_end(const bike::Assembly& assembly, double over_locknut, double axle);

enum class AdapterKind {
  spacer,          ///< between the dummy axle's shoulder and the fork end
  sleeve,          ///< on the dummy axle's end
  stepped_insert,  ///< both
  dummy_axle,      ///< a new one
  race_ring,       ///< flanged ring in the race stop: the crown race seat stands on its flange
  clamp_sleeve,    ///< split sleeve between the steerer and its clamp
};
/// Goes where the hub sits? The others hold the steerer.
[[nodiscard]] constexpr bool for_hub(AdapterKind kind) {
  return kind < AdapterKind::race_ring;
}

struct Adapter {
  AdapterKind kind = AdapterKind::spacer;
  std::string title;                    ///< "stepped insert, 2 pieces"
  int pieces = 2;                       ///< one for each side
  double shoulder = 0;                  ///< thickness that makes up the width, mm; 0: none
  double shoulder_diameter = 0;         ///< mm
  double spigot = 0;                    ///< length inside the fork end, mm; 0: none
  std::optional<FitLimits> spigot_fit;  ///< outside of the spigot
  std::optional<FitLimits> bore_fit;    ///< runs on the dummy axle
  double over_shoulders = 0;            ///< of a new dummy axle, mm
  double chamfer = 0;                   ///< 45 degrees, at the spigot's tip and both ends of the bore, mm
  double relief = 0;                    ///< undercut in the corner of shoulder and spigot, mm; 0: none
  std::optional<Clearance> in_fork_end, on_dummy;  ///< diameters, mm
  double play = 0;  ///< how far the fork end can then stand off the dummy's middle at worst, mm
  std::vector<std::string> notes;
};

struct AdapterWishes {
  std::string bore_class = "H7", spigot_class = "g6";
  std::string fork_end_class = "H8";  ///< what the hole in the fork end is taken for
  std::string dummy_class = "h8";     ///< what the dummy axle is taken for
  double chamfer = 0.5;               ///< mm
  double short_of_end = 1;  ///< the spigot ends this far inside the fork end, so that the nut clamps it
  double least_wall = 1;    ///< thinner than this a sleeve is a foil, mm
};

/// The pieces that bring a dummy axle to a hub; nothing where it fits as it is. A piece can only add width
/// and diameter: where the dummy axle is too wide or too thick, the piece is a new dummy axle.
///   fails  fit-class-unknown, fit-size-outside (fits.h)
[[nodiscard]] base::Result<std::optional<Adapter>> adapter(const HubEnd& hub, const DummyAxle& dummy,
                                                           const AdapterWishes& wishes = {});

/// A flanged ring for a race stop that the crown race seat would fall through: its spigot slides into the
/// stop's bore, the seat stands on its flange. Its `shoulder` lifts the seat off the stop by that much.
///   in     bore, seat, steerer  diameters, mm; steerer < bore
///   fails  fit-size-outside (fits.h)
[[nodiscard]] base::Result<Adapter> race_ring(double bore, double seat, double steerer);

/// A split sleeve for a clamp that is too wide for the steerer.
///   in     clamp  the thinnest it grips, mm; steerer < clamp
///   fails  fit-size-outside (fits.h)
[[nodiscard]] base::Result<Adapter> clamp_sleeve(double clamp, double steerer);

/// Of several the one that asks for the least turning. Null where there is none.
[[nodiscard]] const DummyAxle* nearest_dummy(const std::vector<DummyAxle>& dummies, const HubEnd& hub);

}  // namespace halfround::shop
