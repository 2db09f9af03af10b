#include "job/intent.h"

#include <algorithm>
#include <cmath>
#include <memory>

#include "base/say.h"
#include "job/material.h"
#include "job/numbers.h"
#include "shape/tape.h"
#include "study/mass.h"

namespace halfround::job {

using base::Result;
using base::Vec2;
using base::Vec3;

namespace {

/// Points (outward, rearward) as clock angle and radius: in the bench frame of a left blade m is outward, b
/// rearward.
std::shared_ptr<const shape::PolarOutline> polar_of(const std::vector<OutlinePoint>& points) {
  std::vector<Vec2> out;
  for (const OutlinePoint& p : points) {
    double u = std::atan2(p.rearward.value, p.outward.value);
    if (u < 0) u += 2 * base::kPi;
    out.emplace_back(u, std::hypot(p.outward.value, p.rearward.value));
  }
  std::sort(out.begin(), out.end(), [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); });
  return std::make_shared<shape::PolarOutline>(out);
}

double clock_of(Toward toward) {
  switch (toward) {
    case Toward::outward:
      return bike::kOutward;
    case Toward::rearward:
      return bike::kRearward;
    case Toward::forward:
      return bike::kForward;
    case Toward::inward:
      break;
  }
  return bike::kInward;
}

/// Rings measured along the skin are put where they are along the centreline.
void put_rings(RingsAlong along, bike::Blade& blade) {
  double u = bike::kOutward;
  switch (along) {
    case RingsAlong::centreline:
      return;
    case RingsAlong::outside:
      break;
    case RingsAlong::inside:
      u = bike::kInward;
      break;
  }
  bike::Blade shape = blade;
  shape.below_shape = shape.stock_length = 0;
  blade.stations = shape::from_tape(bike::on_bench(shape), u).profile.stations();
}

constexpr double kMm3PerM3 = 1e9;

bool without_wall(const bike::Blade& blade) {
  return std::ranges::none_of(blade.stations, [](const shape::Station& s) { return s.wall > 0; });
}

bike::Blade with_wall(bike::Blade blade, double wall) {
  for (shape::Station& s : blade.stations) s.wall = wall;
  return blade;
}

/// Of the steel of the whole stock, mm3; nothing where the wall is more than there is room for.
std::optional<double> steel_of(const bike::Blade& blade) {
  const shape::Profile profile = bike::on_bench(blade).profile;
  constexpr int n = 64;  // Simpson's rule; profiles are straight from ring to ring
  double sum = 0;
  for (int i = 0; i <= n; ++i) {
    const auto section = study::section_at(profile, blade.stock_length * i / n);
    if (!section || !std::isfinite(section->area)) return std::nullopt;
    sum += section->area * (i == 0 || i == n ? 1 : i % 2 == 1 ? 4 : 2);
  }
  return sum * blade.stock_length / (3 * n);
}

bike::Blade blade_of(const Blade& blade, const Materials& materials) {
  bike::Blade out;
  for (const Station& s : blade.stations) {
    shape::Station station{s.at.value, s.width.value, s.depth.value, s.wall.value, nullptr};
    if (!s.outline.empty()) station.outline = polar_of(s.outline);
    station.smooth = blade.between_rings == BetweenRings::smooth;
    out.stations.push_back(station);
  }
  double length = 0;
  for (const Run& run : blade.shape) {
    if (run.bend) {
      out.runs.push_back({run.angle.value * run.radius.value, run.angle.value, clock_of(run.toward)});
    } else {
      out.runs.push_back({run.straight.value, 0, 0});
    }
    length += out.runs.back().length;
  }
  // the tip becomes the bench frame's origin, wherever the builder put his own
  const auto point = [](const TracePoint& p) {
    return Vec3(p.forward.value, -p.inward.value, p.along.value);
  };
  for (const TracePoint& p : blade.traced) out.traced.push_back(point(p) - point(blade.traced.front()));
  if (!out.traced.empty()) length = shape::Centreline::through(out.traced, Vec3::UnitY()).length();
  out.below_shape = blade.below_shape.value;
  out.stock_length = blade.stock_length ? blade.stock_length->value : out.below_shape + length;
  put_rings(blade.rings_along, out);
  if (blade.measured_mass && without_wall(out)) {
    const double density = material_called(materials, materials.blades).density_kg_m3;
    if (const auto wall = wall_by_weight(out, blade.measured_mass->value, density))
      out = with_wall(out, *wall);
  }
  return out;
}

layout::LowerEnd lower_end_of(const LowerEnd& e) {
  layout::LowerEnd out;
  out.kind = e.kind;
  out.blade_from_hub = e.blade_from_hub.value, out.rise = e.rise.value;
  out.diameter = e.diameter.value, out.length = e.length.value, out.bore = e.bore.value;
  out.thickness = e.thickness.value, out.slot_depth = e.slot_depth.value, out.slot_width = e.slot_width.value;
  out.socket_depth = e.socket_depth.value, out.edge = e.edge.value;
  return out;
}

/// The two wishes of a side; with a socket crown the spacing is the crown's.
std::array<layout::Wished, 2> wishes_of(const std::vector<Wished>& two, const CrownPart& crown) {
  const bool own_place = row_of(crown.kind).own_place;
  base::check(two.size() == (own_place ? 1u : 2u), "a job that was read has its wishes");
  const auto wished = [](const Wished& w) { return layout::Wished{w.what, w.value.value}; };
  if (own_place) return {wished(two[0]), layout::Wished{layout::Wish::spacing, crown.spacing.value}};
  return {wished(two[0]), wished(two[1])};
}

layout::Crown crown_of(const CrownPart& c) {
  switch (c.kind) {
    case CrownKind::unicrown:
      break;
    case CrownKind::segmented:
      return layout::SegmentedCrown{c.diameter.value, c.wall.value,  c.height.value,
                                    c.angle.value,    c.above.value, c.cap.value};
    case CrownKind::plate:
      return layout::PlateCrown{c.plates,     c.thickness.value, c.height.value, c.between.value,
                                c.edge.value, c.least.value,     c.above.value,  c.cap.value};
    case CrownKind::socket:
      return layout::SocketCrown{
          c.thickness.value, c.height.value,       c.spacing.value,      c.ahead.value,        c.splay.value,
          c.lean.value,      c.socket_width.value, c.socket_depth.value, c.socket_reach.value, c.edge.value};
  }
  return {};
}

/// What is measured at some places, straight between them and the same beyond.
template <class Point>
double between(const std::vector<Point>& points, Quantity Point::*what, double at) {
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double x1 = points[i].at.value, y1 = (points[i].*what).value;
    if (at > x1 && i + 1 < points.size()) continue;
    if (i == 0 || at >= x1) return y1;
    const double x0 = points[i - 1].at.value, y0 = (points[i - 1].*what).value;
    return y0 + (at - x0) / (x1 - x0) * (y1 - y0);
  }
  return 0;
}

layout::Steerer steerer_of(const Steerer& s) {
  layout::Steerer out;
  std::vector<double> places;
  for (const WallPoint& w : s.walls) places.push_back(w.at.value);
  for (const DiameterPoint& d : s.diameters) places.push_back(d.at.value);
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end()), places.end());
  for (const double at : places) {
    const double d = between(s.diameters, &DiameterPoint::diameter, at);
    out.stations.push_back({at, d, d, between(s.walls, &WallPoint::wall, at), nullptr});
  }
  out.length = s.length.value, out.below_seat = s.below_seat.value;
  return out;
}

void shares_of(const Shares& s, layout::Intent& out) {
  const auto put = [&](Share share, const std::optional<Quantity>& given) {
    if (given) out.given_shares[static_cast<std::size_t>(share)] = given->value;
  };
  put(Share::tilt, s.tilt);
  put(Share::mitre_offset, s.mitre_offset);
  put(Share::dropout_lead, s.dropout_lead);
  out.remainder.reset();
  if (s.remainder) out.remainder = *s.remainder;
}

base::Problem lifted_axle(const Job& job, double pumped) {
  const double most = base::reachable(pumped, base::Fits::up_to);
  return {"loaded-radius",
          place_of(job, "wheel.loaded_radius"),
          base::say("The radius with the rider on is {:.1f} mm, that of the pumped tyre {:.1f} mm: a rider "
                    "lifts no axle.",
                    job.wheel.loaded_radius->value, pumped),
          base::say("It is {} mm or less; measure from the ground to the centre of the axle.", most),
          {{"wheel.loaded_radius", base::shortest(most), ""}}};
}

base::Problem no_wall_weighs(const Job& job, const Quantity& mass) {
  return {
      "mass-without-wall", place_of(job, said_key(job, "blades.measured_mass")),
      base::say("No even wall makes a blade of these rings and this length weigh {:.0f} g.",
                1000 * mass.value),
      "Weigh the whole stock, bare, and give its whole length as stock_length; or give the wall at a ring."};
}

}  // namespace

std::optional<double> stock_mass(const bike::Blade& blade, double density_kg_m3) {
  const auto steel = steel_of(blade);
  if (!steel) return std::nullopt;
  return *steel * density_kg_m3 / kMm3PerM3;
}

std::optional<double> wall_by_weight(const bike::Blade& blade, double mass, double density_kg_m3) {
  constexpr double kLeast = 0.3;  // mm; as blades.stations[].wall has it
  const double wanted = mass / density_kg_m3 * kMm3PerM3;
  double thinnest = INFINITY;
  for (const shape::Station& s : blade.stations)
    if (!s.outline) thinnest = std::min({thinnest, s.width / 2, s.depth / 2});
  double low = kLeast, high = std::min(thinnest - 0.01, 12.0);
  const auto weighs = [&](double wall) {
    return steel_of(with_wall(blade, wall)).value_or(INFINITY) - wanted;
  };
  double f_low = weighs(low), f_high = weighs(high);
  if (f_low > 0 || f_high < 0) return std::nullopt;
  for (int i = 0; i < 60 && high - low > 1e-9; ++i) {
    const double guess =
        std::isfinite(f_high) ? low - f_low * (high - low) / (f_high - f_low) : (low + high) / 2;
    const double wall = std::clamp(guess, low + 0.01 * (high - low), high - 0.01 * (high - low));
    const double f = weighs(wall);
    (f > 0 ? high : low) = wall, (f > 0 ? f_high : f_low) = f;
  }
  return (low + high) / 2;
}

Result<bike::Tyre> tyre_of(const Job& job) {
  const Wheel& w = job.wheel;
  if (!w.tyre.empty()) {
    auto tyre = bike::tyre_from_designation(w.tyre, w.rim_width.value);
    if (!tyre) tyre.error().where = place_of(job, "wheel.tyre");
    return tyre;
  }
  bike::Tyre tyre;
  tyre.bead_seat = w.bead_seat.value;
  tyre.rim_width = w.rim_width.value;
  tyre.outside_diameter = w.outside_diameter.value;
  for (const TyrePoint& p : w.half_profile) {
    tyre.half_profile.emplace_back(p.half_width.value, p.below_top.value);
    tyre.width = std::max(tyre.width, 2 * p.half_width.value);
  }
  return tyre;
}

Result<layout::Intent> intent_of(const Job& job) {
  const auto tyre = tyre_of(job);
  if (!tyre) return tl::unexpected(tyre.error());
  layout::Intent out;
  const Steering& s = job.steering;
  out.offset = s.offset.value;
  const bool straight = s.axle_to_crown_is == AxleToCrown::straight;
  out.drop = straight ? std::sqrt(s.axle_to_crown.value * s.axle_to_crown.value - out.offset * out.offset)
                      : s.axle_to_crown.value;
  out.over_locknut = job.hub.over_locknut.value;
  out.tyre = bike::tyre_surface(*tyre);
  if (const auto& loaded = job.wheel.loaded_radius; loaded && loaded->value > bike::outside_radius(out.tyre))
    return tl::unexpected(lifted_axle(job, bike::outside_radius(out.tyre)));
  out.steerer = steerer_of(job.steerer);
  out.crown = crown_of(job.crown);
  out.lower_end = lower_end_of(job.lower_end);
  if (job.right_lower_end) out.right_lower_end = lower_end_of(*job.right_lower_end);
  for (const Gusset& g : job.gussets)
    out.gussets.push_back({g.first, g.second, g.above, g.along_first.value, g.along_second.value,
                           g.thickness.value, g.hollow ? g.hollow->value : 0});
  out.left = blade_of(job.left, job.material);
  if (job.right) out.right = blade_of(*job.right, job.material);
  for (const bool left : {true, false}) {
    const Blade& said = left || !job.right ? job.left : *job.right;
    const bike::Blade& made = left || !out.right ? out.left : *out.right;
    if (said.measured_mass && without_wall(made))
      return tl::unexpected(no_wall_weighs(job, *said.measured_mass));
  }
  shares_of(job.shares, out);
  if (row_of(job.crown.kind).own_place)
    out.given_shares[static_cast<std::size_t>(layout::Share::mitre_offset)] = job.crown.ahead.value;
  out.wishes = wishes_of(job.wishes.two, job.crown);
  if (!job.wishes.right.empty()) out.right_wishes = wishes_of(job.wishes.right, job.crown);
  out.near_splay = job.wishes.lean_to.value;
  return out;
}

study::BicycleParts bicycle_of(const Job& job, double front_radius) {
  base::check(job.bicycle.has_value(), "the job says something about the bicycle");
  const Bicycle& b = *job.bicycle;
  study::BicycleParts out;
  out.wheelbase = b.wheelbase.value;
  out.head_angle = job.steering.head_angle.value, out.offset = job.steering.offset.value;
  out.front_radius = front_radius;
  out.rear_radius = b.rear_radius ? b.rear_radius->value : front_radius;
  out.rider_mass = b.rider_mass.value, out.rider_ahead = b.rider_ahead.value;
  out.rider_height = b.rider_height.value;
  out.frame_mass = b.frame_mass.value, out.frame_ahead = b.frame_ahead.value;
  out.frame_height = b.frame_height.value;
  out.front_mass = b.front_mass.value, out.front_behind = b.front_behind.value;
  out.front_height = b.front_height.value;
  out.rear_wheel_mass = b.rear_wheel_mass.value, out.front_wheel_mass = b.front_wheel_mass.value;
  return out;
}

}  // namespace halfround::job
