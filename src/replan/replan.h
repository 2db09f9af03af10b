// Mending the plan: what is done is kept, something else moves. Each way is laid out in full, not estimated.
// Frame: fork frame F (bike/assembly.h). Measure and limits: docs/replan.md
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/maths.h"
#include "base/result.h"
#include "job/job.h"
#include "layout/lay_out.h"
#include "replan/stands.h"

namespace halfround::replan {

/// What a file, a square and a steel rule can do: nothing smaller is offered or written, mm and rad
/// [common practice].
inline constexpr double kFileStep = 0.1, kFileTurn = 0.1 * base::kPi / 180;

/// Within this a mitre seats as it is, beyond the next a finished end is past filing, mm square to the joint
/// [common practice].
inline constexpr double kSeats = 0.25, kFiles = 1.0;

/// A quantity beside its plan; mm or rad.
struct Move {
  std::string key;   ///< "axle_to_crown", "splay.left", "clearance.right"
  std::string what;  ///< "axle-to-crown", "left blade's splay"
  double was = 0, is = 0;
  double freedom = 0;      ///< plus-minus that is allowed; 0: none
  bool angle = false;      ///< rad
  bool rider = false;      ///< the rider feels it: it weighs four times
  bool only_less = false;  ///< only a loss counts: clearance
  [[nodiscard]] double difference() const { return is - was; }
  [[nodiscard]] double used() const;  ///< share of the freedom, 1: all of it; infinite without one
};

enum class Fate {
  kept,       ///< finished, and it serves as it is
  file,       ///< finished; its mitre wants the file
  cut_again,  ///< finished, and there is steel enough to cut it to the new numbers
  to_cut,     ///< not finished: cut it by the new numbers
  scrap,      ///< finished, and it can't serve
};

/// A blade in one alternative.
struct Piece {
  bike::Part member;
  Fate fate = Fate::to_cut;
  std::string why;                            ///< one sentence
  double length_was = 0, length = 0;          ///< that proves its cuts, planned and now, mm
  double lower_trim_was = 0, lower_trim = 0;  ///< from the tip, mm
  double top_was = 0, top = 0;                ///< from the tip up to the steering axis, along the blade, mm
  double lower_change = 0, upper_change = 0;  ///< greatest change of the template's depth, mm
  double lower_gap = 0, upper_gap = 0;        ///< what a cut by the old template gapes, mm
};

/// One key of the job and what stands behind it afterwards.
struct Setting {
  std::string key, value;
};

struct Alternative {
  std::string title;
  std::vector<Move> moves;  ///< all that are told, those that stay too
  std::vector<Piece> pieces;
  std::vector<std::string> broken;  ///< wishes and limits that are no longer met
  std::vector<Setting> set;         ///< keys to write into the job
  std::vector<std::string> drop;    ///< keys to take out
  std::optional<Stands> stands;     ///< only where the fork stands as it was cut
  double cost = 0;
  double joints_apart = 0;  ///< left joint below or above the right one on the steerer, mm
  int scrapped = 0, cut_again = 0;
  layout::Intent left, right;  ///< each side's own intent, as a left one
  layout::Fork fork;
  [[nodiscard]] bool allowed() const;
  [[nodiscard]] bool unchanged() const;
};

/// What the facts mean, in plain words; where they can be read another way, that as an offer.
struct Reading {
  std::string words;
  std::vector<base::Offer> offers = {};  ///< label: "it was the lower one"
};

struct Replan {
  std::string name;
  std::vector<Alternative> ways;     ///< within the freedoms, best first
  std::vector<Alternative> outside;  ///< beyond them, nearest first
  std::vector<Reading> notes;
  double length_left = 0, length_right = 0;  ///< proof lengths of the plan as written, mm
  /// A way within the freedoms that throws no finished piece away.
  [[nodiscard]] bool mends() const;
};

/// Solves the plan as written, then again with what is done.
///   in     job  with [done]; without it the plan stands
///   out    a finished piece is never hidden: each way lists both blades. What is worked out comes in steps
///          of kFileStep, and the way is the fork of those numbers: kept blades have their length within
///          kSeats
///   fails  those of layout and mitre for the plan as written; done-contradicts
[[nodiscard]] base::Result<Replan> replan(const job::Job& job);

/// The job's text with one way written into it; comments stay.
///   in     text  of this job
///   fails  those of edited_text (job/edit.h)
[[nodiscard]] base::Result<std::string> mended_text(const std::string& text, const job::Job& job,
                                                    const Alternative& way);

}  // namespace halfround::replan
