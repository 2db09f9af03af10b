// What a machine cuts out of flat material or turns along a profile: closed contours of straight lines and
// true arcs, in the order to cut them. DXF and SVG for cutters are both written from it; nothing is to look
// at. Frame: the part's own plane, +x right, +y up, mm, always 1:1.
#pragma once

#include <string>
#include <vector>

#include "exchange/on_paper.h"

namespace halfround::exchange {

/// A corner and the arc that leads on from it.
struct Corner {
  Vec2 at = Vec2::Zero();
  double bulge =
      0;  ///< tan(sweep / 4) of the arc to the next corner, > 0 counter-clockwise; 0: a straight line
};

struct Contour {
  std::vector<Corner> corners;
  bool closed = true;
};

struct CutDrawing {
  std::string stem;               ///< file name without ending: "template-left-blade-upper-end"
  std::string title;              ///< one plain line
  std::vector<Contour> cut{};     ///< closed, in cutting order: what lies inside another comes before it
  std::vector<Contour> marks{};   ///< lines to scribe or engrave, not cut through
  std::vector<Contour> checks{};  ///< the check square, to measure before anything is cut
  std::vector<Text> words{};
  double chord_error =
      0;  ///< how far a straight piece may stand off the curve it stands for, mm; 0: none does
};

inline constexpr double kCheckSquare = 20;  ///< side, mm

[[nodiscard]] Contour straight_contour(const std::vector<Vec2>& points, bool closed = true);
/// A full circle: two half turns, counter-clockwise.
[[nodiscard]] Contour circle_contour(const Vec2& centre, double radius);
/// The circle a contour is, if it is one.
struct Circle {
  Vec2 centre = Vec2::Zero();
  double radius = 0;  ///< mm; 0: the contour is no circle
};
[[nodiscard]] Circle circle_of(const Contour& contour);

/// The arc that leads from a corner to the next.
struct ArcOf {
  Vec2 centre = Vec2::Zero();
  double radius = 0;  ///< mm
  double sweep = 0;   ///< rad, > 0 counter-clockwise
};
/// in  corner with a bulge that is not 0
[[nodiscard]] ArcOf arc_of(const Corner& corner, const Vec2& next);

/// Along all its lines and arcs, mm.
[[nodiscard]] double length_of(const Contour& contour);
/// Of a closed contour, arcs exact, mm2; > 0 counter-clockwise.
[[nodiscard]] double area_of(const Contour& contour);
[[nodiscard]] Box bounds_of(const std::vector<Contour>& contours);
/// Points along it; chords of its arcs within `chord` mm.
[[nodiscard]] std::vector<Vec2> points_of(const Contour& contour, double chord = 0.005);

/// Inner contours before the ones they lie in; else the order stays.
///   in  closed contours that don't cross each other
[[nodiscard]] std::vector<Contour> in_cutting_order(std::vector<Contour> contours);

/// How far the chords of a smooth curve's points may stand off it, mm: an eighth of the greatest second
/// difference. A true corner of the curve counts as if it were bent, so this is on the safe side.
[[nodiscard]] double chord_error_of(const std::vector<Vec2>& points);

/// Puts the check square and the words below what is there: title, millimetres, chord error, then `lines`.
void furnish(CutDrawing& drawing, const std::vector<std::string>& lines);

}  // namespace halfround::exchange
