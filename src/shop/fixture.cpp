#include "shop/fixture.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.h"
#include "base/say.h"
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

/// What a scale measures where a ring lifts the seat off the race stop: it counts from the stop.
double seen_by(Measures m, double wanted, const ForkMeasures& fork, double lift) {
  const double along = fork.left[index(Measures::axle_to_crown_along)].value_or(0) + lift,
               offset = fork.left[index(Measures::offset)].value_or(0);
  switch (m) {
    case Measures::axle_to_crown_straight:
      return std::hypot(along, offset);
    case Measures::axle_to_crown_along:
    case Measures::crown_height:
      return wanted + lift;
    case Measures::offset_angle:
      return std::atan2(offset, along);
    case Measures::offset:
    case Measures::over_locknut:
    case Measures::half_over_locknut:
    case Measures::splay:
    case Measures::mount_face:
    case Measures::mount_bolt:
    case Measures::mount_lean:
    case Measures::mount_aside:
      return wanted;
  }
  return wanted;
}

Reading reading_of(const Adjuster& a, double wanted, const std::string& what, const ForkMeasures& fork,
                   double lift) {
  Reading out;
  out.adjuster = a.name, out.measures = a.measures, out.what = what, out.wanted = wanted;
  out.angle = a.unit == ScaleUnit::degree;
  out.seen = lift > 0 ? seen_by(a.measures, wanted, fork, lift) : wanted;
  out.exact = a.direction * (out.seen - a.zero);
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

/// An axle as two scales see it, from the stop.
struct Place {
  double along = 0, offset = 0;
};

/// Any two of straight, along, offset and the angle between them fix the axle.
std::optional<Place> place_by(const Reading& p, const Reading& q) {
  std::array<std::optional<double>, kMeasures> got;
  got[index(p.measures)] = p.seen + p.error, got[index(q.measures)] = q.seen + q.error;
  const auto straight = got[index(Measures::axle_to_crown_straight)],
             along = got[index(Measures::axle_to_crown_along)];
  const auto offset = got[index(Measures::offset)], angle = got[index(Measures::offset_angle)];
  if (along && offset) return Place{*along, *offset};
  if (straight && offset && std::abs(*offset) <= *straight)
    return Place{std::sqrt(*straight * *straight - *offset * *offset), *offset};
  if (straight && angle) return Place{*straight * std::cos(*angle), *straight * std::sin(*angle)};
  if (along && angle) return Place{*along, *along * std::tan(*angle)};
  if (offset && angle && std::abs(std::tan(*angle)) > 1e-3) return Place{*offset / std::tan(*angle), *offset};
  if (along && straight && *along <= *straight)
    return Place{*along, std::sqrt(*straight * *straight - *along * *along)};
  return std::nullopt;
}

/// Of all pairs the one whose axle comes nearest to its place.
std::optional<AsSet> as_set(const std::vector<Reading>& readings, const ForkMeasures& fork, double lift) {
  const double offset = fork.left[index(Measures::offset)].value_or(0),
               along = fork.left[index(Measures::axle_to_crown_along)].value_or(0);
  std::optional<AsSet> best;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    for (std::size_t j = i + 1; j < readings.size(); ++j) {
      if (!readings[i].in_range || !readings[j].in_range) continue;
      const auto place = place_by(readings[i], readings[j]);
      if (!place) continue;
      AsSet out;
      out.by = {readings[i].adjuster, readings[j].adjuster};
      out.offset = place->offset, out.along = place->along - lift;
      out.straight = std::hypot(out.along, out.offset);
      out.offset_error = out.offset - offset, out.along_error = out.along - along;
      out.straight_error = out.straight - std::hypot(along, offset);
      const auto off = [](const AsSet& s) { return std::hypot(s.offset_error, s.along_error); };
      if (!best || off(out) < off(*best) - 1e-9) best = out;
    }
  }
  return best;
}

/// What the axle as set is by one scale's measure, seen from the stop; nothing for a scale of something else.
std::optional<double> by_measure(Measures m, const AsSet& set, double lift) {
  const double along = set.along + lift;
  switch (m) {
    case Measures::axle_to_crown_straight:
      return std::hypot(along, set.offset);
    case Measures::axle_to_crown_along:
      return along;
    case Measures::offset:
      return set.offset;
    case Measures::offset_angle:
      return std::atan2(set.offset, along);
    case Measures::over_locknut:
    case Measures::half_over_locknut:
    case Measures::crown_height:
    case Measures::splay:
    case Measures::mount_face:
    case Measures::mount_bolt:
    case Measures::mount_lean:
    case Measures::mount_aside:
      return std::nullopt;
  }
  return std::nullopt;
}

/// Do two scales measure one thing? Then the second of them is more than the fork needs; half a width counts
/// twice.
std::optional<double> as_other(const Reading& of, const Reading& like) {
  const double v = of.seen + of.error;
  if (of.what == like.what) return v;
  if (of.measures == Measures::half_over_locknut && like.measures == Measures::over_locknut) return 2 * v;
  if (of.measures == Measures::over_locknut && like.measures == Measures::half_over_locknut) return v / 2;
  return std::nullopt;
}

/// Scales more than the fork needs, against those that fix it.
std::vector<Disagreement> disagreements(const std::vector<Reading>& readings, const std::optional<AsSet>& set,
                                        const ForkMeasures& fork, double lift) {
  constexpr double kSame = 0.005;  // mm or degrees: what is printed as nothing
  std::vector<Disagreement> out;
  const auto put = [&](const Reading& r, std::vector<std::string> others, double they) {
    Disagreement d{r.adjuster, std::move(others), r.what, r.angle, r.seen + r.error - they, 0};
    d.at_axle = moves_axle(r.measures, d.by, fork);
    const double amount = std::max(std::abs(d.at_axle), std::abs(d.angle ? base::to_deg(d.by) : d.by));
    if (amount >= kSame) out.push_back(std::move(d));
  };
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const Reading& r = readings[i];
    if (!r.in_range) continue;
    if (const auto they = set ? by_measure(r.measures, *set, lift) : std::nullopt) {
      if (r.adjuster != set->by[0] && r.adjuster != set->by[1]) put(r, {set->by[0], set->by[1]}, *they);
      continue;
    }
    for (std::size_t j = 0; j < i; ++j) {
      const Reading& first = readings[j];
      const auto they = first.in_range && first.adjuster != r.adjuster ? as_other(first, r) : std::nullopt;
      if (!they) continue;
      put(r, {first.adjuster}, *they);
      break;
    }
  }
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

/// Puts a piece among those to turn and says so in the check's note.
bool put_piece(FixtureSheet& sheet, HolderCheck& check, base::Result<Adapter> piece) {
  if (!piece) {
    sheet.adapter_problem = base::sentence(piece.error());
    return false;
  }
  check.note += fmt::format(" Turn the {} (sheet \"adapter\").", piece->title);
  sheet.pieces.push_back(std::move(*piece));
  return true;
}

HolderCheck clamp_check(const SteererClamp& clamp, double steerer, FixtureSheet& sheet) {
  HolderCheck out{"steerer clamp", std::clamp(steerer, clamp.least, clamp.most), steerer, true, ""};
  const double off = steerer - out.has;
  out.fits = std::abs(off) < 0.005;
  if (off < -0.005) {
    out.note = base::say("The steerer of {:.2f} mm is {:.2f} mm too thin for the clamp.", steerer, -off);
    put_piece(sheet, out, clamp_sleeve(clamp.least, steerer));
  } else if (!out.fits) {
    out.note = base::say("The steerer of {:.2f} mm is {:.2f} mm too thick for the clamp.", steerer, off);
  }
  return out;
}

/// The steerer goes through the bore, the crown race seat stands on it.
HolderCheck stop_check(double bore, const ForkMeasures& fork, FixtureSheet& sheet) {
  HolderCheck out{"race stop", bore, fork.steerer, true, ""};
  if (bore < fork.steerer) {
    out.fits = false;
    out.note = base::say("The steerer of {:.2f} mm is {:.2f} mm too thick for the bore of the race stop.",
                         fork.steerer, fork.steerer - bore);
  } else if (fork.crown_race && bore >= *fork.crown_race) {
    out.fits = false;
    out.note = base::say("The crown race seat of {:.2f} mm falls through the race stop's bore of {:.2f} mm.",
                         *fork.crown_race, bore);
    if (put_piece(sheet, out, race_ring(bore, *fork.crown_race, fork.steerer))) {
      sheet.lift = sheet.pieces.back().shoulder;
      out.note +=
          base::say(" Its flange lifts the seat by {:.2f} mm; the settings count with that.", sheet.lift);
    }
  }
  return out;
}

}  // namespace

bool MountAsSet::holds() const {
  return off <= tolerance && std::abs(aside) <= tolerance;
}

std::string words_of(const Disagreement& d) {
  const auto amount = [&](double v) {
    return d.angle ? base::format_angle(v, 2) : base::format_length(v, 2);
  };
  const std::string others = fmt::format("{}", fmt::join(d.others, " and "));
  return fmt::format("{} as set disagrees with {} by {}{}: set {}, then leave {} loose.", d.scale, others,
                     amount(std::abs(d.by)),
                     d.at_axle != 0 && d.angle
                         ? fmt::format(" ({} at the axle)", base::format_length(std::abs(d.at_axle), 2))
                         : std::string(),
                     others, d.scale);
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
                         std::optional<CrownHeight> crown, std::optional<double> crown_race,
                         const study::Mount* mount) {
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
  const auto blade = [&](bike::Side of, double outward, auto& side) {
    const bike::Member* m = bike::find_member(assembly, bike::part(bike::PartKind::blade, of));
    if (m == nullptr) return;
    const shape::Frame low = m->tube.centreline.at(m->s_start);
    side[index(Measures::splay)] = std::asin(std::clamp(-outward * low.t.y(), -1.0, 1.0));
  };
  if (crown) {
    out.left[index(Measures::crown_height)] = crown->left;
    out.right[index(Measures::crown_height)] = crown->right;
  }
  blade(bike::Side::left, 1, out.left), blade(bike::Side::right, -1, out.right);
  if (const bike::Member* steerer = bike::find_member(assembly, bike::part(bike::PartKind::steerer))) {
    const double seat = steerer->tube.centreline.nearest(Vec3::Zero());
    out.steerer = steerer->tube.profile.width(seat);
  }
  return out;
}

FixtureSheet fixture_sheet(const Fixture& fixture, const ForkMeasures& fork, const AdapterWishes& wishes) {
  FixtureSheet out;
  out.fixture = fixture.name;
  if (const DummyAxle* dummy = nearest_dummy(fixture.dummy_axles, fork.hub)) {
    out.dummy = *dummy;
    const auto piece = adapter(fork.hub, *dummy, wishes);
    if (!piece) {
      out.adapter_problem = base::sentence(piece.error());
    } else if (*piece) {
      out.pieces.push_back(**piece);
    }
  }
  if (fixture.steerer_clamp) out.holders.push_back(clamp_check(*fixture.steerer_clamp, fork.steerer, out));
  if (fixture.race_stop) out.holders.push_back(stop_check(*fixture.race_stop, fork, out));
  // after the race stop: a ring there lifts the seat
  for (const Adjuster& a : fixture.adjusters) {
    const auto left = fork.left[index(a.measures)], right = fork.right[index(a.measures)];
    const std::string what = name_of(a.measures);
    if (!left) {
      out.idle.push_back(a.name + ": " + what);
      continue;
    }
    const auto put = [&](double wanted, const std::string& of) {
      out.readings.push_back(reading_of(a, wanted, of, fork, out.lift));
    };
    const bool differ = right && std::abs(*left - *right) > 1e-6;
    put(*left, differ ? what + " of the left blade" : what);
    if (differ) put(*right, what + " of the right blade");
  }
  out.as_set = as_set(out.readings, fork, out.lift);
  out.disagreements = disagreements(out.readings, out.as_set, fork, out.lift);
  out.mount = mount_as_set(out.readings, fork);
  return out;
}

std::vector<FixtureSheet> fixture_sheets(const Shop& shop, const ForkMeasures& fork,
                                         const AdapterWishes& wishes) {
  std::vector<FixtureSheet> out;
  for (const Fixture& f : shop.fixtures) out.push_back(fixture_sheet(f, fork, wishes));
  return out;
}

}  // namespace halfround::shop
