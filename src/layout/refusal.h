// Why a blade can't lie as it is wished for, in words and as numbers that would do. Frame: none.
#pragma once

#include "layout/lay_out.h"

namespace halfround::layout {

/// Of a wish, as the job spells it: "wishes.crown_height"
[[nodiscard]] std::string key_of(Wish wish);

/// As people read it and as it can be typed: "24.0 mm", "1.2 deg".
[[nodiscard]] std::string shown(Wish wish, double value);

/// A value as it is offered: rounded to tenths of a mm or degree, toward what fits.
///   in  nearest  the last value that can be had;  wished  the one that can't
[[nodiscard]] double offered(Wish wish, double nearest, double wished);

/// `wish-unreachable`: two wishes that can't both be met. Its first offer is what can be had of `wish`, not
/// tried yet.
///   in  nearest  of `wish`, while `other` stays as it is wished
[[nodiscard]] base::Problem unreachable(const Wished& wish, const Wished& other, double nearest);

/// A problem of one side of a fork whose sides differ: its keys become that side's own, "wishes.right.splay".
[[nodiscard]] base::Problem of_side(base::Problem problem, bool left);

}  // namespace halfround::layout
