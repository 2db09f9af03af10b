// Charts on the display list, as an old handbook prints them: thin axes on two sides, few ticks, every curve
// named at its own end, black on white. Frame P throughout, mm; data in whatever unit the axis' title says.
#pragma once

#include <string>
#include <vector>

#include "drawing/on_paper.h"
#include "paper/draughting.h"

namespace halfround::drawing {

/// The rectangle between the axes and what it stands for.
struct Plot {
  Box area;               ///< of the curves, mm; figures and titles stand to the left of it and below
  double x0 = 0, x1 = 1;  ///< data at the left and the right edge, x0 < x1
  double y0 = 0, y1 = 1;  ///< at the lower and the upper edge, y0 < y1
  double letters = 2.5;   ///< cap height, mm
  [[nodiscard]] Vec2 at(double x, double y) const;  ///< mm
};

/// Room that figures and titles of the axes need outside the area, mm.
inline constexpr double kAxisLeft = 13, kAxisBelow = 9;

/// Values at steps of 1, 2 or 5 times a power of ten, from the first not below `from` to the last not above
/// `to`.
///   in   from < to; `about` (>= 1) how many steps are wished
///   out  the step is the one of its kind whose number comes nearest to `about`, counted in proportion
struct Ticks {
  double step = 1;
  int decimals = 0;  ///< that show the step
  std::vector<double> values;
};
[[nodiscard]] Ticks nice_ticks(double from, double to, int about);

/// The lower axis with its figures and its title below them, the left one with its title above its end.
[[nodiscard]] Items axis_below(const Plot& plot, const std::string& title, int about = 5);
[[nodiscard]] Items axis_left(const Plot& plot, const std::string& title, int about = 5);

/// A polyline through data points, cut at the area's edges.
[[nodiscard]] Items curve(const Plot& plot, const std::vector<Vec2>& data, const Stroke& stroke);

/// A name beside the end of a curve.
struct EndLabel {
  double y = 0;  ///< where its curve ends, data
  std::string text;
};
/// Names to the right of the area, moved apart where they would touch and then tied to their ends by a thin
/// line; in the order of y.
[[nodiscard]] Items end_labels(const Plot& plot, std::vector<EndLabel> labels);

/// A light tone from x = a to x = b over the whole height. Draw it first: tones cover.
[[nodiscard]] Items band(const Plot& plot, double a, double b);

/// A line over the whole height at x, with a name above the area.
///   in   lift  how many lines of letters higher the name stands, so that two neighbours don't touch
[[nodiscard]] Items upright(const Plot& plot, double x, const std::string& name, const Stroke& stroke,
                            int lift = 0, Anchor anchor = Anchor::centre);

/// Columns from y = 0, outlined together as one silhouette over a light tone; those outside `low`..`high`
/// (data; columns judged by their middle) are hatched.
///   in   start, width  of the first column and of each, data
[[nodiscard]] Items columns(const Plot& plot, double start, double width, const std::vector<double>& heights,
                            double low, double high);

/// A ranked row: its name, a bar and a figure at the bar's end.
struct RankedBar {
  std::string name;
  double share = 0;    ///< of the longest possible bar, 0..1
  std::string figure;  ///< "62 %"
};
/// Rows from the top of the box down, `row` mm each; names take `names` mm at the left. What does not fit
/// below is left out.
[[nodiscard]] Items ranked_bars(const Box& box, const std::vector<RankedBar>& bars, double names,
                                double row = 5, double letters = 2.5);

}  // namespace halfround::drawing
