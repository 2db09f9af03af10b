#include "study/clearance_wheel.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "bike/brake.h"
#include "shape/separation.h"

namespace halfround::study {

using base::Vec2;
using bike::PartKind;
using bike::Side;

namespace {

/// The mudguard's section as (r, y), without its rounding, and that rounding.
std::pair<std::vector<Vec2>, double> mudguard_outline(const Mudguard& guard, double tyre_radius) {
  const double top = tyre_radius + guard.gap + guard.thickness;
  const double round = 0.5 * std::min(guard.depth, guard.half_width), y = guard.half_width - round;
  return {{{top - guard.depth + round, -y},
           {top - round + 1e-9, -y},
           {top - round + 1e-9, y},
           {top - guard.depth + round, y}},
          round};
}

std::vector<Vec2> rectangle(double r0, double r1, double y0, double y1) {
  return {{r0, y0}, {r1, y0}, {r1, y1}, {r0, y1}};
}

}  // namespace

WheelFrame wheel_frame(const bike::Assembly& assembly, const ClearanceOptions& options) {
  WheelFrame w;
  w.axle = assembly.axle;
  w.left = -assembly.tyre.centreline.at(0).b;  // the wheel frame's +y, however the assembly was moved
  w.up = -(options.way_out - options.way_out.dot(w.left) * w.left).normalized();
  w.fore = w.left.cross(w.up);
  return w;
}

std::optional<Rotor> placed_rotor(const ClearanceOptions& options) {
  if (!options.rotor || options.rotor->diameter <= 0) return std::nullopt;
  Rotor rotor = *options.rotor;
  if (rotor.inner_face == 0) {
    if (options.over_locknut <= 0) return std::nullopt;
    rotor.inner_face = options.over_locknut / 2 - bike::kRotorFromHub;
  }
  return rotor;
}

base::Pose usual_calliper(const WheelFrame& w, const Rotor& rotor, const Vec3& half) {
  const double a = 30 * base::kRadPerDeg;
  const Vec3 out = -std::cos(a) * w.fore + std::sin(a) * w.up;
  base::Pose X = base::Pose::Identity();
  X.linear() << out, w.left, out.cross(w.left);
  X.translation() =
      w.axle + (rotor.diameter / 2 + 5 - half.x()) * out + (rotor.inner_face + rotor.thickness / 2) * w.left;
  return X;
}

std::vector<WheelPart> wheel_parts(const bike::Assembly& assembly, const ClearanceOptions& options,
                                   std::vector<std::string>& not_checked) {
  const WheelFrame w = wheel_frame(assembly, options);
  std::vector<WheelPart> parts;
  const auto turned = [&](PartKind kind, bike::Side side, const std::vector<Vec2>& outline,
                          double round = 0) {
    parts.push_back({bike::part(kind, side), shape::Body::turned(w.axle, w.left, outline, round)});
  };
  parts.push_back({bike::part(PartKind::tyre), shape::Body::ring(assembly.tyre)});
  parts.back().body.prepare_support();
  if (options.rim && options.rim->bead_seat > 0 && options.rim->inside_width > 0) {
    const Rim& rim = *options.rim;
    const double y = rim.inside_width / 2 + rim.flange;
    turned(PartKind::rim, Side::middle,
           rectangle(rim.bead_seat / 2 - rim.depth, rim.bead_seat / 2 + rim.flange_height, -y, y));
  } else {
    not_checked.emplace_back(
        "The rim is not checked: its bead-seat diameter or its inside width is unknown.");
  }
  if (options.mudguard) {
    if (options.mudguard->half_width > 0 && options.mudguard->depth > 0) {
      const auto [outline, round] = mudguard_outline(*options.mudguard, parts.front().body.outside_radius());
      turned(PartKind::mudguard, Side::middle, outline, round);
    } else {
      not_checked.emplace_back(
          "The mudguard is not checked: its half width and its depth must be above 0 mm.");
    }
  }
  const auto rotor = placed_rotor(options);
  if (rotor) {
    const double r = rotor->diameter / 2;
    turned(PartKind::rotor, Side::middle,
           rectangle(-r, r, rotor->inner_face, rotor->inner_face + rotor->thickness));
  } else if (options.rotor) {
    not_checked.emplace_back(
        "The rotor is not checked: its diameter, or both its inner face and the hub's width, are unknown.");
  }
  if (rotor && options.calliper) {
    const Calliper& c = *options.calliper;
    parts.push_back({bike::part(PartKind::calliper),
                     shape::Body::box(c.X_FC ? *c.X_FC : usual_calliper(w, *rotor, c.half), c.half)});
  }
  if (options.over_locknut > 0 && options.axle_diameter > 0 && options.axle_beyond > 0) {
    const double r = options.axle_diameter / 2, y0 = options.over_locknut / 2, y1 = y0 + options.axle_beyond;
    turned(PartKind::axle_end, Side::left, rectangle(-r, r, y0, y1));
    turned(PartKind::axle_end, Side::right, rectangle(-r, r, -y1, -y0));
  } else {
    not_checked.emplace_back(
        "The axle ends are not checked: the hub's width or the axle's diameter is unknown.");
  }
  return parts;
}

std::optional<ToeOverlap> toe_overlap(const bike::Assembly& assembly, const ClearanceOptions& options) {
  if (!options.pedals) return std::nullopt;
  const Pedals& pedals = *options.pedals;
  const double fc = pedals.front_centre, drop = pedals.bracket_drop;
  if (!(fc > std::abs(drop)) || pedals.crank_length <= 0 || pedals.head_angle <= 0) return std::nullopt;
  // the outline that sweeps: (r, y) by a parameter of one turn
  std::function<Vec2(double)> outline = [&](double v) {
    const Vec2 e(std::cos(v), std::sin(v));
    return Vec2(Vec2(1 / assembly.tyre.centreline.max_curvature(), 0) + assembly.tyre.profile.at(e, 0).r * e);
  };
  if (options.mudguard) {
    const auto shell = mudguard_outline(*options.mudguard, shape::Body::ring(assembly.tyre).outside_radius());
    outline = [shell](double v) {
      const auto& [corners, round] = shell;
      const Vec2 e(std::cos(v), std::sin(v));
      const Vec2& corner = *std::max_element(
          corners.begin(), corners.end(), [&](const Vec2& a, const Vec2& b) { return a.dot(e) < b.dot(e); });
      return Vec2(corner + round * e);
    };
  }
  // A point of the wheel turns about the steering axis (z of F) until it stands in the pedal's plane |y| =
  // from_middle, behind the axis; how far back it then lies is found for every point. [derived]
  const double sn = std::sin(pedals.head_angle), cs = std::cos(pedals.head_angle), y = pedals.from_middle;
  struct Place {
    double back, xi, y0, turned;
  };
  const auto place = [&](double angle, double v) -> Place {
    const Vec2 q = outline(v);
    const double xi = assembly.axle.x() + q.x() * std::cos(angle),
                 z = assembly.axle.z() + q.x() * std::sin(angle);
    const double rest = xi * xi + q.y() * q.y() - y * y;
    if (rest < 0 || xi > 0) return {-INFINITY, 0, 0, 0};
    return {std::sqrt(rest) * sn + z * cs, xi, q.y(), -std::sqrt(rest)};
  };
  double angle = base::kPi, v = 0, most = -INFINITY;
  for (int i = 0; i <= 48; ++i) {
    for (int k = 0; k < 32; ++k) {
      const double a = base::kPi * (0.5 + i / 48.0), b = base::kPi * k / 16;
      const double back = place(a, b).back;
      if (back > most) most = back, angle = a, v = b;
    }
  }
  if (most == -INFINITY) return std::nullopt;
  for (double da = 0.07, dv = 0.2; da > 1e-10;) {
    const double a0 = angle, v0 = v;
    for (int i = -1; i <= 1; ++i) {
      for (int k = -1; k <= 1; ++k) {
        const double back = place(a0 + i * da, v0 + k * dv).back;
        if (back > most) most = back, angle = a0 + i * da, v = v0 + k * dv;
      }
    }
    if (angle == a0 && v == v0) da *= 0.5, dv *= 0.5;
  }
  const double axle_ahead = assembly.axle.x() * sn - assembly.axle.z() * cs;
  const double pedal_ahead = axle_ahead - std::sqrt(fc * fc - drop * drop) + pedals.crank_length;
  const Place at = place(angle, v);
  ToeOverlap toe;
  toe.value = -most - pedal_ahead;
  toe.steered = std::abs(std::remainder(std::atan2(y, at.turned) - std::atan2(at.y0, at.xi), 2 * base::kPi));
  const bool shorter = pedals.foot_held || pedals.young;
  toe.limit = shorter ? 89 : 100;
  toe.source = shorter ? "published rule for held feet, children and young adults, as quoted"
                       : "published rule for feet that are not held, as quoted";
  toe.mudguard = options.mudguard.has_value();
  return toe;
}

WheelRemoval wheel_removal(const bike::Assembly& assembly, const ClearanceOptions& options,
                           const shape::Body& tyre, double at_rest, const bike::Part& member) {
  WheelRemoval out;
  out.slotted = options.slot_width > 0;
  if (out.slotted && options.axle_diameter > 0) out.slot_spare = options.slot_width - options.axle_diameter;
  out.tyre_at_least = at_rest, out.tyre_member = member;
  const Vec3 way = options.way_out.normalized();
  // between two places of its way the wheel is anywhere: the bound holds for all of them, and where it is
  // not good enough the stretch is halved
  const auto narrow = [&](const bike::Part& part, const auto& separate) {
    const std::function<void(double, double)> pass = [&](double t0, double t1) {
      const shape::ProofOptions proof{0.25, 0.5 * (t1 - t0) * way, out.tyre_at_least - 0.05, 100};
      const double least = separate(tyre.shifted(0.5 * (t0 + t1) * way), proof).at_least;
      if (least >= out.tyre_at_least - 0.05) return;
      if (t1 - t0 < 4) {
        out.tyre_at_least = least, out.tyre_member = part, out.tyre_travel = 0.5 * (t0 + t1);
        return;
      }
      pass(t0, 0.5 * (t0 + t1)), pass(0.5 * (t0 + t1), t1);
    };
    const double end = tyre.outside_radius() + 60;
    for (int i = 0; i < 12; ++i) pass(end * i / 12, end * (i + 1) / 12);
  };
  for (const bike::Member& m : assembly.members) {
    narrow(m.part, [&](const shape::Body& body, const shape::ProofOptions& proof) {
      return shape::separation(m.tube, m.s_start, m.s_end, body, proof);
    });
  }
  for (const bike::Plate& p : assembly.plates) {
    narrow(p.part, [&](const shape::Body& body, const shape::ProofOptions& proof) {
      return shape::separation(p.outline, p.normal, p.thickness, body, proof);
    });
  }
  if (const auto rotor = placed_rotor(options); rotor && options.calliper) {
    const WheelFrame w = wheel_frame(assembly, options);
    const base::Pose X =
        options.calliper->X_FC ? *options.calliper->X_FC : usual_calliper(w, *rotor, options.calliper->half);
    const Vec3 at = X.translation();
    const Vec3 out_there = (at - w.axle) - (at - w.axle).dot(w.left) * w.left;
    out.rotor_leaves_calliper = way.dot(out_there) <= 1e-9;
  }
  return out;
}

}  // namespace halfround::study
