// What the fork drawing says of the fork: dimensions, marks for the hand, notes. Frame P, mm, 1:1.
#pragma once

#include "drawing/fork_outline.h"
#include "drawing/on_paper.h"

namespace halfround::drawing {

inline constexpr double kLetter = 3.5;  // mm, as ISO 3098 has it for sheets of this size [memory]

/// Marks every 50 mm along the left blade from its lower design point, with width and depth there.
void put_blade_marks(Group& g, const Drawing& d);
void put_front_dimensions(Group& g, const Drawing& d);
void put_front_angles(Group& g, const Drawing& d);
///   in   left_x  where the side view's room ends on the left, mm in P
void put_side_dimensions(Group& g, const Drawing& d, double left_x);

/// How the offset is made up, as a small stack; `at`: its upper left corner.
void put_shares(Group& g, const Drawing& d, const Vec2& at);
/// What else is worth knowing at the bench, under `at`.
void put_notes(Group& g, const Drawing& d, const Vec2& at);

}  // namespace halfround::drawing
