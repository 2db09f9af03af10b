#include "layout/segmented.h"

#include <fmt/format.h>

#include <cmath>

#include "base/number.h"
#include "base/say.h"

namespace halfround::layout {

using base::Problem;
using base::Vec2;

namespace {

constexpr double kLeastTube =
    3;  // mm of crown tube between steerer and blade that two fillets need [common practice]

/// Corners of a section of the tube seen along it, anticlockwise; true arcs where it is round.
std::vector<bike::Corner> section_corners(const shape::Profile& profile, double s) {
  if (profile.kind(s) == shape::OutlineKind::round) {
    const double r = profile.width(s) / 2;
    return {{{-r, 0}, base::kPi}, {{r, 0}, base::kPi}};
  }
  std::vector<bike::Corner> out;
  constexpr int n = 96;  // of a 30 mm oval within 0.01 mm
  for (int i = 0; i < n; ++i) {
    const Vec2 e = base::unit_at(2 * base::kPi * i / n);
    out.push_back({profile.at(e, s).r * e, 0});
  }
  return out;
}

}  // namespace

bike::Plate cap_plate(bike::Part part, const shape::Tube& tube, double s, double thickness) {
  const shape::Frame f = tube.centreline.at(s);
  base::Pose X_FP = base::Pose::Identity();
  X_FP.linear() << f.m, f.b, f.t;
  X_FP.translation() = f.c + thickness / 2 * f.t;
  return bike::make_plate(std::move(part), X_FP, section_corners(tube.profile, s), thickness);
}

base::Result<void> add_crown(const SegmentedCrown& crown, const Intent& side_intent, const Placed& placed,
                             bool left, bike::Assembly& assembly) {
  const bike::Side side = bike::side_of(left);
  const bike::Part steerer_part = bike::part(bike::PartKind::steerer),
                   blade = bike::part(bike::PartKind::blade, side),
                   tube = bike::part(bike::PartKind::crown_tube, side);
  const double sign = left ? 1 : -1;
  const auto on_side = [&](const Vec3& p) { return Vec3(p.x(), sign * p.y(), p.z()); };
  const Vec3 outer = on_side(placed.tube.centreline.point(placed.s_crown));
  const Vec3 inner(placed.shares.mitre_offset, 0, -placed.crown_height);
  const double length = (inner - outer).norm();
  const Vec3 t = (inner - outer) / length;
  // where the crown tube leaves the steerer's and the blade's flanks, along its own axis
  const double steerer = side_intent.steerer.stations.front().width / 2 / std::sin(crown.angle);
  const double flank = placed.tube.profile.width(placed.s_crown) / 2 /
                       std::max(0.3, on_side(placed.tube.centreline.at(placed.s_crown).t).cross(t).norm());
  const double seen = length - steerer - flank;
  if (seen < kLeastTube) {
    return tl::unexpected(Problem{
        "crown-tube-too-short",
        {"", 0, 0, "crown"},
        base::say(
            "The {} blade stands {:.1f} mm from the middle at the crown: between steerer and blade {} of "
            "crown tube.",
            bike::word_of(side), std::abs(outer.y()),
            seen < 0 ? fmt::format("{} mm are missing", base::amount(-seen))
                     : fmt::format("only {} mm are left", base::amount(seen))),
        base::say(
            "Spread the blades by {:.1f} mm or more at the crown: wish for less splay, or take the lower "
            "ends farther out.",
            base::reachable(2 * (kLeastTube - seen), base::Fits::from))});
  }
  bike::Member m;
  m.part = tube;
  // sawn longer by its own diameter at either end, so that both mitres fit; the mark line on top
  const double extra = crown.diameter;
  const Vec3 up = (Vec3::UnitZ() - t.z() * t).normalized();
  m.tube.centreline = shape::Centreline::from_runs({{length + 2 * extra, 0, 0}}, outer - extra * t, t, up);
  m.tube.profile = shape::Profile::round(crown.diameter, crown.wall);
  m.s_start = extra, m.s_end = extra + length, m.stock_length = length + 2 * extra;
  assembly.members.push_back(std::move(m));
  assembly.joints.push_back({tube, bike::End::end, steerer_part, bike::JointKind::mitred});
  assembly.joints.push_back({tube, bike::End::start, blade, bike::JointKind::mitred});
  if (crown.cap <= 0) return {};
  const bike::Member* b = bike::find_member(assembly, blade);
  assembly.plates.push_back(cap_plate(bike::part(bike::PartKind::cap, side), b->tube, b->s_end, crown.cap));
  assembly.joints.push_back({blade, bike::End::end, assembly.plates.back().part, bike::JointKind::butted});
  return {};
}

}  // namespace halfround::layout
