// Inside of the re-planning: the plan as written and what is done, in numbers, side by side. Frame F.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "job/job.h"
#include "replan/replan.h"
#include "replan/replan_side.h"

namespace halfround::replan {

/// Everything by side, left first, each as a left one.
struct Facts {
  job::Done done;
  job::Freedoms free;
  study::MitreOptions how;
  Side plan[2];                 ///< as written
  layout::Intent facts[2];      ///< with the parts as they are: turned inserts, steerer, measured fork
  std::optional<AsCut> cut[2];  ///< blades cut at both ends
  std::optional<Side> held[2];  ///< the same where the splay gives way: their lower trim and top
  [[nodiscard]] const job::DoneBlade& blade(bool left) const { return left ? done.left : done.right; }
  /// Cut at both ends, and not as planned.
  [[nodiscard]] bool off_plan(bool left) const;
};

/// Left is the first.
[[nodiscard]] constexpr std::size_t index_of(bool left) {
  return left ? 0 : 1;
}
[[nodiscard]] constexpr const char* side_name(bool left) {
  return left ? "left" : "right";
}

/// Lays out the plan and finds what the finished blades are.
///   fails  those of layout and mitre for the plan as written; done-contradicts, done-unreachable
[[nodiscard]] base::Result<Facts> facts_of(const job::Job& job);

/// What the facts mean, in plain words.
[[nodiscard]] std::vector<Reading> notes_of(const job::Job& job, const Facts& facts);

}  // namespace halfround::replan
