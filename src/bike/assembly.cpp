#include "bike/assembly.h"

namespace halfround::bike {

const Member* find_member(const Assembly& assembly, const Part& part) {
  for (const Member& m : assembly.members) {
    if (m.part == part) return &m;
  }
  return nullptr;
}

const Plate* find_plate(const Assembly& assembly, const Part& part) {
  for (const Plate& p : assembly.plates) {
    if (p.part == part) return &p;
  }
  return nullptr;
}

Assembly moved(const Assembly& assembly, const base::Pose& X) {
  Assembly out = assembly;
  for (Member& m : out.members) m.tube = m.tube.moved(X);
  for (Plate& p : out.plates) p = moved(p, X);
  out.axle = X * out.axle;
  out.tyre = out.tyre.moved(X);
  return out;
}

namespace {

/// The mirror image of a part; one in the middle is its own.
Part swapped(const Part& p) {
  return p.side == Side::middle ? p : other_side(p);
}

}  // namespace

Assembly mirrored(const Assembly& assembly) {
  Assembly out = assembly;
  for (Member& m : out.members) m.tube = m.tube.mirrored(), m.part = swapped(m.part);
  for (Plate& p : out.plates) {
    p = mirrored(p);
    p.part = swapped(p.part);
    for (Bore& b : p.bores) b.takes = swapped(b.takes);
  }
  for (Joint& j : out.joints) j.member = swapped(j.member), j.onto = swapped(j.onto);
  out.axle.y() = -out.axle.y();
  out.tyre = out.tyre.mirrored();
  return out;
}

}  // namespace halfround::bike
