// The slot for a flat part in a tube's end: where it is sawn, and what it takes out of the wall: two gaps as
// wide as the plate is thick, as deep as it reaches into the tube, with a bottom square to the tube's end.
// Frame: the assembly's.
#pragma once

#include <array>

#include "bike/assembly.h"
#include "study/volume.h"

namespace halfround::study {

/// Where the hand saws.
struct Slot {
  double depth = 0;               ///< how deep the plate reaches into that end of the member, along it, mm
  double width = 0;               ///< of the plate, mm
  double offset = 0;              ///< of the plate's middle from the tube's, along the plate's normal, mm
  std::array<double, 2> clock{};  ///< of the two gaps' middles on the ring at the end, rising, rad 0..2 pi
};
[[nodiscard]] Slot slot_of(const bike::Member& member, bike::End end, const bike::Plate& plate);

/// The steel between the two sides of the slot.
///   in      member  of a known wall
///   within  1e-6 of itself
[[nodiscard]] Volume slot_volume(const bike::Member& member, bike::End end, const bike::Plate& plate);

}  // namespace halfround::study
