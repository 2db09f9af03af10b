// Inside of the re-planning: what a laid-out way changes, which pieces serve, what it costs, what the job has
// to say then. Frame F.
#pragma once

#include "replan/replan.h"
#include "replan/replan_facts.h"

namespace halfround::replan {

inline constexpr double kSame = 1e-6;  ///< mm or rad: no change worth a word

class Weigher {
 public:
  /// Both must outlive this.
  Weigher(const job::Job& job, const Facts& facts);

  /// Two sides that share one axle.
  [[nodiscard]] Alternative weigh(Side left, Side right) const;
  /// The planned sides with the blades as they were cut.
  [[nodiscard]] Alternative as_cut(const Side& left, const Side& right, const Stands& stands) const;

 private:
  void moves(const Side& left, const Side& right, Alternative& way) const;
  void broken(const Side& left, const Side& right, Alternative& way) const;
  void cost(Alternative& way) const;

  const job::Job& job_;
  const Facts& facts_;
};

/// How the fork stands as it was cut.
[[nodiscard]] base::Result<Stands> stands_as_cut(const job::Job& job, const Facts& facts);

/// What becomes of one blade.
[[nodiscard]] Piece piece_of(const Facts& facts, const Side& now, bool left);

/// Keys to write and to take out, so that the job lays out these two sides.
void state(const job::Job& job, const Facts& facts, const Side& left, const Side& right, Alternative& way);

/// Ways within the freedoms, best first; what says the same as a better one is left out.
void rank(const Facts& facts, std::vector<Alternative> ways, Replan& out);

/// A fork whose left side is the left one of `left` and whose right side the left one of `right`, mirrored.
[[nodiscard]] layout::Fork joined(const layout::Fork& left, const layout::Fork& right);

}  // namespace halfround::replan
