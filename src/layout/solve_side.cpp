// Inside of the layout room: the two unknowns from the two wishes: one is found inside the other (Boost's
// TOMS 748 for both), on a grid of the outer one so that every solution in reach is seen.
#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <cmath>

#include "layout/lay_out.h"
#include "layout/place.h"
#include "layout/refusal.h"
#include "layout/root.h"

namespace halfround::layout {

using base::Problem;
using base::Result;
using namespace base::literals;

namespace {

constexpr double kLeastSplay = -12.0_deg, kMostSplay = 25.0_deg;
constexpr int kGrid = 17;           // outer samples
constexpr int kInnerGrid = 7;       // inner samples for a trim, where a wish rises or falls all the way
constexpr int kInnerFineGrid = 25;  // for a splay: a top angle can be met twice within a few degrees

constexpr double kMissing = 0.3;  // of the stock's length, looked for beyond its tip

enum class Unknown { splay, trim };

/// Finds one blade's unknowns.
class SideSolver {
 public:
  SideSolver(const Intent& intent, const bike::Blade& blade)
      : intent_(intent), blade_(blade), bench_(bike::on_bench(blade)) {
    // a barrel takes the blade's end up to half its girth; beyond that, and above the tip, steel is missing:
    // such answers are found too, so that it can be said how much is missing
    trim_least_ = row_of(intent.lower_end.kind).barrel ? -intent.lower_end.diameter / 2 : 0;
    trim_lo_ = trim_least_ - kMissing * blade.stock_length;
    trim_hi_ = 0.6 * blade.stock_length;
    base::Pose X = base::Pose::Identity();
    X.translation() = Vec3(intent.offset, 0, -intent.drop);
    tyre_ = intent.tyre.moved(X);
    wheel_radius_ = bike::outside_radius(tyre_);
  }

  Result<Placed> solve(std::vector<OtherSolution>& others);

 private:
  [[nodiscard]] std::pair<double, double> range(Unknown x) const {
    return x == Unknown::splay ? std::pair{kLeastSplay, kMostSplay} : std::pair{trim_lo_, trim_hi_};
  }
  [[nodiscard]] Result<Placed> at(double splay, double trim) const {
    return stand_at(intent_, blade_, bench_.centreline, splay, trim);
  }
  [[nodiscard]] Result<Placed> finished(double splay, double trim) const;
  [[nodiscard]] shape::Tube tube_of(const Placed& p) const {
    return put(intent_, p, p.rake_scale == 1 ? bench_ : bike::on_bench(blade_, p.rake_scale));
  }
  [[nodiscard]] shape::Gap gap_of(const Placed& p, const shape::Tube& tube, bool rough) const;
  [[nodiscard]] double measured(const Wished& wish, const Placed& p, bool rough = false) const;
  [[nodiscard]] Result<double> inner(Unknown x, double other, const Wished& wish) const;
  [[nodiscard]] Result<double> miss(double x, bool rough = false) const;
  [[nodiscard]] std::pair<double, double> both(double x) const;
  void choose_roles();
  void look_into_dips();
  [[nodiscard]] std::vector<std::pair<double, double>> walk();
  [[nodiscard]] Result<std::pair<double, double>> nearest();

  const Intent& intent_;
  const bike::Blade& blade_;
  shape::Tube bench_;
  shape::Tube tyre_;
  double wheel_radius_ = 0;
  double trim_lo_ = 0, trim_hi_ = 0;  // where trims are looked for
  double trim_least_ = 0;             // what the stock allows
  // which unknown is walked along, which wish decides there, and which wish the other unknown meets on the
  // way
  Unknown outer_ = Unknown::splay;
  Wished outer_wish_, inner_wish_;
  bool from_above_ = false;  // the inner unknown is looked for from the upper end of its range
  std::vector<std::pair<double, Result<double>>> seen_;  // misses along the last walk
  mutable Problem last_;
};

Result<Placed> SideSolver::finished(double splay, double trim) const {
  auto p = at(splay, trim);
  if (!p) return p;
  p->tube = tube_of(*p);
  p->clearance = gap_of(*p, p->tube, false);
  return p;
}

/// Least gap between the placed blade and the tyre. A crown inside the wheel is no gap, though it may clear
/// the tyre.
shape::Gap SideSolver::gap_of(const Placed& p, const shape::Tube& tube, bool rough) const {
  const double s0 = std::max(p.lower_trim, 0.0);
  shape::Gap gap;
  if (rough)
    gap.value = shape::rough_gap(tube, s0, p.s_top, tyre_);
  else
    gap = shape::least_gap(tube, s0, p.s_top, tyre_);
  const Vec3 crown(p.shares.mitre_offset, 0, -p.crown_height), axle(intent_.offset, 0, -intent_.drop);
  const double over = (crown - axle).norm() - wheel_radius_;
  if (over < gap.value) gap.value = over, gap.s = p.s_crown, gap.on_tube = crown, gap.on_body = crown;
  return gap;
}

/// What came of a wish; a clearance far from `wanted` need not be exact to be told apart from it.
double SideSolver::measured(const Wished& wish, const Placed& p, bool rough) const {
  if (wish.what != Wish::clearance) return outcome(wish.what, p, blade_.stock_length);
  const shape::Tube tube = tube_of(p);
  const double guess = rough ? gap_of(p, tube, true).value : wish.value;
  return std::abs(guess - wish.value) > 4 ? guess : gap_of(p, tube, false).value;
}

/// The outer unknown is the one the harder wish moves; a wish for an unknown itself fixes that unknown.
void SideSolver::choose_roles() {
  Wished a = intent_.wishes[0], b = intent_.wishes[1];
  const auto rank = [](const Wished& w) {  // direct ones inside, then crown height, top angle, clearance
    switch (w.what) {
      case Wish::splay:
      case Wish::lower_trim:
        return 0;
      case Wish::crown_height:
      case Wish::upper_trim:
        return 1;
      case Wish::top_angle:
      case Wish::spacing:
        return 2;
      case Wish::clearance:
        break;
    }
    return 3;
  };
  if (rank(a) > rank(b)) std::swap(a, b);
  inner_wish_ = a, outer_wish_ = b;
  switch (a.what) {
    case Wish::splay:
      outer_ = Unknown::trim;
      break;
    case Wish::lower_trim:
      outer_ = Unknown::splay;
      break;
    case Wish::crown_height:
    case Wish::upper_trim:
      outer_ = Unknown::splay;
      break;
    case Wish::top_angle:
    case Wish::spacing:
    case Wish::clearance:
      outer_ = Unknown::trim;
      break;  // met by the splay
  }
}

/// The unknown x that meets a cheap wish while the other one stays.
Result<double> SideSolver::inner(Unknown x, double other, const Wished& wish) const {
  if (wish.what == Wish::splay || wish.what == Wish::lower_trim) return wish.value;
  const auto f = [&](double v) -> Result<double> {
    const auto p = x == Unknown::splay ? at(v, other) : at(other, v);
    if (!p) return tl::unexpected(p.error());
    return measured(wish, *p) - wish.value;
  };
  auto [lo, hi] = range(x);
  if (from_above_) std::swap(lo, hi);
  double x0 = lo, best = INFINITY;
  std::optional<Problem> offset_fails;
  Result<double> f0 = f(lo);
  // a rake that takes the remainder reaches only some trims
  const bool fine = x == Unknown::splay || intent_.remainder == Share::rake;
  const int grid = fine ? kInnerFineGrid : kInnerGrid;
  for (int i = 1; i <= grid; ++i) {
    const double x1 = lo + (hi - lo) * i / grid;
    const Result<double> f1 = f(x1);
    if (f0 && f1) {
      const auto g = [&](double v) { return f(v).value_or(*f0); };
      if (const auto root = root_between(g, x0, x1, *f0, *f1, 50, 80)) return *root;
    }
    for (const double miss : {f0.value_or(INFINITY), f1.value_or(INFINITY)}) {
      if (std::abs(miss) < std::abs(best)) best = miss;
    }
    x0 = x1, f0 = f1;
    if (!f1 && f1.error().code == "offset-unreachable" && !offset_fails) offset_fails = f1.error();
  }
  if (offset_fails) return tl::unexpected(*offset_fails);  // the nearer cause
  if (!f0 && best == INFINITY) return tl::unexpected(f0.error());
  return tl::unexpected(unreachable(wish, outer_wish_, wish.value + best));
}

std::pair<double, double> SideSolver::both(double x) const {
  const Unknown in = outer_ == Unknown::splay ? Unknown::trim : Unknown::splay;
  const auto y = inner(in, x, inner_wish_);
  if (!y) {
    last_ = y.error();
    return {NAN, NAN};
  }
  return outer_ == Unknown::splay ? std::pair{x, *y} : std::pair{*y, x};
}

/// How far the outer wish is missed when the outer unknown is x and the inner wish is met.
Result<double> SideSolver::miss(double x, bool rough) const {
  const auto [splay, trim] = both(x);
  if (std::isnan(splay)) return tl::unexpected(last_);
  const auto p = at(splay, trim);
  if (!p) return tl::unexpected(last_ = p.error());
  return measured(outer_wish_, *p, rough) - outer_wish_.value;
}

/// Two solutions may hide between neighbouring samples, where the miss dips toward zero and comes back: there
/// the lowest place of the dip is added to what was seen.
void SideSolver::look_into_dips() {
  for (std::size_t i = 1; i + 1 < seen_.size(); ++i) {
    const auto& [x0, f0] = seen_[i - 1];
    const auto& [x1, f1] = seen_[i];
    const auto& [x2, f2] = seen_[i + 1];
    if (!f0 || !f1 || !f2 || passes_zero(*f0, *f1) || passes_zero(*f1, *f2)) continue;
    const double sign = *f1 > 0 ? 1 : -1, g0 = sign * *f0, g1 = sign * *f1, g2 = sign * *f2;
    if (g1 > g0 || g1 > g2) continue;
    // a parabola through the three tells whether it may reach zero
    const double bow = g0 - 2 * g1 + g2, lowest = bow > 0 ? g1 - (g2 - g0) * (g2 - g0) / (8 * bow) : g1;
    if (lowest > std::max(1.0, 0.5 * g1)) continue;
    const auto g = [&](double x) { return sign * miss(x).value_or(sign * 1e9); };
    const auto least = boost::math::tools::brent_find_minima(g, x0, x2, 20);
    if (least.second >= 0) continue;
    const std::size_t at = least.first < x1 ? i : i + 1;
    seen_.insert(seen_.begin() + static_cast<std::ptrdiff_t>(at), {least.first, sign * least.second});
    ++i;
  }
}

/// Every place along the outer unknown where both wishes are met.
std::vector<std::pair<double, double>> SideSolver::walk() {
  const auto [lo, hi] = range(outer_);
  seen_.clear();
  for (int i = 0; i < kGrid; ++i) {
    const double x = lo + (hi - lo) * i / (kGrid - 1);
    seen_.emplace_back(x, miss(x, true));
  }
  look_into_dips();
  std::vector<std::pair<double, double>> answers;
  for (std::size_t i = 0; i + 1 < seen_.size(); ++i) {
    const auto& [x0, f0] = seen_[i];
    const auto& [x1, f1] = seen_[i + 1];
    if (!f0 || !f1) continue;
    const double fallback = *f0;
    const auto g = [&](double x) { return miss(x).value_or(fallback); };
    const auto root = root_between(g, x0, x1, *f0, *f1, 46, 60);
    if (!root) continue;
    const auto left = miss(*root);
    if (left && std::abs(*left) < 1e-5) answers.push_back(both(*root));  // a jump is no solution
  }
  return answers;
}

/// The nearest to the outer wish on the last walk: it only just touches, or it can't be had.
Result<std::pair<double, double>> SideSolver::nearest() {
  double best = INFINITY, at_x = 0;
  std::size_t k = 0;
  for (std::size_t i = 0; i < seen_.size(); ++i) {
    const auto& [x, f] = seen_[i];
    if (f && std::abs(*f) < std::abs(best)) best = *f, at_x = x, k = i;
  }
  if (best == INFINITY) {
    // nothing stood anywhere: say what is wrong with the uncut blade, if that is it
    const auto uncut = at(intent_.near_splay, 0);
    return tl::unexpected(uncut ? last_ : uncut.error());
  }
  // it lies beside the best sample; where the reachable range ends, it is that end
  const double a = seen_[k > 0 ? k - 1 : 0].first, b = seen_[std::min(k + 1, seen_.size() - 1)].first;
  const auto far = [&](double x) { return std::abs(miss(x).value_or(1e9)); };
  const auto least = boost::math::tools::brent_find_minima(far, a, b, 26);
  if (least.second < std::abs(best)) best = miss(least.first).value_or(best), at_x = least.first;
  if (std::abs(best) > 1e-4)
    return tl::unexpected(unreachable(outer_wish_, inner_wish_, outer_wish_.value + best));
  return both(at_x);
}

Result<Placed> SideSolver::solve(std::vector<OtherSolution>& others) {
  choose_roles();
  if (outer_wish_.what == Wish::splay || outer_wish_.what == Wish::lower_trim) {  // both unknowns are given
    const bool splay_inside = inner_wish_.what == Wish::splay;
    return finished((splay_inside ? inner_wish_ : outer_wish_).value,
                    (splay_inside ? outer_wish_ : inner_wish_).value);
  }
  std::vector<std::pair<double, double>> answers = walk();
  if (inner_wish_.what == Wish::top_angle) {
    // a top angle can be met in the bend and on the straight above it: look from the other end and the other
    // way too
    for (const auto& [outer, from_above] :
         {std::pair{Unknown::splay, false}, std::pair{Unknown::trim, true}}) {
      outer_ = outer, from_above_ = from_above;
      for (const auto& q : walk()) {
        const bool known = std::any_of(answers.begin(), answers.end(), [&](const auto& p) {
          return std::abs(p.first - q.first) < 1e-6 && std::abs(p.second - q.second) < 1e-4;
        });
        if (!known) answers.push_back(q);
      }
    }
  }
  if (answers.empty()) {
    const auto touching = nearest();
    if (!touching) return tl::unexpected(touching.error());
    answers.push_back(*touching);
  }
  // of several, one the stock allows; then the one nearest the splay the builder leans to; equal ones: the
  // least trim
  const auto allowed = [&](const auto& p) { return p.second >= trim_least_ - 1e-9; };
  std::sort(answers.begin(), answers.end(), [&](const auto& p, const auto& q) {
    if (allowed(p) != allowed(q)) return allowed(p);
    const double dp = std::abs(p.first - intent_.near_splay), dq = std::abs(q.first - intent_.near_splay);
    return std::abs(dp - dq) > 1e-9 ? dp < dq : p.second < q.second;
  });
  for (std::size_t i = 1; i < answers.size(); ++i) {
    if (allowed(answers[i])) others.push_back({answers[i].first, answers[i].second});
  }
  return finished(answers[0].first, answers[0].second);
}

}  // namespace

Result<Placed> solve_side(const Intent& intent, const bike::Blade& blade,
                          std::vector<OtherSolution>& others) {
  return SideSolver(intent, blade).solve(others);
}

}  // namespace halfround::layout
