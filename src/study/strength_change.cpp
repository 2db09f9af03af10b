// What more wall would bring: the whole study again, on a changed copy of the assembly.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"
#include "study/strength_model.h"

namespace halfround::study {

namespace {

using bike::Assembly;
using bike::Member;

constexpr double kMoreWall = 0.2;   // mm
constexpr double kThickWall = 2.3;  // mm: a thick steerer's wall [common practice: 28.6 x 1.6 to 2.3]
constexpr double kButtAbove = 60;   // mm above the lower bearing that a butt reaches, then it tapers

struct Least {
  std::optional<double> yield, fatigue;
  std::string weakest;
};

Least least(const Strength& s) {
  Least out;
  double worst = INFINITY;
  const auto look = [&](const std::optional<WeakPlace>& weak, std::optional<double>& to) {
    if (!weak) return;
    to = std::min(to.value_or(INFINITY), weak->margin);
    if (weak->margin < worst) {
      worst = weak->margin;
      out.weakest = base::say("{}, {:.0f} mm from its lower end", bike::spoken(weak->member), weak->s);
    }
  };
  for (const CaseResult& c : s.cases) {
    if (c.load.kind != LoadKind::impact) look(c.yield, out.yield), look(c.fatigue, out.fatigue);
  }
  return out;
}

}  // namespace

void rewall(bike::Member& member, double thick, double until, bool butted) {
  constexpr double kButtTaper = 40;  // mm
  std::vector<shape::Station> stations = member.tube.profile.stations();
  if (!butted) {
    for (shape::Station& q : stations) q.wall = std::max(q.wall, thick);
  } else {
    // its own stations stay, so that a tapered outside does
    std::vector<double> places{0, until, until + kButtTaper};
    for (const shape::Station& q : stations) places.push_back(q.s);
    std::sort(places.begin(), places.end());
    places.erase(std::unique(places.begin(), places.end()), places.end());
    const auto extra = [&](double s) {  // how much of the butt is left at s
      return std::clamp((until + kButtTaper - s) / kButtTaper, 0.0, 1.0);
    };
    std::vector<shape::Station> out;
    for (const double s : places) {
      const shape::Profile& now = member.tube.profile;
      shape::Station q{s, now.width(s), now.depth(s), now.wall(s), nullptr};
      q.wall += extra(s) * std::max(0.0, thick - q.wall);
      out.push_back(q);
    }
    stations = out;
  }
  member.tube.profile = shape::Profile(stations);
}

base::Result<std::vector<Change>> what_would_it_bring(const Assembly& assembly, const Strength& now) {
  std::vector<Change> out;
  if (!now.unknown.empty()) return out;
  const Least before = least(now);
  std::optional<base::Problem> problem;
  const auto try_out = [&](std::string what, const Assembly& changed) {
    const auto then = strength(changed, now.options);
    if (!then) {
      if (!problem) problem = then.error();
      return;
    }
    const Least after = least(*then);
    out.push_back({std::move(what), before.yield, after.yield, before.fatigue, after.fatigue, now.fore_aft,
                   then->fore_aft, then->mass_members - now.mass_members, after.weakest});
  };

  Assembly thicker = assembly;
  bool any = false;
  for (Member& m : thicker.members) {
    if (m.part.kind != bike::PartKind::blade) continue;
    std::vector<shape::Station> stations = m.tube.profile.stations();
    for (shape::Station& q : stations) q.wall += kMoreWall;
    m.tube.profile = shape::Profile(stations), any = true;
  }
  if (any) try_out(base::say("{:.1f} mm more wall in the blades", kMoreWall), thicker);

  for (const bool butted : {true, false}) {
    Assembly changed = assembly;
    for (Member& m : changed.members) {
      if (m.part != now.options.bearings.member || !m.tube.profile.convex()) continue;
      const double seat =
          m.tube.centreline.nearest(now.options.X_AF * Vec3(0, 0, now.options.bearings.lower)) + kButtAbove;
      double thick = kThickWall;
      for (const shape::Station& q : m.tube.profile.stations()) thick = std::max(thick, q.wall);
      if (thick > kThickWall || (butted && m.tube.profile.wall(0) >= kThickWall)) thick += kMoreWall;
      rewall(m, thick, seat, butted);
      try_out(butted
                  ? base::say("a steerer butted to {:.1f} mm of wall up to {:.0f} mm above the lower bearing",
                              thick, kButtAbove)
                  : base::say("a steerer with {:.1f} mm of wall all along", thick),
              changed);
    }
  }
  if (problem) return tl::unexpected(*problem);
  return out;
}

}  // namespace halfround::study
