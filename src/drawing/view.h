// Looking at an assembly from one side: members become outlines in true millimetres.
// Frame: fork frame F in, paper frame P out. Outlines are where the surface turns away from the eye, computed
// from the surface itself, not by hidden-line removal.
#pragma once

#include <Eigen/Geometry>
#include <vector>

#include "bike/assembly.h"
#include "drawing/on_paper.h"
#include "study/mitre.h"

namespace halfround::drawing {

using base::Vec3;

/// An eye far away: `right` and `up` span the paper, `toward` points to the eye; all unit and square to each
/// other.
struct View {
  Vec3 right, up, toward;
  Vec2 origin = Vec2::Zero();  ///< where the origin of F lies on paper, mm
  [[nodiscard]] Vec2 operator()(const Vec3& p) const { return origin + Vec2(p.dot(right), p.dot(up)); }
};

/// A member's cuts as far as a drawing needs them.
struct Trimmed {
  const bike::Member* member = nullptr;
  const study::Mitre* at_start = nullptr;  ///< null: cut square at s_start
  const study::Mitre* at_end = nullptr;
  Eigen::AlignedBox3d reach{};  ///< nothing of the member lies outside
};

/// Members of the assembly with the mitres that trim them.
[[nodiscard]] std::vector<Trimmed> trimmed(const bike::Assembly& assembly,
                                           const std::vector<study::Mitre>& mitres);

/// Does p stand inside the outer surface of the part, more than 0.05 mm deep?
[[nodiscard]] bool within(const Trimmed& part, const Vec3& p);
/// Does p stand between the faces and inside the outline of the plate, more than 0.05 mm from its faces?
[[nodiscard]] bool within(const bike::Plate& plate, const Vec3& p);

/// The two sides of a member as seen: polylines from its start cut to its end cut; `hidden` runs inside
/// another member or a plate.
struct Side {
  std::vector<Vec2> points;
  bool hidden = false;
};
[[nodiscard]] std::vector<Side> sides(const Trimmed& part, const View& view,
                                      const std::vector<Trimmed>& others,
                                      const std::vector<bike::Plate>& plates = {});

/// A mitre's outer edge as seen, split where it passes to the far side.
[[nodiscard]] std::vector<Side> edge(const study::Mitre& mitre, const bike::Member& member, const View& view);

/// The ring of a square end at s, as seen (a line, an ellipse or a circle).
[[nodiscard]] std::vector<Vec2> ring(const shape::Tube& tube, double s, const View& view);

/// The centreline between two arc lengths, as seen.
[[nodiscard]] std::vector<Vec2> centreline(const shape::Tube& tube, double s0, double s1, const View& view);

/// The outline of a solid of revolution (tyre) as seen: a convex closed curve, counter-clockwise from its
/// leftmost point; chords within 0.004 mm.
[[nodiscard]] std::vector<Vec2> hull(const shape::Tube& wheel, const View& view);

}  // namespace halfround::drawing
