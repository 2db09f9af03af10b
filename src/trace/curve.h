// Curves as they stand in a file somebody drew or traced: a table of points, SVG paths, DXF polylines.
// Frame: the drawing's own, +x right, +y up (an SVG's y is turned), in the file's unit.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/maths.h"
#include "base/result.h"

namespace halfround::trace {

using base::Vec2;

inline constexpr std::size_t kMostPoints = 1'500'000;  ///< more is no tracing
inline constexpr std::size_t kMostCurves = 100'000;    ///< likewise; a drawing of single lines has one each
inline constexpr double kFlat =
    0.002;  ///< in the file's unit: chords of its arcs and Bezier curves stay within this

struct Curve {
  std::vector<Vec2> points;
  std::vector<int> lines;  ///< where each point stands in the file
  std::string name;        ///< id, layer or ""
  bool closed = false;
};

struct Drawing {
  std::vector<Curve> curves;          ///< each with two points at least
  std::optional<double> unit;         ///< of the file in mm, where it says one
  std::string unit_said;              ///< "width = 210mm", "$INSUNITS = 4", "the head says mm"
  std::vector<std::string> left_out;  ///< what could not be taken: "2 SPLINE"
};

/// What was read so far, counted while it is read: a small file can describe many points.
class Tally {
 public:
  void points(std::size_t n = 1) { points_ += n; }
  void curve() { ++curves_; }
  [[nodiscard]] bool full() const { return points_ > kMostPoints || curves_ > kMostCurves; }
  /// trace-too-many, where it is full
  [[nodiscard]] base::Problem problem(const std::string& file, int line) const;

 private:
  std::size_t points_ = 0, curves_ = 0;
};

enum class Format { table, svg, dxf };
/// By the file's ending, else by how it begins.
[[nodiscard]] Format format_of(std::string_view text, const std::string& file);

/// fails  trace-number, trace-row, trace-empty, trace-format, trace-unsupported, trace-too-many
[[nodiscard]] base::Result<Drawing> read_drawing(std::string_view text, const std::string& file);
[[nodiscard]] base::Result<Drawing> read_table(std::string_view text, const std::string& file);
[[nodiscard]] base::Result<Drawing> read_svg(std::string_view text, const std::string& file);
[[nodiscard]] base::Result<Drawing> read_dxf(std::string_view text, const std::string& file);

/// Points of an arc after its first, the last included; chords within kFlat.
[[nodiscard]] std::vector<Vec2> arc_after(const Vec2& centre, double radius, double from, double sweep);

/// A number as files write it: "-1.5", "1e-3", ".5". Nothing for anything else, for what isn't finite or
/// beyond 1e9.
[[nodiscard]] std::optional<double> number_of(std::string_view text);

}  // namespace halfround::trace
