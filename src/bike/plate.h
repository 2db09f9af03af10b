// A flat part: dropout, crown plate, cap. Its outline is kept as what the cutter follows, straight lines and
// true arcs, in the plate's own frame P: origin and x, y in the middle plane, z square to it.
//
//      y
//      ^     o----.        each corner says how the outline goes on to the next one:
//      |   (       )       straight (sweep 0) or by an arc (sweep: the angle it turns
//      |     '----'        through, > 0 anticlockwise seen against z)
//      +-----> x
#pragma once

#include <optional>
#include <vector>

#include "base/maths.h"
#include "bike/part.h"

namespace halfround::bike {

using base::Pose;
using base::Vec2;
using base::Vec3;

/// Greatest distance of Plate::outline from the true arcs, mm.
inline constexpr double kOutlineChord = 2e-3;

struct Corner {
  Vec2 at = Vec2::Zero();  ///< frame P
  double sweep = 0;        ///< of the arc to the next corner, rad, |sweep| < 2 pi; 0: straight
};

/// A round or oval bore: right through, blind from the lower face, or blind from the plate's edge.
struct Bore {
  Part takes;                 ///< what goes in: a member, the axle, a bolt
  Vec2 at = Vec2::Zero();     ///< of its axis in the middle plane, frame P
  double diameter = 0;        ///< mm
  Vec3 axis = Vec3::UnitZ();  ///< unit, frame P; leaning where what goes in leans
  double across = 0;  ///< of an oval bore: its width square to `diameter`, which lies along x, mm; 0: round
  double depth = 0;   ///< of a blind bore: along its axis from its mouth, mm; 0: right through
  std::optional<Vec3> mouth{};  ///< of a bore into the plate's edge: where its axis comes out, frame P;
                                ///< empty: in the lower face (-z)
};

struct Plate {
  Part part;
  Pose X_FP = Pose::Identity();  ///< where it stands
  std::vector<Corner> corners;   ///< closed, anticlockwise seen against z
  std::vector<Bore> bores;
  double thickness = 0;         ///< mm, half of it on either side of the middle plane
  std::vector<Vec3> outline;    ///< the same outline in frame F, closed, within kOutlineChord of the arcs
  Vec3 normal = Vec3::UnitY();  ///< z of frame P, in frame F
};

/// A plate with `outline` and `normal` worked out from the rest.
///   in  corners  (n >= 2) anticlockwise
[[nodiscard]] Plate make_plate(Part part, const Pose& X_FP, std::vector<Corner> corners, double thickness,
                               std::vector<Bore> bores = {});

/// Middle and radius of the arc from `from` to `to`.
///   in  sweep  not 0
struct Arc {
  Vec2 centre = Vec2::Zero();
  double radius = 0;
  double start = 0;  ///< angle of `from` seen from the centre, rad
};
[[nodiscard]] Arc arc_between(const Vec2& from, const Vec2& to, double sweep);

/// The outline as points in frame P, arcs within `chord` mm; no point twice.
[[nodiscard]] std::vector<Vec2> sampled(const std::vector<Corner>& corners, double chord);

/// Area within the outline, bores not taken out, mm2; exact, > 0 where it runs anticlockwise.
[[nodiscard]] double area(const std::vector<Corner>& corners);

/// The bore's edge on a face, frame P, `n` points.
///   in  bore  from face to face or from a face
///       z  height of the face above the middle plane, mm
[[nodiscard]] std::vector<Vec2> bore_edge(const Bore& bore, double z, int n);

/// Where the bore's axis comes out of the lower face or of the edge, frame P.
[[nodiscard]] Vec3 bore_mouth(const Plate& plate, const Bore& bore);
/// How far the bore goes along its axis, mm.
[[nodiscard]] double bore_length(const Plate& plate, const Bore& bore);
/// The bore that `takes` goes into; null where there is none.
[[nodiscard]] const Bore* find_bore(const Plate& plate, const Part& takes);

/// What is in a bore of the plate, mm3: its section square to its axis times its way along it (exact where
/// the mouth is flat).
[[nodiscard]] double bore_volume(const Plate& plate, const Bore& bore);

[[nodiscard]] Plate moved(const Plate& plate, const Pose& X);
/// Mirror image in the plane y = 0; the part stays.
[[nodiscard]] Plate mirrored(const Plate& plate);

}  // namespace halfround::bike
