// A drawn curve as the piece of a job: a blade's section, a blade's middle line, half a tyre.
// Frames: of the drawing, +x right, +y up; of the result, that of the job file's keys (docs/job-file.md).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "trace/curve.h"

namespace halfround::trace {

enum class Kind { blade_section, blade_centreline, tyre };
enum class SeenFrom { front, side };

struct Wish {
  Kind kind = Kind::blade_section;
  std::optional<double> unit{};     ///< mm a unit of the file; wins over what the file says
  double smooth = 0.3;              ///< the farthest a point may be moved, mm
  double turn = 0;                  ///< the drawing is turned by this first, rad, counter-clockwise
  bool flip = false;                ///< and mirrored left and right
  bool reverse = false;             ///< a middle line is drawn from the top down
  SeenFrom seen = SeenFrom::front;  ///< a middle line: from the front it bends inward, from the side forward
  std::size_t curve = 0;            ///< which one, from 1; 0: the longest
};

/// What was understood, to write and to look at.
struct Understood {
  Kind kind = Kind::blade_section;
  std::string toml;          ///< to paste into a job
  std::vector<Vec2> raw;     ///< points of the file in the frame of the picture, mm; at most some thousand
  std::vector<Vec2> shape;   ///< the smoothed curve, the same frame
  std::vector<Vec2> picked;  ///< the points that stand in the toml
  bool closed = false;
  std::string right, up;           ///< what the picture's axes are: "outward", "rearward"
  std::vector<std::string> notes;  ///< unit and its source, points, smoothing, size, what was assumed
};

/// Reads, mends and fits.
///   within  the picked points lie on the smoothed curve to 0.01 mm; between them docs/import.md
///   fails   those of read_drawing and mend; trace-unit  the file says no unit and none was given
///           trace-size    too large or too small to be what it should be; says which unit would fit
///           trace-folded  turns back on itself where the job's keys want one value
///           trace-curve   there is no curve of that number
[[nodiscard]] base::Result<Understood> understand(std::string_view text, const std::string& file,
                                                  const Wish& wish);

}  // namespace halfround::trace
