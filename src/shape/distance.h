// Signed distance from points and tubes to a body (body.h). Quick, for a layout that asks many times; with a
// proof: separation.h. Frame: both in one frame.
#pragma once

#include "shape/body.h"
#include "shape/tube.h"

namespace halfround::shape {

/// Distance of p from the surface of a tube along a full circle (a tyre).
[[nodiscard]] Distance distance(const Tube& ring, const Vec3& p);

/// The least distance from the surface of a tube, between two arc lengths, to a body.
struct Gap {
  double value = 0;     ///< mm, < 0: they overlap
  double u = 0, s = 0;  ///< where on the tube
  Vec3 on_tube = Vec3::Zero(), on_body = Vec3::Zero();
};

/// in  s0 < s1  mm; sections every 12 mm at most, the three best places refined to 1e-9 mm.
///     The sections are no proof that a deeper dent between them is not missed.
[[nodiscard]] Gap least_gap(const Tube& tube, double s0, double s1, const Body& body);
[[nodiscard]] Gap least_gap(const Tube& tube, double s0, double s1, const Tube& ring);

/// The least distance near (u, s): Newton from there.
[[nodiscard]] Gap refined_gap(const Tube& tube, double u, double s, double s0, double s1, const Body& body);

/// A guess of least_gap's value from the same sections, up to about 1 mm off; several times as fast.
[[nodiscard]] double rough_gap(const Tube& tube, double s0, double s1, const Tube& ring);

}  // namespace halfround::shape
