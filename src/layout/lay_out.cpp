// The fork's members and joints from two placed blades.
#include "layout/lay_out.h"

#include "layout/gusset.h"
#include "layout/lower_end.h"
#include "layout/place.h"
#include "layout/plate_crown.h"
#include "layout/refusal.h"
#include "layout/segmented.h"
#include "layout/socket_crown.h"

namespace halfround::layout {

using base::Result;
using bike::part;
using bike::PartKind;

namespace {

bike::Member blade_member(const Placed& placed, const bike::Blade& blade, bool left) {
  bike::Member m;
  m.part = part(PartKind::blade, bike::side_of(left));
  m.tube = left ? placed.tube : placed.tube.mirrored();
  m.s_start = placed.lower_trim;
  m.s_end = placed.s_top;
  m.stock_length = blade.stock_length;
  return m;
}

bike::Member steerer_member(const Intent& intent) {
  bike::Member m;
  m.part = part(PartKind::steerer);
  m.tube.centreline = shape::Centreline::from_runs(
      {{intent.steerer.length, 0, 0}}, Vec3(0, 0, -intent.steerer.below_seat), Vec3::UnitZ(), Vec3::UnitX());
  m.tube.profile = shape::Profile(intent.steerer.stations);
  m.s_end = m.stock_length = intent.steerer.length;
  return m;
}

}  // namespace

Intent own_side(const Intent& intent, bool left) {
  Intent out = intent;
  if (!left) {
    if (intent.right) out.left = *intent.right;
    if (intent.right_lower_end) out.lower_end = *intent.right_lower_end;
    if (intent.right_wishes) out.wishes = *intent.right_wishes;
  }
  out.right.reset(), out.right_lower_end.reset(), out.right_wishes.reset();
  return out;
}

Result<Fork> lay_out(const Intent& intent) {
  Fork fork;
  std::vector<OtherSolution> ignored;
  auto left = solve_side(intent, intent.left, fork.others);
  fork.mirrored = intent.mirrored();
  const auto on_side = [&](const base::Problem& problem, bool is_left) {
    return tl::unexpected(fork.mirrored ? problem : of_side(problem, is_left));
  };
  if (!left) return on_side(left.error(), true);
  fork.left = std::move(*left);
  const Intent sides[] = {own_side(intent, true), own_side(intent, false)};
  if (!fork.mirrored) {
    auto right = solve_side(sides[1], sides[1].left, ignored);
    if (!right) return on_side(right.error(), false);
    fork.right = std::move(*right);
  } else {
    fork.right = fork.left;
  }
  bike::Assembly& a = fork.assembly;
  a.axle = Vec3(intent.offset, 0, -intent.drop);
  base::Pose X = base::Pose::Identity();
  X.translation() = a.axle;
  a.tyre = intent.tyre.moved(X);
  a.members.push_back(steerer_member(intent));
  for (const bool is_left : {true, false}) {
    const Placed& placed = is_left ? fork.left : fork.right;
    const Intent& side_intent = sides[is_left ? 0 : 1];
    a.members.push_back(blade_member(placed, side_intent.left, is_left));
    const bike::Part blade = a.members.back().part;
    if (const auto* segmented = std::get_if<SegmentedCrown>(&intent.crown)) {
      const auto added = add_crown(*segmented, side_intent, placed, is_left, a);
      if (!added) return on_side(added.error(), is_left);
    } else if (std::holds_alternative<std::monostate>(intent.crown)) {
      a.joints.push_back({blade, bike::End::end, part(PartKind::steerer), bike::JointKind::mitred});
    }
    const auto ended = add_lower_end(side_intent, placed, is_left, a);
    if (!ended) return on_side(ended.error(), is_left);
  }
  if (const auto* socket = std::get_if<SocketCrown>(&intent.crown)) {
    const auto added = add_crown(*socket, fork, a);
    if (!added) return tl::unexpected(added.error());
  }
  if (const auto* plates = std::get_if<PlateCrown>(&intent.crown)) {
    const auto added = add_crown(*plates, fork, a);
    if (!added) return tl::unexpected(added.error());
  }
  for (std::size_t i = 0; i < intent.gussets.size(); ++i) {
    for (const bool is_left : {true, false}) {
      const auto added = add_gusset(intent.gussets[i], i, is_left, a);
      if (!added) return tl::unexpected(added.error());
    }
  }
  return fork;
}

}  // namespace halfround::layout
