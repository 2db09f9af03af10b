// Beam elements in space: a stretch of tube of any taper and any bend between two nodes, as one element. Its
// flexibility is integrated along the real centreline from the real sections; equilibrium gives the forces
// inside, so one long element answers like many short ones. Frame: that of the nodes' points. Derivation:
// docs/strength.md.
#pragma once

#include <optional>
#include <vector>

#include "shape/centreline.h"
#include "study/beam_section.h"

namespace halfround::study {

using base::Mat3;
using base::Vec3;
using Vec6 = Eigen::Matrix<double, 6, 1>;  ///< displacement and turn, or force and couple
using Mat6 = Eigen::Matrix<double, 6, 6>;

/// How one mm of tube gives way: strain and curvature per force and couple, in space.
struct BeamSlice {
  Vec3 point = Vec3::Zero();    ///< of the section's centre
  Mat3 stretch = Mat3::Zero();  ///< 1/N: axial and the two shears
  Mat3 bend = Mat3::Zero();     ///< 1/(N mm2): torsion and the two bendings
};
/// in  f       frame of the centreline
///     soften  >= 1: factor on both bending compliances (a bend's flattening)
[[nodiscard]] BeamSlice beam_slice(const shape::Frame& f, const BeamSection& section, double E, double G,
                                   double soften = 1);

/// Flexibility of a cantilever whose far end stands at `node_b` (a rigid arm reaches there from the tube's
/// own end).
class Flexibility {
 public:
  explicit Flexibility(const Vec3& node_b) : node_b_(node_b) {}
  void add(const BeamSlice& slice, double length);
  [[nodiscard]] const Mat6& matrix() const { return F_; }

 private:
  Vec3 node_b_;
  Mat6 F_ = Mat6::Zero();
};

/// e = q_b - rigid(q_a): what is left of b's movement once b has followed a as a rigid body; the wrench at b
/// is k e.
struct BeamElement {
  int a = 0, b = 0;  ///< nodes
  Mat6 k = Mat6::Zero();
  Vec3 arm = Vec3::Zero();  ///< from node a to node b
};
[[nodiscard]] BeamElement beam_element(int a, int b, const Vec3& p_a, const Vec3& p_b,
                                       const Flexibility& flexibility);

struct BeamNode {
  Vec3 point = Vec3::Zero();
  std::vector<Vec6> held;  ///< directions that can't move, orthonormal; usually none
};

struct BeamFrame {
  std::vector<BeamNode> nodes;
  std::vector<BeamElement> elements;
};

/// Nodes that no element ties to a held one.
[[nodiscard]] std::vector<int> loose_nodes(const BeamFrame& frame);

/// Wrench that the element's b end gets from node b, for the nodes' movements.
[[nodiscard]] Vec6 end_wrench(const BeamElement& element, const Vec6& q_a, const Vec6& q_b);

}  // namespace halfround::study
