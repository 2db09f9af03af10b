// Beam elements in space: a stretch of tube of any taper and any bend between two nodes, as one element. Its
// flexibility is integrated along the real centreline from the real sections; equilibrium gives the forces
// inside, so one long element answers like many short ones. Frame: that of the nodes' points. Derivation:
// docs/strength.md.
#pragma once

#include <cmath>
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
/// What a bend does to a thin tube: its section flattens, so it bends more easily and is stressed more.
struct BendEffect {
  double in_plane = 1, out_of_plane = 1;  ///< on the bending compliance in and out of the bend's plane
  double raise_in_plane = 1, raise_out_of_plane = 1;  ///< on the bending stress amid the wall, for yield
  double peak_in_plane = 1, peak_out_of_plane = 1;    ///< on that in the wall's surface, for fatigue
};
/// Where a section stands in its bend: how far from the bend's two ends, and how far beyond each the tube is
/// held in shape (by a joint).
struct BendPlace {
  double to_start = 0, to_end = 0;                  ///< mm
  double gap_start = INFINITY, gap_end = INFINITY;  ///< mm
};
/// within  the figures of docs/strength.md, section "Bends"
/// source  von Karman's first term, read for ovals and for the bend's ends with the help of shell models
///         (docs/strength.md). Stress: in the plane 0.9 and 1.8 / h^(2/3) as in ASME B31.3 appendix D [from
///         memory]; out of it 1.1 and 1.65, for a shell model showed its 0.75 and 1.5 to be too little
[[nodiscard]] BendEffect bend_effect(const shape::Frame& f, const BeamSection& section,
                                     const BendPlace& place);

/// in  f  frame of the centreline
[[nodiscard]] BeamSlice beam_slice(const shape::Frame& f, const BeamSection& section, double E, double G,
                                   const BendEffect& bend = {});

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

/// The element's stiffness between its nodes' movements: `ab` is the transpose of `ba`.
struct ElementBlocks {
  Mat6 aa, ba;
};
[[nodiscard]] inline ElementBlocks element_blocks(const BeamElement& e) {
  // b follows a as a rigid body: u + turn x arm, so only the turns' columns and rows differ from k
  const Vec3& d = e.arm;
  ElementBlocks out;
  out.ba = -e.k;
  out.ba.col(3) += d.z() * e.k.col(1) - d.y() * e.k.col(2);
  out.ba.col(4) += d.x() * e.k.col(2) - d.z() * e.k.col(0);
  out.ba.col(5) += d.y() * e.k.col(0) - d.x() * e.k.col(1);
  out.aa = -out.ba;
  out.aa.row(3) += d.z() * out.ba.row(1) - d.y() * out.ba.row(2);
  out.aa.row(4) += d.x() * out.ba.row(2) - d.z() * out.ba.row(0);
  out.aa.row(5) += d.y() * out.ba.row(0) - d.x() * out.ba.row(1);
  return out;
}

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
