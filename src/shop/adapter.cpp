#include "shop/adapter.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"

namespace halfround::shop {

namespace {

constexpr double kSame = 0.005;  // mm; nobody turns a piece for less

bool can_be_adapted(const HubEnd& hub, const DummyAxle& dummy) {
  return hub.over_locknut >= dummy.over_locknut - kSame && hub.axle >= dummy.diameter - kSame;
}

/// Wide enough to stand on the fork end's face, no wider than that face.
double shoulder_diameter(const HubEnd& hub) {
  const double wide = std::ceil(hub.axle + 8);
  return hub.outside > hub.axle + 2 ? std::min(wide, hub.outside) : wide;
}

base::Result<Adapter> new_dummy(const HubEnd& hub, const DummyAxle& dummy, const AdapterWishes& wishes) {
  const auto ends = fit_limits(wishes.spigot_class, hub.axle);
  if (!ends) return tl::unexpected(ends.error());
  const auto hole = fit_limits(wishes.fork_end_class, hub.axle);
  if (!hole) return tl::unexpected(hole.error());
  Adapter out;
  out.kind = AdapterKind::dummy_axle, out.pieces = 1, out.title = "new dummy axle";
  out.over_shoulders = hub.over_locknut, out.shoulder_diameter = shoulder_diameter(hub);
  out.spigot = std::ceil(hub.depth + 10), out.spigot_fit = *ends;
  out.chamfer = wishes.chamfer, out.relief = 0.3;
  out.in_fork_end = clearance(*hole, *ends), out.play = out.in_fork_end->most / 2;
  if (dummy.over_locknut > hub.over_locknut + kSame) {
    out.notes.push_back(
        base::say("The dummy axle is {:.1f} mm too wide, {:.2f} mm a side: nothing can be put on.",
                  dummy.over_locknut - hub.over_locknut, (dummy.over_locknut - hub.over_locknut) / 2));
  }
  if (dummy.diameter > hub.axle + kSame) {
    out.notes.push_back(base::say("The dummy axle's ends are {:.2f} mm too thick for the fork ends.",
                                  dummy.diameter - hub.axle));
  }
  return out;
}

void note_what_is_thin(Adapter& out, const HubEnd& hub, const DummyAxle& dummy, const AdapterWishes& wishes) {
  const double wall = (hub.axle - dummy.diameter) / 2;
  if (out.spigot_fit && wall < wishes.least_wall) {
    out.notes.push_back(base::say("The sleeve's wall is {:.2f} mm: turn a new dummy axle instead.", wall));
  }
  if (out.shoulder > 0 && out.shoulder < 1) {
    out.notes.push_back(
        base::say("A shoulder of {:.2f} mm bends: use a washer of that thickness.", out.shoulder));
  }
  const double needs = out.shoulder + std::max(out.spigot, hub.depth);
  if (dummy.end_length > 0 && dummy.end_length < needs) {
    out.notes.push_back(
        base::say("The dummy axle's ends stand out {:.1f} mm, shoulder and fork end need {:.1f} mm: "
                  "{:.1f} mm too short to go through.",
                  dummy.end_length, needs, needs - dummy.end_length));
  }
}

}  // namespace

HubEnd hub_end(const bike::Assembly& assembly, double over_locknut, double axle) {
  HubEnd out{over_locknut, axle, 0, 0};
  if (const bike::Member* insert =
          bike::find_member(assembly, bike::part(bike::PartKind::insert, bike::Side::left))) {
    out.depth = insert->s_end - insert->s_start;
    out.outside = insert->tube.profile.width(0);
    const double wall = insert->tube.profile.wall(0);
    if (wall > 0) out.axle = out.outside - 2 * wall;
  } else if (!assembly.plates.empty()) {
    out.depth = assembly.plates.front().thickness;
  }
  return out;
}

base::Result<std::optional<Adapter>> adapter(const HubEnd& hub, const DummyAxle& dummy,
                                             const AdapterWishes& wishes) {
  const double side = (hub.over_locknut - dummy.over_locknut) / 2;
  const bool wider = side > kSame, thicker = hub.axle > dummy.diameter + kSame;
  if (!can_be_adapted(hub, dummy)) {
    auto axle = new_dummy(hub, dummy, wishes);
    if (!axle) return tl::unexpected(axle.error());
    return std::optional<Adapter>(std::move(*axle));
  }
  if (!wider && !thicker) return std::optional<Adapter>{};
  const auto bore = fit_limits(wishes.bore_class, dummy.diameter);
  if (!bore) return tl::unexpected(bore.error());
  const auto end = fit_limits(wishes.dummy_class, dummy.diameter);
  if (!end) return tl::unexpected(end.error());
  Adapter out;
  out.kind = wider && thicker ? AdapterKind::stepped_insert
             : wider          ? AdapterKind::spacer
                              : AdapterKind::sleeve;
  const char* names[] = {"spacer", "reducing sleeve", "stepped insert"};
  out.title = fmt::format("{}, 2 pieces", names[static_cast<std::size_t>(out.kind)]);
  out.bore_fit = *bore, out.on_dummy = clearance(*bore, *end);
  out.chamfer = wishes.chamfer;
  if (wider) out.shoulder = side, out.shoulder_diameter = shoulder_diameter(hub);
  double play = out.on_dummy->most;
  if (thicker) {
    const auto spigot = fit_limits(wishes.spigot_class, hub.axle);
    if (!spigot) return tl::unexpected(spigot.error());
    const auto hole = fit_limits(wishes.fork_end_class, hub.axle);
    if (!hole) return tl::unexpected(hole.error());
    out.spigot = std::max(2.0, hub.depth - wishes.short_of_end);
    out.spigot_fit = *spigot, out.in_fork_end = clearance(*hole, *spigot);
    out.relief = wider ? 0.3 : 0;
    play += out.in_fork_end->most;
  } else {
    // a spacer leaves the fork end on the dummy axle itself
    const auto hole = fit_limits(wishes.fork_end_class, hub.axle);
    if (!hole) return tl::unexpected(hole.error());
    out.in_fork_end = clearance(*hole, *end);
    play = out.in_fork_end->most;
  }
  out.play = play / 2;
  note_what_is_thin(out, hub, dummy, wishes);
  return std::optional<Adapter>(std::move(out));
}

base::Result<Adapter> race_ring(double bore, double seat, double steerer) {
  constexpr double kFlange = 3, kSpigot = 8, kFree = 0.1, kThin = 0.5;  // mm; ours
  const auto hole = fit_limits("H9", steerer + kFree);
  if (!hole) return tl::unexpected(hole.error());
  Adapter out;
  out.kind = AdapterKind::race_ring, out.pieces = 1, out.title = "flanged ring for the race stop";
  out.shoulder = kFlange, out.shoulder_diameter = std::ceil(std::max(bore, seat) + 8);
  out.bore_fit = *hole;
  const double wall = (bore - hole->most()) / 2;
  if (wall < kThin) {
    // between steerer and bore there is no room for a spigot: the steerer centres it
    out.title = "washer for the race stop";
    out.chamfer = 0.5;
    return out;
  }
  const auto spigot = fit_limits("g6", bore);
  if (!spigot) return tl::unexpected(spigot.error());
  const auto stop = fit_limits("H8", bore);
  if (!stop) return tl::unexpected(stop.error());
  out.spigot = kSpigot, out.spigot_fit = *spigot;
  const Clearance loose = clearance(*stop, *spigot);
  out.play = loose.most / 2;
  out.chamfer = std::min(0.5, wall / 3);
  out.notes.push_back(
      base::say("The spigot slides into the stop's bore with {:.3f} to {:.3f} mm of play, the bore "
                "taken as H8. Break the bore's edge, so that the flange sits down.",
                loose.least, loose.most));
  return out;
}

base::Result<Adapter> clamp_sleeve(double clamp, double steerer) {
  constexpr double kLong = 30, kThin = 0.5;  // mm; ours
  const auto outside = fit_limits("h9", clamp);
  if (!outside) return tl::unexpected(outside.error());
  const auto hole = fit_limits("H9", steerer);
  if (!hole) return tl::unexpected(hole.error());
  Adapter out;
  out.kind = AdapterKind::clamp_sleeve, out.pieces = 1, out.title = "split sleeve for the steerer clamp";
  out.spigot = kLong, out.spigot_fit = *outside, out.bore_fit = *hole;
  const double wall = (clamp - steerer) / 2;
  out.chamfer = std::min(0.5, wall / 3);
  out.notes.push_back("Slit it along once, 2 mm wide, after turning.");
  if (wall < kThin)
    out.notes.push_back(base::say(
        "Its wall is only {:.2f} mm: a strip of sheet that thick, wrapped once round, does as well.", wall));
  return out;
}

const DummyAxle* nearest_dummy(const std::vector<DummyAxle>& dummies, const HubEnd& hub) {
  const DummyAxle* best = nullptr;
  double least = INFINITY;
  for (const DummyAxle& d : dummies) {
    const double away = std::abs(hub.over_locknut - d.over_locknut) + std::abs(hub.axle - d.diameter) +
                        (can_be_adapted(hub, d) ? 0 : 1000);
    if (away < least) least = away, best = &d;
  }
  return best;
}

}  // namespace halfround::shop
