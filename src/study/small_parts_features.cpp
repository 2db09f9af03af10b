// Lugs, slots, holes and bosses on members, in the order to make them. Frame F.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/say.h"
#include "study/feature_rules.h"
#include "study/small_parts.h"

namespace halfround::study {

using base::Problem;
using base::Result;

namespace {

struct Turn {
  int order;
  const char *when, *why;
};

/// Why each is made when it is. [common practice]
Turn turn_of(FeatureKind kind) {
  switch (kind) {
    case FeatureKind::axle_slot:
      return {2, "after the lug, before the blade is joined",
              "Afterwards it can't be held in the mill, and the saw would strike the blade."};
    case FeatureKind::pinch_lug:
      return {1, "first, before the blade is joined",
              "Afterwards it can't be held, and its heat would reach the blade's joint; the slot is cut "
              "through it."};
    case FeatureKind::dropout_slot:
      return {3, "before the blade is mitred at the other end",
              "The square stock end is still there to line it up by."};
    case FeatureKind::vent:
      return {4, "before anything is joined",
              "A closed tube must not be heated, and chips can still be shaken out."};
    case FeatureKind::guide:
      return {7, "after the main joints, with a filler that melts lower",
              "It is small: the heat of a main joint would melt it off."};
    case FeatureKind::wire_passage:
      return {4, "before anything is joined",
              "Its edges are rounded inside and out while a file still gets there, and chips shaken out."};
    case FeatureKind::hose_passage:
      return {4, "before anything is joined",
              "Its edges are rounded inside and out while a file still gets there, and chips shaken out."};
    case FeatureKind::mudguard_eye:
      return {5, "before the main joints where it goes through the wall",
              "Its hole is drilled while the tube can still be held."};
    case FeatureKind::rack_boss:
      return {5, "before the main joints where it goes through the wall",
              "Its hole is drilled while the tube can still be held."};
    case FeatureKind::cage_bosses:
      return {5, "before the main joints where it goes through the wall",
              "The pair is drilled at one setting, 64 mm apart."};
    case FeatureKind::boss:
      return {5, "before the main joints where it goes through the wall",
              "Its hole is drilled while the tube can still be held."};
    case FeatureKind::brake_mount:
      return {6, "after the blade is joined, with axle, rotor and calliper fitted",
              "It is placed by the rotor, and that stands only once the axle does."};
  }
  return {};
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

/// in  planned  a vent of the joining plan: it stands near its joint on purpose
Result<Feature> placed(const bike::Assembly& assembly, const std::vector<Mitre>& mitres, const FeatureWish& w,
                       bool planned, double neck) {
  const double s = w.s.value_or(0), u = w.u.value_or(0);
  const Turn turn = turn_of(w.kind);
  const bike::Member* m = bike::find_member(assembly, w.member);
  if (m == nullptr) {
    std::string all;
    for (const bike::Member& q : assembly.members) all += (all.empty() ? "" : ", ") + bike::spoken(q.part);
    return tl::unexpected(problem(
        "feature-member",
        fmt::format("A {} should go on the {}, which is not there.", name_of(w.kind), bike::spoken(w.member)),
        fmt::format("Give one of {}.", all)));
  }
  if (!(s >= 0 && s <= m->stock_length) || !std::isfinite(u) || !(w.size > 0)) {
    return tl::unexpected(problem(
        "feature-place",
        base::say("A {} of {:.1f} mm should stand {:.1f} mm up the {}, whose stock is {:.1f} mm long.",
                  name_of(w.kind), w.size, s, bike::spoken(w.member), m->stock_length),
        base::say("Give a place from 0 to {:.1f} mm and a size above 0.",
                  base::reachable(m->stock_length, base::Fits::up_to))));
  }
  const shape::SurfacePoint at = shape::surface(m->tube, base::unit_at(u), s);
  Feature f{
      w.kind,      name_of(w.kind), w.member,  s,        u, w.size, at.p,
      at.normal(), turn.order,      turn.when, turn.why, 0, "",     w.by_rule ? rule_of(w.kind)->why : ""};
  f.from_joint = std::max(0.0, from_joints(assembly, *m, s, at.p, mitres) - w.size / 2);
  if (cut_away(f, mitres)) {
    f.caution = "It stands on the part that the mitre cuts away, or beside the cut.";
  } else if (f.from_joint < neck && !belongs_at_joint(w.kind) && !planned) {
    f.caution = base::say(
        "It stands {:.1f} mm from a joint, inside its heat-affected neck of {:.0f} mm, where the "
        "tube is weakest: move it {:.1f} mm away.",
        f.from_joint, neck, neck - f.from_joint);
  }
  return f;
}

}  // namespace

std::string name_of(FeatureKind kind) {
  return std::string(base::word_of(kFeatures, kind).words);
}

Result<std::vector<Feature>> features(const bike::Assembly& assembly, const std::vector<Mitre>& mitres,
                                      const std::vector<FeatureWish>& wishes, const std::vector<Vent>& vents,
                                      const FeatureOptions& options) {
  std::vector<FeatureWish> planned, wished;
  for (const Vent& v : vents) planned.push_back({FeatureKind::vent, v.member, v.s, v.u, v.diameter});
  std::vector<FeatureWish> taken = planned;  // places that rules keep clear of
  for (const bool by_hand : {true, false}) {
    for (const FeatureWish& w : wishes) {
      if (w.s.has_value() != by_hand) continue;
      auto found = placed_by_rule(assembly, mitres, w, taken, options);
      if (!found) return tl::unexpected(found.error());
      for (auto* list : {&taken, &wished}) list->insert(list->end(), found->begin(), found->end());
    }
  }
  std::vector<Feature> out;
  for (const auto* list : {&wished, &planned}) {
    for (const FeatureWish& w : *list) {
      auto f = placed(assembly, mitres, w, list == &planned, options.neck);
      if (!f) return tl::unexpected(f.error());
      out.push_back(std::move(*f));
    }
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Feature& a, const Feature& b) { return a.order < b.order; });
  return out;
}

}  // namespace halfround::study
