// Solves beam frames: Cholesky on 6 x 6 blocks, one a pair of nodes. Nodes with the fewest neighbours go
// first, so chains of nodes fall away from their ends, or leave a single tie behind where they close a loop.
// The order depends only on who is joined to whom and may be kept. Frame: that of the beams.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "study/beam.h"

namespace halfround::study {

/// In which order nodes go, and where their blocks lie.
class BeamPattern {
 public:
  explicit BeamPattern(const BeamFrame& frame);

  struct Column {
    int node = 0;
    int first = 0, count = 0;  ///< its blocks below the diagonal, in rows_
    int pair = 0;              ///< its first target in targets_: row 1 with 0, row 2 with 0, 1, ...
  };
  struct Place {
    int block = 0;         ///< of the element's coupling
    bool a_later = false;  ///< the block's rows are node a's, else node b's
  };
  [[nodiscard]] const std::vector<Column>& columns() const { return columns_; }
  [[nodiscard]] const std::vector<int>& rows() const {
    return rows_;
  }  ///< node of each block, later ones last
  [[nodiscard]] const std::vector<int>& targets() const { return targets_; }  ///< block of each pair of rows
  [[nodiscard]] const std::vector<Place>& places() const { return places_; }  ///< by element

 private:
  std::vector<Column> columns_;
  std::vector<int> rows_, targets_;
  std::vector<Place> places_;
};

/// Movements of every node: nodes x load cases, case after case.
struct BeamMovements {
  std::size_t nodes = 0, cases = 0;
  std::vector<Vec6> q;
  [[nodiscard]] const Vec6& at(std::size_t load, int node) const {
    return q[static_cast<std::size_t>(node) * cases + load];
  }
};

struct NodeLoad {
  std::size_t load = 0;  ///< which case
  int node = 0;
  Vec6 wrench = Vec6::Zero();
};

/// Room to work in, for a caller who solves again and again.
struct BeamWorkspace {
  std::vector<Mat6> diagonal, coupling;
  std::vector<Vec6> before;
};

/// Movements under each case.
///   out     nothing where the frame is a mechanism
///   within  1e-9 of Eigen's SimplicialLDLT (tests/study/beam_test.cpp)
[[nodiscard]] std::optional<BeamMovements> solve(const BeamFrame& frame, const BeamPattern& pattern,
                                                 std::size_t cases, const std::vector<NodeLoad>& loads,
                                                 BeamWorkspace& room);
[[nodiscard]] std::optional<BeamMovements> solve(const BeamFrame& frame, const BeamPattern& pattern,
                                                 std::size_t cases, const std::vector<NodeLoad>& loads);

}  // namespace halfround::study
