// What to measure on a surface plate and what it should read: the fork held three ways, heights off the plate
// against the steerer's own axis, so that nobody adds up in the head.
// Frame: heights are mm above the plate; signs as the fork stands there.
#pragma once

#include <string>
#include <vector>

#include "job/job.h"
#include "solve/solve.h"

namespace halfround::sheet {

enum class Held { standing, lying, on_its_side };

/// One line of the plan.
struct PlateMeasure {
  Held held = Held::standing;
  std::string mark;     ///< of its place in the drawing: "A"
  std::string what;     ///< "axle end, left, above the crown race seat"
  double expected = 0;  ///< mm, or degrees where `unit` says so
  std::string unit = "mm";
  std::string limit;  ///< "±0.50", "at most 0.50", "" where nobody set one
};

/// Standing: steerer upright against an angle plate, fork ends up. Lying: steerer level in V-blocks, offset
/// up. On its side: the same turned a quarter, left end up.
///   source  heights follow from the assembly; limits are the job's
[[nodiscard]] std::vector<PlateMeasure> measuring_plan(const job::Job& job, const solve::Answer& answer);

[[nodiscard]] std::string words(const PlateMeasure& measure);  ///< its value: "404.61 mm"

}  // namespace halfround::sheet
