// Inside of the re-planning: what a laid-out way changes, which pieces serve, what it costs. Frame F.
#pragma once

#include <optional>

#include "job/replan.h"
#include "job/replan_side.h"

namespace halfround::job {

class Weigher {
 public:
  /// All by side, left first; they must outlive this.
  Weigher(const Job& job, const Side (&plan)[2], const std::optional<AsCut> (&cut)[2],
          const std::optional<Side> (&held)[2]);

  /// Two sides that share one axle.
  [[nodiscard]] Alternative weigh(Side left, Side right, bool two_sided) const;
  /// The planned sides with the blades as they were cut.
  [[nodiscard]] Alternative as_cut(const Side& left, const Side& right, const Stands& stands) const;
  /// Ways within the freedoms, best first; what says the same as a better one is left out.
  void rank(std::vector<Alternative> ways, Replan& out) const;
  void notes(Replan& out) const;

 private:
  [[nodiscard]] const DoneBlade& blade(bool left) const;
  [[nodiscard]] Piece piece(const Side& now, bool left) const;
  void moves(const Side& left, const Side& right, Alternative& way) const;
  void broken(const Side& left, const Side& right, Alternative& way) const;
  void settings(const Side& left, const Side& right, Alternative& way) const;
  void cost(Alternative& way) const;

  const Job& job_;
  Done done_;
  Freedoms free_;
  const Side (&plan_)[2];
  const std::optional<AsCut> (&cut_)[2];
  const std::optional<Side> (&held_)[2];
};

/// A fork whose left side is the left one of `left` and whose right side the left one of `right`, mirrored.
[[nodiscard]] layout::Fork joined(const layout::Fork& left, const layout::Fork& right);

}  // namespace halfround::job
