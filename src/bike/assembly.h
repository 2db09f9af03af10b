// Members placed in space and the joints between them: what every study works on. A fork and a frame are both
// this. Fork frame F: origin where the steering axis meets the crown race seat plane, +z up the steering
// axis, +x forward, +y to the rider's left (right-handed, as in ISO 8855).
#pragma once

#include <string>
#include <vector>

#include "bike/part.h"
#include "bike/plate.h"
#include "bike/tyre.h"
#include "shape/tube.h"

namespace halfround::bike {

using base::Vec3;

/// A tube or turned part along a centreline. Its start end is the lower one.
struct Member {
  Part part;
  shape::Tube tube;  ///< the stock as it came, placed; s = 0 at the stock's start end
  double s_start =
      0;  ///< where its centreline begins and ends in the assembly (design points, before mitring), mm
  double s_end = 0;
  double stock_length = 0;  ///< mm; what there is to cut from
};

/// How a member is held by another member or a plate.
enum class JointKind {
  mitred,    ///< its end cut to fit round a member
  slotted,   ///< its end slotted over a plate
  butted,    ///< its end square against a plate, or a plate's edge against it
  socketed,  ///< its end inside a wider member
  bored,     ///< it stands in a plate's bore, at `s`
  one_piece  ///< the two came as one: nothing is made here
};
struct Joint {
  Part member;
  End end = End::start;  ///< which end; of a bored joint the nearer one
  Part onto;             ///< a member or a plate
  JointKind kind = JointKind::mitred;
  double s = 0;  ///< bored: where along the member the plate's middle plane is, mm
};

struct Assembly {
  std::string frame = "fork";
  std::vector<Member> members;
  std::vector<Plate> plates;
  std::vector<Joint> joints;
  Vec3 axle = Vec3::Zero();  ///< wheel centre, frame F
  shape::Tube tyre;          ///< in frame F
};

[[nodiscard]] const Member* find_member(const Assembly& assembly, const Part& part);
[[nodiscard]] const Plate* find_plate(const Assembly& assembly, const Part& part);
[[nodiscard]] Assembly moved(const Assembly& assembly, const base::Pose& X);
/// Mirror image in the plane y = 0; what is left becomes right and the reverse.
[[nodiscard]] Assembly mirrored(const Assembly& assembly);

}  // namespace halfround::bike
