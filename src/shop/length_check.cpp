// The length that proves a cut.
#include <cmath>

#include "shop/set_up.h"

namespace halfround::shop {

namespace {

/// A place of a member that a rule's end can stand on.
struct Place {
  std::string name;
  double u = 0;
  Vec3 p = Vec3::Zero();
};

/// The bottom of the cut at one end: where its edge lies farthest from the joint.
Place bottom_of(const study::Mitre& m) {
  const study::EdgePoint* lowest = &m.outer.front();
  for (const study::EdgePoint& p : m.outer) {
    if (p.depth < lowest->depth) lowest = &p;
  }
  return {m.end == bike::End::end ? "bottom of the upper cut" : "bottom of the lower cut", lowest->u,
          lowest->point};
}

/// An end that is not mitred: its edge at the clock angle of the other place.
Place square_end(const bike::Member& member, bike::End end, double u) {
  const double s = end == bike::End::end ? member.s_end : member.s_start;
  return {end == bike::End::end ? "upper end" : "lower end", u,
          shape::surface(member.tube, base::unit_at(u), s).p};
}

}  // namespace

std::vector<LengthCheck> length_checks(const bike::Assembly& assembly,
                                       const std::vector<study::Mitre>& mitres) {
  std::vector<LengthCheck> out;
  for (const bike::Member& member : assembly.members) {
    const study::Mitre* at[2] = {nullptr, nullptr};
    for (const study::Mitre& m : mitres) {
      if (m.member == member.part) at[m.end == bike::End::end] = &m;
    }
    if (!at[0] && !at[1]) continue;
    const Place one = bottom_of(at[0] ? *at[0] : *at[1]);
    const Place two = at[0] && at[1] ? bottom_of(*at[1])
                                     : square_end(member, at[0] ? bike::End::end : bike::End::start, one.u);
    out.push_back({member.part, one.name, two.name, one.u, two.u, (two.p - one.p).norm(), {}, 0});
  }
  for (LengthCheck& check : out) {
    for (const LengthCheck& other : out) {
      if (other.member != bike::other_side(check.member)) continue;
      check.pair = other.member, check.differs = check.length - other.length;
    }
  }
  return out;
}

}  // namespace halfround::shop
