#include "layout/plate_crown.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/say.h"
#include "layout/segmented.h"

namespace halfround::layout {

using base::Problem;
using base::Result;
using base::Vec2;
using bike::part;
using bike::PartKind;
using bike::Side;

double s_at_height(const bike::Member& m, double z) {
  double s = (m.s_start + m.s_end) / 2;
  for (int i = 0; i < 50; ++i) {
    const shape::Frame f = m.tube.centreline.at(s);
    const double step = (z - f.c.z()) / std::max(0.2, f.t.z());
    s += step;
    if (std::abs(step) < 1e-12) break;
  }
  return s;
}

bike::Bore bore_for(const bike::Member& m, double s) {
  // fore and aft along x, across along y
  const shape::Frame f = m.tube.centreline.at(s);
  const double depth = m.tube.profile.depth(s), width = m.tube.profile.width(s);
  // the steerer's mark line points forward, a blade's outward
  const bool forward = std::abs(f.m.x()) > std::abs(f.m.y());
  bike::Bore b{m.part, {f.c.x(), f.c.y()}, forward ? width : depth, f.t};
  if (std::abs(width - depth) > 1e-9) b.across = forward ? depth : width;
  return b;
}

std::optional<Problem> tapers_in_bore(const bike::Member& steerer, double s, double thickness) {
  constexpr double kMost = 0.3;  // mm over the diameter: a gap of 0.15 mm still fills; ours
  const shape::Profile& p = steerer.tube.profile;
  const double low = p.width(s - thickness / 2), high = p.width(s + thickness / 2);
  if (std::abs(high - low) <= kMost) return std::nullopt;
  return Problem{
      "steerer-tapers-in-crown",
      {"", 0, 0, "crown.height"},
      base::say("The steerer goes from ø{:.1f} to ø{:.1f} mm within the crown's {:.1f} mm.", low, high,
                thickness),
      "Put the crown where the steerer is straight, or start the taper higher (steerer.diameters)."};
}

double half_of(const bike::Bore& b) {
  return std::max(b.diameter, b.across) / 2;
}

namespace {

Problem too_near(const PlateCrown& crown, const bike::Bore& b, double metal) {
  const base::Apart told = base::apart(metal, crown.least);
  const double live_with = base::reachable(metal, base::Fits::up_to);
  Problem out{
      "plate-bores-too-near",
      {"", 0, 0, "crown"},
      fmt::format("Between the bores for the steerer and the {} blade {}; {} mm of metal are asked for.",
                  bike::word_of(b.takes.side),
                  metal < 0 ? fmt::format("no metal is left, they overlap by {} mm", base::amount(-metal))
                            : fmt::format("only {} mm are left", told.first),
                  told.second),
      base::say("Take the blades {:.1f} mm farther apart at the crown",
                base::reachable(2 * (crown.least - metal), base::Fits::from)),
      {}};
  if (live_with > 0) {
    out.fits += base::say(", or live with {:.1f} mm (crown.least)", live_with);
    out.offers.push_back(
        {"crown.least", base::fixed(live_with, 1), base::say("{:.1f} mm of metal", live_with)});
  }
  out.fits += '.';
  return out;
}

/// Seen from above: how far a bore's axis moves from the plate's middle plane to its upper face.
Vec2 shift_to_face(const bike::Bore& b, double thickness) {
  return thickness / 2 / b.axis.z() * b.axis.head<2>();
}

/// Discs that hold `edge` of metal round a bore on both faces: one, or two where the bore leans.
void add_discs(const bike::Bore& b, double thickness, double edge, std::vector<Disc>& out) {
  const Vec2 shift = shift_to_face(b, thickness);
  const double radius = half_of(b) / b.axis.z() + edge;  // a leaning bore leaves an ellipse
  out.push_back({b.at + shift, radius});
  if (shift.norm() > 1e-9) out.push_back({b.at - shift, radius});
}

/// Least metal between two bores, on the face where they come nearer, seen along the line between them.
double metal_between(const bike::Bore& a, const bike::Bore& b, double thickness) {
  const Vec2 face = shift_to_face(b, thickness) - shift_to_face(a, thickness);
  const double across = b.across > 0 ? b.across : b.diameter;
  const Vec2 apart = b.at - a.at;
  return std::min((apart + face).norm(), (apart - face).norm()) - a.diameter / 2 / a.axis.z() -
         across / 2 / b.axis.z();
}

}  // namespace

std::vector<bike::Corner> band_round(const std::vector<Disc>& discs) {
  // seen from direction a the band touches the disc that reaches farthest; two reach equally far where
  // (c_i - c_j) . n = r_j - r_i
  std::vector<double> turns;
  for (const Disc& p : discs) {
    for (const Disc& q : discs) {
      const Vec2 d = p.at - q.at;
      if (&p == &q || std::abs(q.radius - p.radius) >= d.norm()) continue;
      const double along = std::atan2(d.y(), d.x()), off = std::acos((q.radius - p.radius) / d.norm());
      for (const double a : {along - off, along + off})
        turns.push_back(a - 2 * base::kPi * std::floor(a / (2 * base::kPi)));
    }
  }
  const auto direction = [](double a) { return Vec2(std::cos(a), std::sin(a)); };
  const auto touched = [&](double a) {
    return std::max_element(discs.begin(), discs.end(), [&](const Disc& p, const Disc& q) {
      return p.at.dot(direction(a)) + p.radius < q.at.dot(direction(a)) + q.radius;
    });
  };
  std::sort(turns.begin(), turns.end());
  struct Stretch {
    std::size_t disc;
    double from, to;
  };
  std::vector<Stretch> arcs;
  for (std::size_t i = 0; i < turns.size(); ++i) {
    const double from = turns[i], to = i + 1 < turns.size() ? turns[i + 1] : turns[0] + 2 * base::kPi;
    if (to - from < 1e-9) continue;
    const auto disc = static_cast<std::size_t>(touched((from + to) / 2) - discs.begin());
    if (!arcs.empty() && arcs.back().disc == disc) {
      arcs.back().to = to;
    } else {
      arcs.push_back({disc, from, to});
    }
  }
  if (arcs.size() > 1 && arcs.front().disc == arcs.back().disc) {
    arcs.front().from = arcs.back().from - 2 * base::kPi;
    arcs.pop_back();
  }
  std::vector<bike::Corner> out;
  if (arcs.size() < 2) {
    const Disc& d = *touched(0);
    return {{d.at - Vec2(d.radius, 0), base::kPi}, {d.at + Vec2(d.radius, 0), base::kPi}};
  }
  for (const Stretch& a : arcs) {
    const Disc& d = discs[a.disc];
    out.push_back({d.at + d.radius * direction(a.from), a.to - a.from});
    out.push_back({d.at + d.radius * direction(a.to), 0});
  }
  return out;
}

Result<void> add_crown(const PlateCrown& crown, const Fork& placed, bike::Assembly& assembly) {
  if (crown.plates > 1 && crown.between < crown.thickness + 2) {
    const double between = base::reachable(crown.thickness + 2, base::Fits::from);
    return tl::unexpected(
        Problem{"plates-too-near",
                {"", 0, 0, "crown.between"},
                base::say("Two plates of {:.1f} mm don't go {} mm apart.", crown.thickness,
                          base::apart(crown.between, between).first),
                base::say("Give {:.1f} mm or more between their centres.", between),
                {{"crown.between", base::fixed(between, 1), base::say("plates {:.1f} mm apart", between)}}});
  }
  for (int i = 0; i < crown.plates; ++i) {
    const bike::Part plate = part(PartKind::crown_plate, Side::middle, i + 1);
    base::Pose X_FP = base::Pose::Identity();  // frame P: x forward, y to the left, z up
    X_FP.translation().z() = -placed.left.crown_height - i * crown.between;
    std::vector<bike::Bore> bores;
    std::vector<Disc> discs;
    for (const bike::Part& member :
         {part(PartKind::steerer), part(PartKind::blade, Side::left), part(PartKind::blade, Side::right)}) {
      const bike::Member* m = bike::find_member(assembly, member);
      const double s = s_at_height(*m, X_FP.translation().z());
      const bool low = member.kind == PartKind::steerer;
      if (low) {
        if (auto problem = tapers_in_bore(*m, s, crown.thickness)) return tl::unexpected(std::move(*problem));
      }
      bores.push_back(bore_for(*m, s));
      add_discs(bores.back(), crown.thickness, crown.edge, discs);
      assembly.joints.push_back(
          {member, low ? bike::End::start : bike::End::end, plate, bike::JointKind::bored, s});
    }
    for (const std::size_t k : {std::size_t{1}, std::size_t{2}}) {
      const bike::Bore& b = bores[k];
      const double metal = metal_between(bores[0], b, crown.thickness);
      if (metal < crown.least - 1e-9) return tl::unexpected(too_near(crown, b, metal));
    }
    assembly.plates.push_back(
        bike::make_plate(plate, X_FP, band_round(discs), crown.thickness, std::move(bores)));
  }
  for (const Side side : {Side::left, Side::right}) {
    const bike::Member* b = bike::find_member(assembly, part(PartKind::blade, side));
    if (crown.cap <= 0) break;
    assembly.plates.push_back(cap_plate(part(PartKind::cap, side), b->tube, b->s_end, crown.cap));
    assembly.joints.push_back({b->part, bike::End::end, part(PartKind::cap, side), bike::JointKind::butted});
  }
  return {};
}

}  // namespace halfround::layout
