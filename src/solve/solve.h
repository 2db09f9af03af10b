// The front door: one call from a job to everything that follows from it. Terminal, server and whole-fork
// tests come in here. Frames: fork frame F (bike/assembly.h).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "bike/limit.h"
#include "job/job.h"
#include "layout/lay_out.h"
#include "replan/stands.h"
#include "shop/shop.h"
#include "solve/ask.h"
#include "study/braze.h"
#include "study/handling.h"
#include "study/mass.h"
#include "study/mitre.h"
#include "study/small_parts.h"

namespace halfround::solve {

/// Something the builder should read: a warning, what moved, what was assumed. Part of the answer, not an
/// error.
struct Note {
  enum class Kind { warning, moved, assumed } kind = Kind::warning;
  std::string code;   ///< stable, docs/problems.md
  std::string where;  ///< member, joint or job key
  std::string what;   ///< one or two plain sentences
};

/// How the fork steers, with the frame's head angle.
struct Handling {
  double head_angle = 0;
  double wheel_radius = 0;
  double trail = 0, normal_trail = 0, flop = 0;
  double axle_to_crown_straight = 0, axle_to_crown_along = 0;
  /// Where the job has the radius with the rider on: the other numbers are those of the tyre as it is pumped.
  std::optional<double> loaded_radius, loaded_trail;
};

struct Answer {
  std::string name;      ///< of the job
  std::string revision;  ///< 8 hex digits of the job's text; "" when solved without a text
  layout::Intent intent;
  layout::Fork fork;
  std::vector<study::Mitre> mitres;
  study::JoiningPlan joining;            ///< fillets, rods, vents, steps
  std::optional<study::Mount> mount;     ///< of a disc brake's calliper
  std::vector<study::Feature> features;  ///< small parts, openings and vents in the order to make them
  study::Mass mass;                      ///< after the ends are cut, filler of the mitred joints included
  Handling handling;
  std::optional<study::Handling> bicycle;   ///< where the job has a [bicycle] section
  std::optional<FrontCentre> front_centre;  ///< where the frame's numbers are given
  study::Clearance clearance;
  study::Strength strength;                        ///< `unknown` says where there is no answer
  std::vector<study::Change> changes;              ///< what more metal would bring; only where asked for
  bike::Chain chain;                               ///< how the finished fork follows from what is set
  std::optional<study::ToleranceStudy> tolerance;  ///< only where asked for
  std::vector<bike::Verdict> verdicts;             ///< of all studies, in the order of the check sheet
  double crown_gap = 0;                            ///< least distance from the steerer to the tyre, mm
  double seat_gap = 0;  ///< from the crown race seat down to the highest point of the crown's joints, mm
  std::optional<replan::Stands> stands;  ///< where [done] says that the fork stands as it was cut
  std::vector<Note> notes;
};

/// How much is worked out. The default is all of it; an editor leaves the slow part for a quiet moment.
struct SolveOptions {
  bool tolerance = true;  ///< draw the tolerances at random; some hundredths of a second
  bool changes = true;    ///< what more metal would bring
  std::uint64_t draws = 20'000;
  const shop::Shop* shop =
      nullptr;  ///< whose rods join it and whose plus-minus holds where the job gives none
};

/// Lays out, mitres, asks every study and judges.
///   fails  stock-too-short, tyre-too-wide, joint-above-seat, and those of layout and study; places point
///   into the job
[[nodiscard]] base::Result<Answer> solve(const job::Job& job, const SolveOptions& options = {});

// solve() in two steps, for an editor that draws the fork while its studies are still at work.

/// Laid out, mitred and refused where it can't be built: intent, fork, mitres, handling and the two gaps are
/// there, which is what drawings of the fork need; the rest is empty and `strength.unknown` says so.
///   fails  as solve(), without the studies' own
[[nodiscard]] base::Result<Answer> laid_out(const job::Job& job);
/// The rest of the answer.
///   in     answer  what laid_out() gave for the same job
///   fails  those of the studies; then `answer` is half full and of no use
[[nodiscard]] base::Result<void> add_studies(const job::Job& job, const SolveOptions& options,
                                             Answer& answer);

}  // namespace halfround::solve
