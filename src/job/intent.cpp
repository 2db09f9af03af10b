#include "job/intent.h"

#include <algorithm>
#include <cmath>
#include <memory>

#include "shape/tape.h"

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

bike::Blade blade_of(const Blade& blade) {
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

}  // namespace

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
  out.steerer = steerer_of(job.steerer);
  out.crown = crown_of(job.crown);
  out.lower_end = lower_end_of(job.lower_end);
  if (job.right_lower_end) out.right_lower_end = lower_end_of(*job.right_lower_end);
  for (const Gusset& g : job.gussets)
    out.gussets.push_back({g.first, g.second, g.above, g.along_first.value, g.along_second.value,
                           g.thickness.value, g.hollow ? g.hollow->value : 0});
  out.left = blade_of(job.left);
  if (job.right) out.right = blade_of(*job.right);
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
