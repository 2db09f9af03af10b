#include "layout/lower_end.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/say.h"
#include "layout/plate_crown.h"

namespace halfround::layout {

using base::Problem;
using base::Result;
using base::Vec2;
using bike::part;
using bike::PartKind;

namespace {

bike::Member barrel_member(const Intent& intent, bool left) {
  const LowerEnd& e = intent.lower_end;
  const double sign = left ? 1 : -1;
  bike::Member m;
  m.part = part(PartKind::insert, bike::side_of(left));
  // from the hub's face outward; the mark line on top
  m.tube.centreline = shape::Centreline::from_runs(
      {{e.length, 0, 0}}, Vec3(intent.offset, sign * intent.over_locknut / 2, -intent.drop), Vec3(0, sign, 0),
      Vec3::UnitZ());
  m.tube.profile = shape::Profile::round(e.diameter, (e.diameter - e.bore) / 2);
  m.s_end = m.stock_length = e.length;
  return m;
}

/// A flat part against the hub's face. Frame P: x rearward, y up the blade, the axle in the origin; z points
/// to the rider's left on both sides.
struct Flat {
  base::Pose X_FP = base::Pose::Identity();
  Vec3 foot = Vec3::Zero(), along = Vec3::UnitY();  ///< the blade's lower end and direction, frame P
};
Flat flat_of(const Intent& intent, const bike::Member& blade, bool left) {
  const double sign = left ? 1 : -1;
  const shape::Frame f = blade.tube.centreline.at(blade.s_start);
  const Vec3 up = Vec3(f.t.x(), 0, f.t.z()).normalized(), fore(up.z(), 0, -up.x());
  Flat out;
  out.X_FP.linear() << -fore, up, Vec3::UnitY();
  out.X_FP.translation() =
      Vec3(intent.offset, sign * (intent.over_locknut / 2 + intent.lower_end.thickness / 2), -intent.drop);
  out.foot = out.X_FP.inverse() * f.c;
  out.along = out.X_FP.linear().transpose() * f.t;
  return out;
}

/// A tab or hooded dropout: round about the axle with a slot open at the bottom, reaching up to the blade.
bike::Plate dropout_plate(const Intent& intent, const bike::Member& blade, bool left) {
  const LowerEnd& e = intent.lower_end;
  const Flat flat = flat_of(intent, blade, left);
  const double slot = e.slot_width / 2, round = std::max(slot, 4.0) + 9;  // 9 mm of metal round the slot
  const double low = std::sqrt(round * round - slot * slot), lip = std::asin(low / round);
  const double half = std::min(round, 0.42 * blade.tube.profile.depth(std::max(blade.s_start, 0.0)));
  const double x = flat.foot.x(), shoulder = flat.foot.y(), top = shoulder + e.slot_depth;
  std::vector<bike::Corner> corners{{{-round, 0}, lip},       {{-slot, -low}, 0},  {{-slot, 0}, -base::kPi},
                                    {{slot, 0}, 0},           {{slot, -low}, lip}, {{round, 0}, 0},
                                    {{x + half, shoulder}, 0}};
  if (e.slot_depth > 0) corners.insert(corners.end(), {{{x + half, top}, 0}, {{x - half, top}, 0}});
  corners.push_back({{x - half, shoulder}, 0});
  return bike::make_plate(part(PartKind::dropout, bike::side_of(left)), flat.X_FP, std::move(corners),
                          e.thickness);
}

/// Whether the block keeps its metal beside the socket and between it and the axle's bore.
std::optional<Problem> unsound(const LowerEnd& e, const Flat& flat, double socket, bool left) {
  const auto problem = [](const char* code, const char* key, std::string what, std::string fits) {
    return Problem{code, {"", 0, 0, key}, std::move(what), std::move(fits)};
  };
  const auto at_least = [](double v) { return base::reachable(v, base::Fits::from); };
  const auto left_of = [&](double metal) {
    const base::Apart told = base::apart(metal, e.edge);
    return metal > 0
               ? fmt::format("only {} mm are left of the {} mm of metal asked for", told.first, told.second)
               : base::say("nothing is left of the {:.1f} mm of metal asked for", e.edge);
  };
  // where the socket's middle line stands across the block, outward from the block's middle
  const double out = left ? 1 : -1;
  const double bottom = out * flat.foot.z(), mouth = bottom + out * e.socket_depth * flat.along.z();
  const double metal = e.thickness / 2 - std::max(std::abs(bottom), std::abs(mouth)) - socket / 2;
  const double thick = socket + 2 * e.edge + std::abs(mouth - bottom);
  if (metal < e.edge - 1e-9) {
    const std::string what = base::say("Beside the socket of {:.1f} mm {}.", socket, left_of(metal));
    if (e.thickness < thick - 1e-9) {
      Problem thin = problem(
          "block-too-thin", "lower_end.thickness", what,
          base::say("Take bar of {:.1f} mm or more, with the blade {:.1f} mm from the hub's face.",
                    at_least(thick), e.blade_from_hub - (bottom + mouth) / 2 + (thick - e.thickness) / 2));
      thin.offers.push_back({"lower_end.thickness", base::fixed(at_least(thick), 1), ""});
      return thin;
    }
    Problem beside =
        problem("block-misses-blade", "lower_end.blade_from_hub", what,
                base::say("The socket stands in the middle of the block with the blade {:.1f} mm from the "
                          "hub's face.",
                          e.blade_from_hub - (bottom + mouth) / 2));
    beside.offers.push_back(
        {"lower_end.blade_from_hub", base::fixed(e.blade_from_hub - (bottom + mouth) / 2, 1), ""});
    return beside;
  }
  const double below = flat.foot.y() - e.bore / 2;
  if (below >= e.edge - 1e-9) return std::nullopt;
  const double rise = at_least(e.rise + e.edge - below);
  Problem too_low =
      problem("block-too-low", "lower_end.rise",
              fmt::format("Between the axle's bore and the socket's bottom {}.", left_of(below)),
              base::say("Give a rise of {:.1f} mm or more.", rise));
  too_low.offers.push_back({"lower_end.rise", base::fixed(rise, 1), base::say("a rise of {:.1f} mm", rise)});
  return too_low;
}

/// A block milled from bar: the axle's bore square through it, a socket for the blade bored into its top.
Result<bike::Plate> axle_block(const Intent& intent, const bike::Member& blade, bool left) {
  const LowerEnd& e = intent.lower_end;
  const Flat flat = flat_of(intent, blade, left);
  double widest = 0;
  for (double s = blade.s_start; s < blade.s_start + e.socket_depth + 1; s += 1)
    widest = std::max({widest, blade.tube.profile.depth(s), blade.tube.profile.width(s)});
  const double socket = widest + 2 * kBlockAir;
  const double top = flat.foot.y() + e.socket_depth * flat.along.y();
  if (auto problem = unsound(e, flat, socket, left)) return tl::unexpected(std::move(*problem));
  const double half = socket / 2 + e.edge, round = std::max(e.bore / 2 + e.edge, half);
  const auto corner = [&](double side) {
    return Disc{{flat.foot.x() + side * (half - kBlockCorner), top - kBlockCorner}, kBlockCorner};
  };
  std::vector<bike::Bore> bores{{.takes = part(PartKind::axle), .diameter = e.bore}};
  bike::Bore into{.takes = blade.part, .diameter = socket, .axis = -flat.along, .depth = e.socket_depth};
  into.mouth = flat.foot + e.socket_depth * flat.along;
  into.at = into.mouth->head<2>();
  bores.push_back(std::move(into));
  return bike::make_plate(part(PartKind::block, bike::side_of(left)), flat.X_FP,
                          band_round({{Vec2::Zero(), round}, corner(1), corner(-1)}), e.thickness,
                          std::move(bores));
}

}  // namespace

Result<void> add_lower_end(const Intent& intent, const Placed& placed, bool left, bike::Assembly& assembly) {
  const bike::Side side = bike::side_of(left);
  const bike::Member& blade = *bike::find_member(assembly, part(PartKind::blade, side));
  using bike::End, bike::JointKind;
  bike::Joint joint{blade.part, End::start, {}, JointKind::mitred};
  switch (intent.lower_end.kind) {
    case LowerEndKind::insert:
      joint.onto = part(PartKind::insert, side);
      assembly.members.push_back(barrel_member(intent, left));
      break;
    case LowerEndKind::tab_dropout:
    case LowerEndKind::hooded_dropout:
      joint.onto = part(PartKind::dropout, side);
      joint.kind =
          intent.lower_end.kind == LowerEndKind::tab_dropout ? JointKind::slotted : JointKind::butted;
      assembly.plates.push_back(dropout_plate(intent, blade, left));
      break;
    case LowerEndKind::axle_block: {
      auto block = axle_block(intent, blade, left);
      if (!block) return tl::unexpected(block.error());
      joint.onto = block->part, joint.kind = JointKind::bored;
      joint.s = placed.lower_trim + intent.lower_end.socket_depth / 2;
      assembly.plates.push_back(std::move(*block));
      break;
    }
  }
  assembly.joints.push_back(std::move(joint));
  return {};
}

}  // namespace halfround::layout
