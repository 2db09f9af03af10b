// What the builder reports back of a fork that is half made: pieces cut, turned, brazed, measured; and what
// may still move, by how much. Plain data, nothing worked out. Frame: none. docs/replan.md
#pragma once

#include <optional>

#include "base/quantity.h"

namespace halfround::job {

using base::Quantity;

enum class CutEnd { upper, lower };

/// A blade of which something is finished. With `length` or `short_by` both ends are cut, with `lower_trim`
/// alone only the lower one.
struct DoneBlade {
  std::optional<Quantity> length;      ///< between the bottoms of its two cuts, straight, mm
  std::optional<Quantity> short_by;    ///< the same against the plan, mm; < 0: too long
  CutEnd short_at = CutEnd::upper;     ///< the end that was cut differently from the plan
  std::optional<Quantity> lower_trim;  ///< cut from the tip, mm
  bool joined = false;                 ///< its insert or dropout is brazed on
  [[nodiscard]] bool cut_at_both_ends() const { return length || short_by; }
  [[nodiscard]] bool touched() const { return cut_at_both_ends() || lower_trim || joined; }
};

/// A turned barrel as it came off the lathe.
struct DoneInsert {
  std::optional<Quantity> diameter, length, bore;  ///< mm
};

struct Done {
  DoneBlade left, right;
  DoneInsert left_insert, right_insert;
  std::optional<Quantity> steerer_length, below_seat;           ///< mm
  std::optional<Quantity> offset, axle_to_crown, crown_height;  ///< of the tacked fork, mm
  bool as_cut = false;  ///< finished blades stay as they are, each joint where it was planned
};

/// Plus-minus of what may move; mm or rad.
struct Freedoms {
  Quantity axle_to_crown, offset, crown_height, splay, blade_from_hub;
  Quantity clearance;       ///< how much of the wished clearance may be lost
  bool other_blade = true;  ///< the other blade may be made to match
};

}  // namespace halfround::job
