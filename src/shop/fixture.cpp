#include "shop/fixture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.h"
#include "shop/set_up.h"

namespace halfround::shop {

namespace {

std::size_t index(Measures m) {
  return static_cast<std::size_t>(m);
}

/// As many decimals as the step shows.
int decimals_of(double step) {
  int n = 0;
  for (double x = step; n < 3 && std::abs(x - std::round(x)) > 1e-6; x *= 10) ++n;
  return n;
}

std::string as_marked(const Adjuster& a, double reading) {
  if (a.unit == ScaleUnit::mm) return base::format_length(reading, decimals_of(a.step));
  if (a.unit == ScaleUnit::degree) return base::format_angle(reading, decimals_of(base::to_deg(a.step)));
  // fractions where the step is one, thousandths elsewhere
  for (int part = 1; part <= 128; part *= 2) {
    const double parts = a.step / base::kMmPerInch * part;
    if (std::abs(parts - std::round(parts)) < 1e-6) {
      return reading < 0 ? std::string(base::kMinus) + base::format_inches(-reading, part)
                         : base::format_inches(reading, part);
    }
  }
  return base::format_number(reading / base::kMmPerInch, 3) + " in";
}

/// What an error of a measure moves the axle by. An angle at the seat swings the axle on the straight length.
double moves_axle(Measures m, double error, const ForkMeasures& fork) {
  switch (m) {
    case Measures::axle_to_crown_straight:
    case Measures::axle_to_crown_along:
    case Measures::offset:
      return error;
    case Measures::offset_angle:
      return error * fork.left[index(Measures::axle_to_crown_straight)].value_or(0);
    case Measures::over_locknut:
    case Measures::half_over_locknut:
    case Measures::crown_height:
    case Measures::splay:
    case Measures::mount_face:
    case Measures::mount_bolt:
    case Measures::mount_lean:
    case Measures::mount_aside:
      break;
  }
  return 0;
}

Reading reading_of(const Adjuster& a, double wanted, const std::string& what, const ForkMeasures& fork) {
  Reading out;
  out.adjuster = a.name, out.measures = a.measures, out.what = what, out.wanted = wanted;
  out.angle = a.unit == ScaleUnit::degree;
  out.exact = a.direction * (wanted - a.zero);
  out.set = std::round(out.exact / a.step) * a.step;
  if (out.set == 0) out.set = 0;  // never a minus before a nought
  out.text = as_marked(a, out.set);
  out.error = a.direction * (out.set - out.exact);
  out.error_at_axle = moves_axle(a.measures, out.error, fork);
  const double grain = 1e-9;
  if (out.set > a.most + grain) out.out_by = out.exact - a.most;
  if (out.set < a.least - grain) out.out_by = out.exact - a.least;
  out.in_range = out.out_by == 0;
  return out;
}

/// Any two of straight, along, offset and the angle between them fix the axle.
std::optional<AsSet> as_set(const std::vector<Reading>& readings, const ForkMeasures& fork) {
  std::array<std::optional<double>, kMeasures> got;
  for (const Reading& r : readings) {
    if (of_mount(r.measures)) continue;
    if (!r.in_range) return std::nullopt;
    if (!got[index(r.measures)]) got[index(r.measures)] = r.wanted + r.error;
  }
  const auto straight = got[index(Measures::axle_to_crown_straight)],
             along = got[index(Measures::axle_to_crown_along)];
  const auto offset = got[index(Measures::offset)], angle = got[index(Measures::offset_angle)];
  AsSet out;
  if (along && offset) {
    out.along = *along, out.offset = *offset;
  } else if (straight && offset && std::abs(*offset) <= *straight) {
    out.offset = *offset, out.along = std::sqrt(*straight * *straight - *offset * *offset);
  } else if (straight && angle) {
    out.offset = *straight * std::sin(*angle), out.along = *straight * std::cos(*angle);
  } else if (along && angle) {
    out.along = *along, out.offset = *along * std::tan(*angle);
  } else if (along && straight && *along <= *straight) {
    out.along = *along, out.offset = std::sqrt(*straight * *straight - *along * *along);
  } else {
    return std::nullopt;
  }
  out.straight = std::hypot(out.along, out.offset);
  out.offset_error = out.offset - *fork.left[index(Measures::offset)];
  out.along_error = out.along - *fork.left[index(Measures::axle_to_crown_along)];
  out.straight_error = out.straight - *fork.left[index(Measures::axle_to_crown_straight)];
  return out;
}

/// Both bolts as they come, against where they belong.
std::optional<MountAsSet> mount_as_set(const std::vector<Reading>& readings, const ForkMeasures& fork) {
  const auto wanted = [&](Measures m) { return fork.left[index(m)].value_or(0); };
  double got[] = {wanted(Measures::mount_face), wanted(Measures::mount_bolt), wanted(Measures::mount_lean),
                  wanted(Measures::mount_aside)};
  bool any = false;
  for (const Reading& r : readings) {
    if (!of_mount(r.measures)) continue;
    if (!r.in_range) return std::nullopt;
    any = true, got[index(r.measures) - index(Measures::mount_face)] = r.wanted + r.error;
  }
  if (!any) return std::nullopt;
  const auto bolt = [](double face, double along, double lean) -> Vec2 {
    return along * Vec2(std::sin(lean), std::cos(lean)) + face * Vec2(-std::cos(lean), std::sin(lean));
  };
  MountAsSet out;
  for (const double up : {0.0, fork.bolt_pitch}) {
    const Vec2 belongs =
        bolt(wanted(Measures::mount_face), wanted(Measures::mount_bolt) + up, wanted(Measures::mount_lean));
    out.off = std::max(out.off, (bolt(got[0], got[1] + up, got[2]) - belongs).norm());
  }
  out.aside = got[3] - wanted(Measures::mount_aside);
  out.tolerance = fork.mount_tolerance;
  return out;
}

HolderCheck clamp_check(const SteererClamp& clamp, double steerer) {
  HolderCheck out{"steerer clamp", std::clamp(steerer, clamp.least, clamp.most), steerer, true, ""};
  const double off = steerer - out.has;
  out.fits = std::abs(off) < 0.005;
  if (off < -0.005) {
    out.note = fmt::format(
        "The steerer of {:.2f} mm is {:.2f} mm too thin for it: turn a split sleeve of {:.2f} mm "
        "outside, {:.2f} mm bore.",
        steerer, -off, clamp.least, steerer);
  } else if (!out.fits) {
    out.note = fmt::format("The steerer of {:.2f} mm is {:.2f} mm too thick for the clamp.", steerer, off);
  }
  return out;
}

/// The steerer goes through the bore, the crown race seat stands on it.
HolderCheck stop_check(double bore, const ForkMeasures& fork) {
  HolderCheck out{"race stop", bore, fork.steerer, true, ""};
  if (bore < fork.steerer) {
    out.fits = false;
    out.note = fmt::format("The steerer of {:.2f} mm is {:.2f} mm too thick for the bore of the race stop.",
                           fork.steerer, fork.steerer - bore);
  } else if (fork.crown_race && bore >= *fork.crown_race) {
    out.fits = false;
    out.note = fmt::format(
        "The crown race seat of {:.2f} mm falls through its bore of {:.2f} mm: turn a ring of "
        "{:.2f} mm outside, {:.2f} mm bore.",
        *fork.crown_race, bore, bore, fork.steerer);
  }
  return out;
}

}  // namespace

bool MountAsSet::holds() const {
  return off <= tolerance && std::abs(aside) <= tolerance;
}

std::string name_of(Measures measures) {
  static constexpr const char* kNames[kMeasures] = {"axle-to-crown straight",
                                                    "axle-to-crown along the axis",
                                                    "offset",
                                                    "offset angle",
                                                    "over locknut",
                                                    "half over locknut",
                                                    "crown height",
                                                    "splay",
                                                    "brake mount's face from the axle",
                                                    "brake mount's lower bolt along its face",
                                                    "brake mount's lean",
                                                    "brake mount's bolts from the middle"};
  return kNames[index(measures)];
}

ForkMeasures measures_of(const bike::Assembly& assembly, double over_locknut, double axle,
                         std::optional<double> crown_race, const study::Mount* mount) {
  ForkMeasures out;
  out.hub = hub_end(assembly, over_locknut, axle);
  out.crown_race = crown_race;
  const double offset = assembly.axle.x(), along = -assembly.axle.z();
  auto& l = out.left;
  l[index(Measures::axle_to_crown_straight)] = std::hypot(offset, along);
  l[index(Measures::axle_to_crown_along)] = along;
  l[index(Measures::offset)] = offset;
  l[index(Measures::offset_angle)] = std::atan2(offset, along);
  l[index(Measures::over_locknut)] = over_locknut;
  l[index(Measures::half_over_locknut)] = over_locknut / 2;
  if (mount != nullptr && mount->known && !mount->feet.empty()) {
    const double low = mount->feet.front().along;
    l[index(Measures::mount_face)] = mount->face;
    l[index(Measures::mount_bolt)] = low;
    l[index(Measures::mount_lean)] = mount->turn;
    l[index(Measures::mount_aside)] = std::abs(mount->lateral);
    out.bolt_pitch = mount->feet.back().along - low;
    out.mount_tolerance = mount->tolerance;
  }
  out.right = l;
  const auto blade = [&](const std::string& name, double outward, auto& side) {
    const bike::Member* m = bike::find_member(assembly, name);
    if (m == nullptr) return;
    const shape::Frame low = m->tube.centreline.at(m->s_start), top = m->tube.centreline.at(m->s_end);
    side[index(Measures::splay)] = std::asin(std::clamp(-outward * low.t.y(), -1.0, 1.0));
    side[index(Measures::crown_height)] = -top.c.z();
  };
  blade("blade.left", 1, out.left), blade("blade.right", -1, out.right);
  if (const bike::Member* steerer = bike::find_member(assembly, "steerer")) {
    const double seat = steerer->tube.centreline.nearest(Vec3::Zero());
    out.steerer = steerer->tube.profile.width(seat);
  }
  return out;
}

FixtureSheet fixture_sheet(const Fixture& fixture, const ForkMeasures& fork, const AdapterWishes& wishes) {
  FixtureSheet out;
  out.fixture = fixture.name;
  for (const Adjuster& a : fixture.adjusters) {
    const auto left = fork.left[index(a.measures)], right = fork.right[index(a.measures)];
    const std::string what = name_of(a.measures);
    if (!left) {
      out.idle.push_back(a.name + ": " + what);
      continue;
    }
    const bool differ = right && std::abs(*left - *right) > 1e-6;
    out.readings.push_back(reading_of(a, *left, differ ? what + " of the left blade" : what, fork));
    if (differ) out.readings.push_back(reading_of(a, *right, what + " of the right blade", fork));
  }
  out.as_set = as_set(out.readings, fork);
  out.mount = mount_as_set(out.readings, fork);
  if (fixture.steerer_clamp) out.holders.push_back(clamp_check(*fixture.steerer_clamp, fork.steerer));
  if (fixture.race_stop) out.holders.push_back(stop_check(*fixture.race_stop, fork));
  if (const DummyAxle* dummy = nearest_dummy(fixture.dummy_axles, fork.hub)) {
    out.dummy = *dummy;
    const auto piece = adapter(fork.hub, *dummy, wishes);
    if (piece) {
      out.adapter = *piece;
    } else {
      out.adapter_problem = base::sentence(piece.error());
    }
  }
  return out;
}

std::vector<FixtureSheet> fixture_sheets(const Shop& shop, const ForkMeasures& fork,
                                         const AdapterWishes& wishes) {
  std::vector<FixtureSheet> out;
  for (const Fixture& f : shop.fixtures) out.push_back(fixture_sheet(f, fork, wishes));
  return out;
}

}  // namespace halfround::shop
