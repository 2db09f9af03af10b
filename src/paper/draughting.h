// Dimensions, leaders and curves as display-list items, in the manner of ISO 129-1 and ISO 128 (proportions
// from memory): filled 15° arrow heads, text above its line, read from the bottom or from the right of the
// sheet. Frame P throughout, mm; angles rad, counter-clockwise from +x. Callers bring the text: "36.5",
// "(45.0)" when driven.
#pragma once

#include <string>
#include <vector>

#include "paper/display.h"

namespace halfround::paper {

using Items = std::vector<Item>;

/// Adds items to a group: `add(group, dimension_linear(...))`.
void add(Group& group, Items items);

// --- curves as points ---

inline constexpr double kChordError = 0.005;  ///< mm; half the width of nothing that ink can show

/// Points of an arc from angle a0 to a1 (a1 < a0 runs clockwise), ends exact, chords within kChordError.
[[nodiscard]] std::vector<Vec2> arc_points(const Vec2& centre, double radius, double a0, double a1);

/// A full circle as a closed path.
[[nodiscard]] Path circle(const Vec2& centre, double radius, const Stroke& stroke = {});
[[nodiscard]] Path arc(const Vec2& centre, double radius, double a0, double a1, const Stroke& stroke = {});
[[nodiscard]] Path line(const Vec2& from, const Vec2& to, const Stroke& stroke = {});
[[nodiscard]] Path rectangle(const Box& box, const Stroke& stroke = {});

/// Length along a path's points, the closing side included, mm.
[[nodiscard]] double length_of(const Path& path);

// --- dimensions ---

/// How a dimension looks; the defaults suit a workshop drawing.
struct DimensionStyle {
  double height = 2.5;  ///< cap height of the text, mm
  double arrow = 2.5;   ///< length of an arrow head, mm
  double gap = 1.0;     ///< between feature and extension line, and between line and text, mm
  double beyond = 1.5;  ///< extension line beyond the dimension line, mm
  Ink ink = Ink::graphite;
  bool italic = false;  ///< an assumed value
  bool bold = false;
  std::string key{};  ///< of the job file, where the dimension sets it
};

/// Filled arrow head, 15° between its sides, tip at `tip`, pointing along `direction` (any length but zero).
[[nodiscard]] Path arrow_head(const Vec2& tip, const Vec2& direction, double length = 2.5,
                              Ink ink = Ink::graphite);

/// The distance from p to q. The dimension line lies `offset` mm to the left of the way from p to q
/// (negative: to the right). A span too short for arrows gets them outside; a text too long for its span
/// stands beyond q.
[[nodiscard]] Items dimension_linear(const Vec2& p, const Vec2& q, double offset, const std::string& text,
                                     const DimensionStyle& style = {});

/// The part of the distance from p to q that runs along `along` (a horizontal or upright dimension of a
/// slanting edge); `offset` is measured from p to the left of `along`.
[[nodiscard]] Items dimension_along(const Vec2& p, const Vec2& q, const Vec2& along, double offset,
                                    const std::string& text, const DimensionStyle& style = {});

/// The angle from a0 to a1 about `centre`, drawn as an arc of `radius`.
[[nodiscard]] Items dimension_angle(const Vec2& centre, double a0, double a1, double radius,
                                    const std::string& text, const DimensionStyle& style = {});

/// The radius of an arc, met at angle `at`: an arrow from outside (or, with `reach` < 0, from inside) ending
/// on the arc, text on a shelf `reach` mm away from it.
[[nodiscard]] Items dimension_radius(const Vec2& centre, double radius, double at, const std::string& text,
                                     double reach = 8, const DimensionStyle& style = {});

/// An arrow at `at`, a line to `to` and there a level shelf with the text above, running away from `at`.
[[nodiscard]] Items leader(const Vec2& at, const Vec2& to, const std::string& text,
                           const DimensionStyle& style = {});

/// Two chain lines crossing in `centre`, 2 mm longer than `radius` on each side.
[[nodiscard]] Items centre_mark(const Vec2& centre, double radius, Ink ink = Ink::graphite);

/// The turn that lets a text along `direction` be read from the bottom or from the right: (-90°, 90°], rad.
[[nodiscard]] double readable_turn(const Vec2& direction);

}  // namespace halfround::paper
