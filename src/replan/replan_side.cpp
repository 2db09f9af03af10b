#include "replan/replan_side.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "base/say.h"
#include "replan/replan.h"
#include "shop/set_up.h"

namespace halfround::replan {

using base::Result;
using layout::Intent;

namespace {

using Function = std::function<Result<double>(double)>;

/// A root by the secant rule from a good guess; the functions here are nearly straight.
Result<double> secant(const Function& f, double x, double step, double within) {
  double x0 = x;
  Result<double> f0 = f(x0);
  if (!f0 || std::abs(*f0) < within) return f0 ? Result<double>(x0) : f0;
  double x1 = x0 + step;
  for (int i = 0; i < 30; ++i) {
    const Result<double> f1 = f(x1);
    if (!f1 || std::abs(*f1) < within) return f1 ? Result<double>(x1) : f1;
    if (*f1 == *f0) break;
    const double next = x1 - *f1 * (x1 - x0) / (*f1 - *f0);
    x0 = x1, f0 = f1;
    x1 = std::clamp(next, x1 - 40 * std::abs(step), x1 + 40 * std::abs(step));
  }
  return tl::unexpected(base::Problem{"done-unreachable",
                                      {"", 0, 0, "done"},
                                      "There is no fork near the plan that takes the finished blade.",
                                      "Measure the blade again; if it is right, it needs other parts."});
}

constexpr double kStand = 1e-11;                       // mm, where the blade's end is followed
constexpr double kLength = 1e-9;                       // mm, of the length that proves the cuts
constexpr double kSplayStep = 1e-3, kShiftStep = 0.5;  // rad, mm

/// The mover's value that brings the blade's `top` to the steering axis.
Result<double> mover_for(Intent intent, const AsCut& cut, double trim, Mover mover, double splay) {
  const double hub = intent.lower_end.blade_from_hub;
  const auto miss = [&](double x) -> Result<double> {
    intent.lower_end.blade_from_hub = mover == Mover::blade_from_hub ? x : hub;
    const auto p = layout::place(intent, intent.left, mover == Mover::splay ? x : splay, trim);
    if (!p) return tl::unexpected(p.error());
    return p->s_top - cut.top;
  };
  return mover == Mover::splay ? secant(miss, splay, kSplayStep, kStand)
                               : secant(miss, hub, kShiftStep, kStand);
}

}  // namespace

double in_file_steps(double mm) {
  return std::round(mm / kFileStep) / std::round(1 / kFileStep);
}

Result<Side> side_at(Intent intent, double splay, double lower_trim, const study::MitreOptions& how) {
  Side out;
  intent.right.reset();
  intent.gussets.clear();  // cut last, to the fork as it stands
  intent.wishes = {layout::Wished{layout::Wish::splay, splay},
                   layout::Wished{layout::Wish::lower_trim, lower_trim}};
  out.intent = std::move(intent);
  auto fork = layout::lay_out(out.intent);
  if (!fork) return tl::unexpected(fork.error());
  out.fork = std::move(*fork);
  const bike::Part left_blade = bike::part(bike::PartKind::blade, bike::Side::left);
  for (const bike::Joint& joint : out.fork.assembly.joints) {
    if (joint.member != left_blade || joint.kind != bike::JointKind::mitred) continue;
    auto mitre = study::mitre(out.fork.assembly, joint, how);
    if (!mitre) return tl::unexpected(mitre.error());
    out.mitres.push_back(std::move(*mitre));
  }
  for (const shop::LengthCheck& check : shop::length_checks(out.fork.assembly, out.mitres)) {
    if (check.member == left_blade) out.length = check.length;
  }
  if (out.mitres.empty()) {  // square at both ends: from middle to middle
    const bike::Member& blade = *bike::find_member(out.fork.assembly, left_blade);
    out.length =
        (blade.tube.centreline.point(blade.s_end) - blade.tube.centreline.point(blade.s_start)).norm();
  }
  std::ranges::sort(out.mitres, {}, [](const study::Mitre& m) { return m.end == bike::End::end; });
  return out;
}

Result<Side> side_taking(const Intent& intent, const AsCut& cut, Mover mover, double splay,
                         const study::MitreOptions& how) {
  Intent moved = intent;
  double sigma = splay, trim = cut.lower_trim;
  Result<Side> side = tl::unexpected(base::Problem{});
  // upper end off: the mover alone decides; lower end off: the trim decides and the mover keeps the top
  const auto miss = [&](double x) -> Result<double> {
    double m = x;
    if (cut.at_lower) {
      trim = x;
      const auto follows = mover_for(intent, cut, trim, mover, splay);
      if (!follows) return tl::unexpected(follows.error());
      m = *follows;
    }
    (mover == Mover::splay ? sigma : moved.lower_end.blade_from_hub) = m;
    side = side_at(moved, sigma, trim, how);
    if (!side) return tl::unexpected(side.error());
    return side->length - cut.length;
  };
  const double start = cut.at_lower            ? cut.lower_trim
                       : mover == Mover::splay ? splay
                                               : intent.lower_end.blade_from_hub;
  const auto root =
      secant(miss, start, !cut.at_lower && mover == Mover::splay ? kSplayStep : kShiftStep, kLength);
  if (!root) return tl::unexpected(root.error());
  return side;
}

Result<Side> side_in_crown(Intent intent, double lower_trim, const layout::Placed& plan,
                           const study::MitreOptions& how) {
  intent.right.reset();
  intent.gussets.clear();
  intent.wishes = {layout::Wished{layout::Wish::spacing, 2 * plan.y_crown},
                   layout::Wished{layout::Wish::lower_trim, lower_trim}};
  intent.near_splay = plan.splay;
  const auto fork = layout::lay_out(intent);
  if (!fork) return tl::unexpected(fork.error());
  return side_at(std::move(intent), fork->left.splay, lower_trim, how);
}

Result<Side> side_slid(const Intent& intent, const AsCut& cut, const layout::Placed& plan,
                       const study::MitreOptions& how) {
  Intent moved = intent;
  const double least = layout::least_past_line(intent.crown), planned = layout::past_line(intent.crown);
  Result<Side> side = tl::unexpected(base::Problem{});
  // upper end off: what goes on past the line is the unknown; lower end off: the trim is, and the top is
  // known
  const auto miss = [&](double x) -> Result<double> {
    double trim = cut.lower_trim;
    if (cut.at_lower) {
      trim = x;
      const auto where = side_in_crown(moved, trim, plan, how);
      if (!where) return tl::unexpected(where.error());
      layout::set_past_line(moved.crown, cut.top - where->at().s_crown);
    } else {
      layout::set_past_line(moved.crown, x);
    }
    side = side_in_crown(moved, trim, plan, how);
    if (!side) return tl::unexpected(side.error());
    return side->length - cut.length;
  };
  const auto root = secant(miss, cut.at_lower ? plan.lower_trim : planned, kShiftStep, kLength);
  if (!root) return tl::unexpected(root.error());
  const double left = layout::past_line(side->intent.crown);
  if (left >= least - 1e-9) return side;
  return tl::unexpected(base::Problem{
      "done-unreachable",
      {"", 0, 0, "done"},
      base::say("The blade would stand {:.1f} mm past the crown's middle line; {:.1f} mm hold it.", left,
                least),
      base::say("It is {:.1f} mm too short for this crown: it needs a new blade, or a crown {:.1f} mm lower.",
                least - left, least - left)});
}

namespace {

/// In a crown that stays, how far the blade goes past its line and where the blades stand are rounded.
Result<Side> rounded_in_crown(const Side& exact, const Side& plan, double trim,
                              const study::MitreOptions& how) {
  using layout::Wish;
  using layout::Wished;
  Intent intent = exact.intent;
  const double past = layout::past_line(intent.crown);
  if (std::abs(past - layout::past_line(plan.intent.crown)) > kFileStep / 2)
    layout::set_past_line(intent.crown, in_file_steps(past));
  layout::Placed where = plan.at();
  const bool socket =
      std::holds_alternative<layout::SocketCrown>(intent.crown);  // says itself where they stand
  if (!socket) where.y_crown = in_file_steps(2 * where.y_crown) / 2;
  auto side = side_in_crown(std::move(intent), trim, where, how);
  if (!side) return side;
  if (!socket) side->wishes.push_back(Wished{Wish::spacing, 2 * where.y_crown});
  side->wishes.push_back(Wished{Wish::lower_trim, trim});
  return side;
}

}  // namespace

Result<Side> side_rounded(const Side& exact, const Side& plan, const study::MitreOptions& how) {
  using layout::Wish;
  using layout::Wished;
  const layout::Placed& at = exact.at();
  const double trim = in_file_steps(at.lower_trim);
  if (layout::crown_line(exact.intent.crown)) return rounded_in_crown(exact, plan, trim, how);
  // where the blade meets the steerer says more of a blade that is there than its splay: 0.1 mm of it is
  // 0.2 mm of its length, 0.1 degree of splay 0.6 mm
  Intent intent = exact.intent;
  intent.wishes = {Wished{Wish::lower_trim, trim},
                   Wished{Wish::crown_height, in_file_steps(at.crown_height)}};
  if (const auto fork = layout::lay_out(intent); fork && std::abs(fork->left.splay - at.splay) < kFileTurn) {
    auto side = side_at(exact.intent, fork->left.splay, trim, how);
    if (side) side->wishes = {intent.wishes.begin(), intent.wishes.end()};
    return side;
  }
  const double splay = base::to_rad(std::round(base::to_deg(at.splay) * 100) / 100);
  auto side = side_at(exact.intent, splay, trim, how);
  if (side) side->wishes = {{Wish::splay, splay}, {Wish::lower_trim, trim}};
  return side;
}

double steel_missing(const Side& was, const Side& is, bike::End end, double gone) {
  const auto at = [&](const Side& side) {
    return std::ranges::find_if(side.mitres, [&](const study::Mitre& m) { return m.end == end; });
  };
  const auto a = at(was), b = at(is);
  const double outward = end == bike::End::end ? 1 : -1;
  if (a == was.mitres.end() || b == is.mitres.end())
    return (end == bike::End::end ? is.at().s_top - was.at().s_top
                                  : was.at().lower_trim - is.at().lower_trim) +
           gone;
  double most = -INFINITY;
  for (std::size_t i = 0; i < std::min(a->clock.size(), b->clock.size()); ++i) {
    if (!a->clock[i].met || !b->clock[i].met) continue;
    most = std::max(most, outward * (b->s_scribe - a->s_scribe) + b->clock[i].outer - a->clock[i].outer);
  }
  return std::isfinite(most) ? most + gone : gone;
}

CutChange cut_change(const Side& was, const Side& is, bike::End end) {
  const auto at = [&](const Side& side) {
    return std::ranges::find_if(side.mitres, [&](const study::Mitre& m) { return m.end == end; });
  };
  const auto a = at(was), b = at(is);
  CutChange out;
  if (a == was.mitres.end() || b == is.mitres.end()) return out;
  const std::size_t n = std::min(a->clock.size(), b->clock.size());
  const auto met = [&](std::size_t i) { return a->clock[i].met && b->clock[i].met; };
  const auto change = [&](std::size_t i) { return b->clock[i].outer - a->clock[i].outer; };
  double least = INFINITY, most = -INFINITY;
  for (std::size_t i = 0; i < n; ++i) {
    if (met(i)) least = std::min(least, change(i)), most = std::max(most, change(i));
  }
  if (!(most > least)) return out;
  out.depth = most - least;
  const shape::Profile& profile =
      bike::find_member(is.fork.assembly, bike::part(bike::PartKind::blade, bike::Side::left))->tube.profile;
  for (std::size_t i = 0; i < n; ++i) {
    if (!met(i)) continue;
    // the target's surface over the unrolled blade: its slope round the blade and through the wall give the
    // sine of the angle between generator and surface [derived]
    const std::size_t before = met((i + n - 1) % n) ? (i + n - 1) % n : i,
                      next = met((i + 1) % n) ? (i + 1) % n : i;
    const double steps = (before != i) + (next != i);
    const double r = profile.at(base::unit_at(b->clock[i].u), b->s_scribe).r;
    const double round =
        steps > 0 ? (b->clock[next].outer - b->clock[before].outer) / (steps * r * 2 * base::kPi / 24) : 0;
    const double through = std::isfinite(b->clock[i].bevel) ? std::tan(b->clock[i].bevel) : 0;
    out.gap = std::max(out.gap, (change(i) - least) / std::sqrt(1 + round * round + through * through));
  }
  return out;
}

}  // namespace halfround::replan
