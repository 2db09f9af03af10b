// Lugs, slots, holes and bosses on members, in the order to make them. Frame F.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "study/small_parts.h"

namespace halfround::study {

using base::Problem;
using base::Result;

namespace {

struct Turn {
  int order;
  const char *name, *when, *why;
};

/// Why each is made when it is. [common practice]
Turn turn_of(FeatureKind kind) {
  switch (kind) {
    case FeatureKind::axle_slot:
      return {2, "slot at the axle end", "after the lug, before the blade is joined",
              "Afterwards it can't be held in the mill, and the saw would strike the blade."};
    case FeatureKind::pinch_lug:
      return {1, "pinch-bolt lug", "first, before the blade is joined",
              "Afterwards it can't be held, and its heat would reach the blade's joint; the slot is cut "
              "through it."};
    case FeatureKind::dropout_slot:
      return {3, "dropout slot", "before the blade is mitred at the other end",
              "The square stock end is still there to line it up by."};
    case FeatureKind::vent:
      return {4, "vent hole", "before anything is joined",
              "A closed tube must not be heated, and chips can still be shaken out."};
    case FeatureKind::guide:
      return {7, "guide", "after the main joints, with a filler that melts lower",
              "It is small: the heat of a main joint would melt it off."};
    case FeatureKind::boss:
      return {5, "boss", "before the main joints where it goes through the wall",
              "Its hole is drilled while the tube can still be held."};
    default:
      return {6, "brake mount", "after the blade is joined, with axle, rotor and calliper fitted",
              "It is placed by the rotor, and that stands only once the axle does."};
  }
}

/// From p to the nearest joint line on a member: its own ends, and what is mitred onto it.
double from_joints(const std::string& member, const Vec3& p, const std::vector<Mitre>& mitres) {
  double least = std::numeric_limits<double>::infinity();
  for (const Mitre& m : mitres) {
    if (m.member != member && m.onto != member) continue;
    for (std::size_t i = 0; i < m.outer.size(); ++i) {
      const EdgePoint &a = m.outer[i], &b = m.outer[(i + 1) % m.outer.size()];
      const Vec3 d = b.point - a.point;
      const double along =
          d.squaredNorm() > 0 ? std::clamp((p - a.point).dot(d) / d.squaredNorm(), 0.0, 1.0) : 0;
      least = std::min(least, (a.point + along * d - p).norm());
    }
  }
  return least;
}

/// Does the end's cut take this place away?
bool cut_away(const Feature& f, const std::vector<Mitre>& mitres) {
  return std::any_of(mitres.begin(), mitres.end(), [&](const Mitre& m) {
    if (m.member != f.member) return false;
    return m.end == bike::End::end ? f.s > m.s_least : f.s < m.s_most;
  });
}

Problem problem(std::string code, std::string what, std::string fits) {
  return {std::move(code), {"", 0, 0, "features"}, std::move(what), std::move(fits)};
}

/// Slots are meant to run into an end, and the lug that clamps an axle sits beside it.
bool belongs_at_joint(FeatureKind kind) {
  return kind == FeatureKind::dropout_slot || kind == FeatureKind::axle_slot ||
         kind == FeatureKind::pinch_lug;
}

Result<Feature> placed(const bike::Assembly& assembly, const std::vector<Mitre>& mitres, const FeatureWish& w,
                       double neck) {
  const Turn turn = turn_of(w.kind);
  const bike::Member* m = bike::find_member(assembly, w.member);
  if (m == nullptr) {
    std::string all;
    for (const bike::Member& q : assembly.members) all += (all.empty() ? "" : ", ") + q.name;
    return tl::unexpected(problem(
        "feature-member", fmt::format("A {} should go on \"{}\", which is not there.", turn.name, w.member),
        fmt::format("Give one of {}.", all)));
  }
  if (!(w.s >= 0 && w.s <= m->stock_length) || !std::isfinite(w.u) || !(w.size > 0)) {
    return tl::unexpected(
        problem("feature-place",
                fmt::format("A {} of {:.1f} mm should stand {:.1f} mm up {}, whose stock is {:.1f} mm long.",
                            turn.name, w.size, w.s, w.member, m->stock_length),
                fmt::format("Give a place from 0 to {:.1f} mm and a size above 0.", m->stock_length)));
  }
  const shape::SurfacePoint at = shape::surface(m->tube, base::unit_at(w.u), w.s);
  Feature f{w.kind,      turn.name,  w.member,  w.s,      w.u, w.size, at.p,
            at.normal(), turn.order, turn.when, turn.why, 0,   ""};
  f.from_joint = std::max(0.0, from_joints(w.member, at.p, mitres) - w.size / 2);
  if (cut_away(f, mitres)) {
    f.caution = "It stands on the part that the mitre cuts away, or beside the cut.";
  } else if (f.from_joint < neck && !belongs_at_joint(w.kind)) {
    f.caution = fmt::format(
        "It stands {:.1f} mm from a joint, inside its heat-affected neck of {:.0f} mm, where the "
        "tube is weakest: move it {:.1f} mm away.",
        f.from_joint, neck, neck - f.from_joint);
  }
  return f;
}

}  // namespace

std::string name_of(FeatureKind kind) {
  return turn_of(kind).name;
}

Result<std::vector<Feature>> features(const bike::Assembly& assembly, const std::vector<Mitre>& mitres,
                                      const std::vector<FeatureWish>& wishes, const std::vector<Vent>& vents,
                                      double neck) {
  std::vector<FeatureWish> all = wishes;
  for (const Vent& v : vents) all.push_back({FeatureKind::vent, v.member, v.s, v.u, v.diameter});
  std::vector<Feature> out;
  for (const FeatureWish& w : all) {
    auto f = placed(assembly, mitres, w, neck);
    if (!f) return tl::unexpected(f.error());
    out.push_back(std::move(*f));
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Feature& a, const Feature& b) { return a.order < b.order; });
  return out;
}

}  // namespace halfround::study
