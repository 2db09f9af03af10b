// What the slot for a flat part takes out of a tube's wall: two gaps as wide as the plate is thick, as deep
// as it reaches into the tube, with a bottom square to the tube's end. Frame: the assembly's.
#pragma once

#include "bike/assembly.h"
#include "study/volume.h"

namespace halfround::study {

/// How deep the plate reaches into that end of the member, along it, mm.
[[nodiscard]] double slot_depth(const bike::Member& member, bike::End end, const bike::Plate& plate);

/// The steel between the two sides of the slot.
///   in      member  of a known wall
///   within  1e-6 of itself
[[nodiscard]] Volume slot_volume(const bike::Member& member, bike::End end, const bike::Plate& plate);

}  // namespace halfround::study
