// Tubes as surfaces of OpenCASCADE: private to this room. Parameters (w, s): s is the centreline's arc
// length, w runs once round with the eccentric angle of the oval, from a seam that may be put anywhere.
//
//   S(w, s) = C(s) + X(w) a(s) m(s) + Y(w) b(s) b(s)      X, Y: the unit circle as rational quarter arcs,
//   exact
//
// Along s the three curves C, a·m, b·b are quintics that take value, slope and bend at either end of each
// stretch: exact on straight pieces, within 1e-8 mm on bends.
#pragma once

#include <Geom2d_Curve.hxx>
#include <Geom_Surface.hxx>
#include <gp_Pnt.hxx>
#include <gp_Pnt2d.hxx>
#include <gp_Vec.hxx>

#include "shape/tube.h"

namespace halfround::solid {

using base::Vec2;
using base::Vec3;

inline gp_Pnt pnt(const Vec3& p) {
  return {p.x(), p.y(), p.z()};
}
inline gp_Vec vec(const Vec3& p) {
  return {p.x(), p.y(), p.z()};
}
inline gp_Dir dir(const Vec3& p) {
  return {p.x(), p.y(), p.z()};
}
inline Vec3 back(const gp_XYZ& p) {
  return {p.X(), p.Y(), p.Z()};
}

class Skin {
 public:
  /// in  tube  round or oval;  from, to  the stretch that is needed, mm;  seam  eccentric angle of w = 0
  Skin(const shape::Tube& tube, double from, double to, double seam = 0);

  [[nodiscard]] const Handle(Geom_Surface) & surface() const { return surface_; }
  [[nodiscard]] const shape::Tube& tube() const { return tube_; }
  /// Parameters of a point of the surface; w in [0, 2 pi).
  [[nodiscard]] Vec2 place(const Vec3& p) const;
  /// Eccentric angle (from m toward b) of the section at s in direction `d` from the centreline.
  [[nodiscard]] static double eccentric(const shape::Tube& tube, double s, const Vec2& d);
  [[nodiscard]] double from() const { return from_; }
  [[nodiscard]] double to() const { return to_; }

 private:
  shape::Tube tube_;
  double from_, to_, seam_;
  bool cylinder_ = false;
  Handle(Geom_Surface) surface_;
};

}  // namespace halfround::solid
