#include "solve/shop_plan.h"

#include <algorithm>

namespace halfround::solve {

namespace {

std::vector<shop::Adapter> adapters_of(const std::vector<shop::FixtureSheet>& fixtures) {
  std::vector<shop::Adapter> out;
  for (const shop::FixtureSheet& f : fixtures) out.insert(out.end(), f.pieces.begin(), f.pieces.end());
  return out;
}

/// What a fixture's crown scale measures, as the job says it: of a socket crown half way up, where the layout
/// counts to the mouths of its sockets.
shop::CrownHeight crown_height(const Answer& a) {
  if (const auto* socket = std::get_if<layout::SocketCrown>(&a.intent.crown))
    return {socket->height, socket->height};
  return {a.fork.left.crown_height, a.fork.right.crown_height};
}

}  // namespace

ShopPlan shop_plan(const job::Job& job, const Answer& a, const shop::Shop& shop) {
  ShopPlan plan;
  const bike::Assembly& fork = a.fork.assembly;
  plan.shop = shop.name, plan.stock = shop.stock;
  plan.set_ups = shop::set_ups(fork, a.mitres, shop);
  for (std::size_t i = 0; i < plan.set_ups.size(); ++i) {
    if (plan.set_ups[i].by_hand) plan.by_hand.push_back(shop::by_hand(fork, a.mitres[i], shop));
  }
  plan.lengths = shop::length_checks(fork, a.mitres);
  std::optional<double> race;
  if (job.steerer.crown_race) race = job.steerer.crown_race->value;
  plan.fixtures =
      shop::fixture_sheets(shop, shop::measures_of(fork, job.hub.over_locknut.value, job.hub.axle.value,
                                                   crown_height(a), race, a.mount ? &*a.mount : nullptr));
  plan.cutting = shop::cut_list(shop::pieces_of(fork, adapters_of(plan.fixtures)), shop.stock);
  return plan;
}

const shop::HandPlan* by_hand(const ShopPlan& plan, const shop::MachineSetUp& s) {
  const auto found = std::ranges::find_if(
      plan.by_hand, [&](const shop::HandPlan& h) { return h.member == s.member && h.end == s.end; });
  return found == plan.by_hand.end() ? nullptr : &*found;
}

}  // namespace halfround::solve
