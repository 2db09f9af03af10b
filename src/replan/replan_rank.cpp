// The ways in order, what says the same once.
#include <algorithm>
#include <cmath>
#include <tuple>

#include "replan/replan_weigh.h"

namespace halfround::replan {

namespace {

constexpr double kLevel = 0.5;  // mm between the joints on the steerer that nobody sees [our own figure]
constexpr double kAlike = 0.1;  // of a freedom: ways that differ by less are told once

}  // namespace

void rank(const Facts& facts, std::vector<Alternative> ways, Replan& out) {
  const job::Freedoms& free = facts.free;
  const auto worst = [](const Alternative& a) {
    double most = 0;
    for (const Move& m : a.moves) most = std::max(most, m.used());
    return most;
  };
  const auto same = [&](const Alternative& a, const Alternative& b) {
    if (a.stands.has_value() != b.stands.has_value()) return false;
    for (std::size_t i = 0; i < a.pieces.size(); ++i) {
      if (a.pieces[i].fate != b.pieces[i].fate) return false;
    }
    const auto near = [](double x, double y, const base::Quantity& freedom, double step = kFileStep) {
      return std::abs(x - y) < std::max(kAlike * freedom.value, step);
    };
    const auto sides = [&](const layout::Placed& p, const layout::Placed& q, const layout::Intent& u,
                           const layout::Intent& v) {
      return near(p.splay, q.splay, free.splay, kFileTurn) &&
             near(p.crown_height, q.crown_height, free.crown_height) &&
             near(u.lower_end.blade_from_hub, v.lower_end.blade_from_hub, free.blade_from_hub) &&
             near(u.drop, v.drop, free.axle_to_crown) && near(u.offset, v.offset, free.offset);
    };
    return sides(a.fork.left, b.fork.left, a.left, b.left) &&
           sides(a.fork.right, b.fork.right, a.right, b.right);
  };
  // a fork whose joints are level comes before one whose joints are not, whatever the freedoms
  const auto order = [](const Alternative& a) {
    return std::tuple(a.scrapped, a.joints_apart > kLevel, a.cost);
  };
  std::ranges::stable_sort(ways, {}, order);
  for (Alternative& way : ways) {
    auto& into = way.allowed() ? out.ways : out.outside;
    if (std::ranges::none_of(into, [&](const Alternative& a) { return same(a, way); }))
      into.push_back(std::move(way));
  }
  std::ranges::stable_sort(out.outside, [&](const Alternative& a, const Alternative& b) {
    return a.scrapped != b.scrapped ? a.scrapped < b.scrapped : worst(a) < worst(b);
  });
}

}  // namespace halfround::replan
