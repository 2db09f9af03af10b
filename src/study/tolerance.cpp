// What is fixed before the first draw, and what the counts say afterwards.
#include "study/tolerance.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/plain.h"
#include "base/say.h"

namespace halfround::study {

using base::Problem;
using base::Result;
using bike::Chain;

namespace {

constexpr double kWorthRunning = 0.02;  // of some measure's linear variance: below it nothing would change

/// Standard deviation and furthest value of a unit deviate.
struct Unit {
  double sd, most;
};
Unit unit_of(Spread spread) {
  switch (spread) {
    case Spread::normal:
      return {1, kNormalEnd};
    case Spread::uniform:
      return {1 / std::sqrt(3.0), 1};
    case Spread::triangular:
      return {1 / std::sqrt(6.0), 1};
  }
  return {};
}

Problem problem(const char* code, const std::string& of, std::string what, std::string fits) {
  return {code, {"", 0, 0, "tolerances." + of}, std::move(what), std::move(fits)};
}

template <class Names>
std::string listed(const Names& names) {
  std::string out;
  for (const auto& n : names) out += (out.empty() ? "" : ", ") + n;
  return out;
}

std::vector<double> values_of(const TolerancePlan& plan, std::span<const double> deviations) {
  if (const auto* chain = std::get_if<Chain>(&plan.model)) return bike::measured(*chain, deviations);
  return std::get<Formula>(plan.model).value(deviations);
}

const std::vector<bike::Dimension>& dimensions_of(const TolerancePlan& plan) {
  return std::visit([](const auto& m) -> const std::vector<bike::Dimension>& { return m.dimensions; },
                    plan.model);
}

/// The furthest that a dimension turns anything, rad for a rad of it.
double most_turned(const TolerancePlan& plan, std::size_t dimension) {
  double most = 1;
  if (const auto* chain = std::get_if<Chain>(&plan.model)) {
    for (const auto& limb : chain->limbs) {
      for (const auto& step : limb.steps) {
        if (step.dimension == dimension && step.motion == bike::Step::Motion::turn)
          most = std::max(most, std::abs(step.factor));
      }
    }
  }
  return most;
}

std::optional<Problem> take_dimension(TolerancePlan& plan, const Toleranced& t) {
  const auto& dimensions = dimensions_of(plan);
  const auto found =
      std::find_if(dimensions.begin(), dimensions.end(), [&](const auto& d) { return d.name == t.of; });
  if (found == dimensions.end()) {
    std::vector<std::string> names;
    for (const auto& d : dimensions) names.push_back(d.name);
    return problem("tolerance-unknown", t.of, fmt::format("There is no dimension \"{}\" here.", t.of),
                   fmt::format("Dimensions: {}.", listed(names)));
  }
  const auto index = static_cast<std::size_t>(found - dimensions.begin());
  if (std::find(plan.drives.begin(), plan.drives.end(), index) != plan.drives.end()) {
    return problem("tolerance-twice", t.of, fmt::format("The {} has two tolerances.", found->what),
                   "Give it one.");
  }
  if (!(t.plus_minus >= 0) || !std::isfinite(t.plus_minus) || !(t.sigmas > 0)) {
    return problem("tolerance-negative", t.of,
                   base::plainly("The {} can't be off by plus or minus {}.", found->what, t.plus_minus),
                   "Give a plus-minus of 0 or more.");
  }
  if (t.plus_minus == 0) return std::nullopt;
  const double scale = t.spread == Spread::normal ? t.plus_minus / t.sigmas : t.plus_minus;
  if (found->angle && scale * unit_of(t.spread).most * most_turned(plan, index) > base::kPi / 4) {
    return problem(
        "tolerance-too-wide", t.of,
        base::say("The {} is given plus or minus {:.1f}°: now and then it would be off by more than 45°, "
                  "and nothing here would be a fork.",
                  found->what, base::to_deg(t.plus_minus)),
        "Give an angle that a protractor can tell, e.g. 0.5°.");
  }
  plan.toleranced.push_back(t), plan.drives.push_back(index);
  plan.scale.push_back(scale), plan.spreads.push_back(t.spread);
  return std::nullopt;
}

std::optional<Problem> take_limit(TolerancePlan& plan, const OutputLimit& limit) {
  const auto found = std::find_if(plan.measures.begin(), plan.measures.end(),
                                  [&](const auto& m) { return m.key == limit.of; });
  if (found == plan.measures.end()) {
    std::vector<std::string> names;
    for (const auto& m : plan.measures) names.push_back(m.key);
    return problem("tolerance-unknown", limit.of,
                   fmt::format("Nothing called \"{}\" is measured here.", limit.of),
                   fmt::format("Measured: {}.", listed(names)));
  }
  if (limit.low && limit.high && !(*limit.low < *limit.high)) {
    return problem(
        "limits-contradict", limit.of,
        base::plainly("The {} would have to be at least {} and at most {} {}: nothing can be both.",
                      found->name, *limit.low, *limit.high, found->unit),
        "Give a lower limit that is below the upper one.");
  }
  found->limit = limit;
  return std::nullopt;
}

/// Effects of every toleranced dimension alone, at plus its whole plus-minus. Where a measure grows to both
/// sides (faces out of parallel) the greater change is taken.
void linearise(TolerancePlan& plan) {
  std::vector<double> deviations(dimensions_of(plan).size());
  const std::vector<double> nominal = values_of(plan, deviations);
  for (std::size_t m = 0; m < plan.measures.size(); ++m) plan.measures[m].nominal = nominal[m];
  for (std::size_t v = 0; v < plan.toleranced.size(); ++v) {
    const double t = plan.toleranced[v].plus_minus;
    deviations[plan.drives[v]] = t;
    const std::vector<double> more = values_of(plan, deviations);
    deviations[plan.drives[v]] = -t;
    const std::vector<double> less = values_of(plan, deviations);
    deviations[plan.drives[v]] = 0;
    for (std::size_t m = 0; m < plan.measures.size(); ++m) {
      const double up = more[m] - nominal[m], down = less[m] - nominal[m];
      const double odd = 0.5 * (up - down), even = 0.5 * (up + down);
      Contribution c;
      c.of = plan.toleranced[v].of, c.plus_minus = t;
      c.effect = std::abs(even) > std::abs(odd) ? even : odd;
      plan.measures[m].contributions.push_back(c);
    }
  }
}

void set_histograms(TolerancePlan& plan) {
  std::vector<bool> worth(plan.toleranced.size(), false);
  for (MeasureResult& m : plan.measures) {
    double variance = 0, furthest = 0, squares = 0;
    for (std::size_t v = 0; v < m.contributions.size(); ++v) {
      Contribution& c = m.contributions[v];
      const Unit unit = unit_of(plan.spreads[v]);
      const double a_unit = c.effect * plan.scale[v] / c.plus_minus;
      c.linear_share = a_unit * a_unit * unit.sd * unit.sd;
      variance += c.linear_share, furthest += std::abs(a_unit) * unit.most;
      m.worst_case += std::abs(c.effect), squares += c.effect * c.effect;
    }
    m.rss = std::sqrt(squares);
    // a last digit that a computation leaves is no effect
    const double noise = 1e-10 * std::max(1.0, std::abs(m.nominal));
    for (std::size_t v = 0; v < m.contributions.size(); ++v) {
      Contribution& c = m.contributions[v];
      c.linear_share = variance > noise * noise ? c.linear_share / variance : 0;
      worth[v] = worth[v] || c.linear_share > kWorthRunning;
    }
    const double half = std::max(1.02 * std::min(furthest, 8 * std::sqrt(variance)), noise);
    plan.start.push_back(m.nominal - half);
    plan.bins_a_unit.push_back(static_cast<double>(kFineBins) / (2 * half));
  }
  for (std::size_t v = 0; plan.options.hold_each && v < worth.size(); ++v) {
    if (worth[v]) plan.held.push_back(v);
  }
}

/// One run's fine histogram of one measure, read.
class Reading {
 public:
  Reading(const TolerancePlan& plan, const Tally& tally, std::size_t run, std::size_t measure)
      : counts_(tally.counts.data() + (run * plan.measures.size() + measure) * kFineBins, kFineBins),
        start_(plan.start[measure]),
        width_(1 / plan.bins_a_unit[measure]),
        draws_(static_cast<double>(std::accumulate(counts_.begin(), counts_.end(), std::uint64_t{0}))) {}

  /// Value below which a share p of the draws lies; straight within a bin.
  [[nodiscard]] double percentile(double p) const {
    double before = 0;
    const double wanted = p * draws_;
    for (std::size_t i = 0; i < kFineBins; ++i) {
      const auto n = static_cast<double>(counts_[i]);
      if (n > 0 && before + n >= wanted)
        return start_ + width_ * (static_cast<double>(i) + (wanted - before) / n);
      before += n;
    }
    return start_ + width_ * kFineBins;
  }
  [[nodiscard]] double mean() const {
    double sum = 0;
    for (std::size_t i = 0; i < kFineBins; ++i)
      sum += static_cast<double>(counts_[i]) * (static_cast<double>(i) + 0.5);
    return start_ + width_ * sum / draws_;
  }
  [[nodiscard]] double variance() const {
    const double middle = (mean() - start_) / width_ - 0.5;
    double sum = 0;
    for (std::size_t i = 0; i < kFineBins; ++i) {
      const double d = static_cast<double>(i) - middle;
      sum += static_cast<double>(counts_[i]) * d * d;
    }
    // less what the bins' own width adds [source: Sheppard's correction]
    return width_ * width_ * std::max(sum / draws_ - 1.0 / 12, 0.0);
  }
  [[nodiscard]] double spread95() const { return percentile(0.975) - percentile(0.025); }

  /// At most 64 bins round what was hit.
  void plot(MeasureResult& out) const {
    std::size_t lo = 0, hi = kFineBins;
    while (lo + 1 < hi && counts_[lo] == 0) ++lo;
    while (hi > lo + 1 && counts_[hi - 1] == 0) --hi;
    const std::size_t group = (hi - lo + 63) / 64;
    out.bin_start = start_ + width_ * static_cast<double>(lo),
    out.bin_width = width_ * static_cast<double>(group);
    for (std::size_t i = lo; i < hi; ++i) {
      if ((i - lo) % group == 0) out.bins.push_back(0);
      out.bins.back() += counts_[i];
    }
  }

 private:
  std::span<const std::uint64_t> counts_;
  double start_, width_, draws_;
};

}  // namespace

Result<TolerancePlan> plan_tolerance(std::variant<Chain, Formula> model, const Tolerances& tolerances,
                                     const ToleranceOptions& options) {
  TolerancePlan plan;
  plan.model = std::move(model), plan.options = options;
  if (const auto* chain = std::get_if<Chain>(&plan.model)) {
    for (const auto m : chain->measures) {
      MeasureResult r;
      r.key = bike::key_of(m), r.name = bike::name_of(m), r.unit = bike::unit_of(m);
      plan.measures.push_back(r);
    }
  } else {
    for (const auto& o : std::get<Formula>(plan.model).outputs) {
      MeasureResult r;
      r.key = o.key, r.name = o.name, r.unit = o.unit;
      plan.measures.push_back(r);
    }
  }
  for (const Toleranced& t : tolerances.dimensions) {
    if (auto wrong = take_dimension(plan, t)) return tl::unexpected(*wrong);
  }
  if (plan.toleranced.empty() || options.draws == 0) {
    return tl::unexpected(problem("tolerance-empty", "",
                                  "Nothing here may be off: no dimension has a plus-minus above 0.",
                                  "Give one dimension a plus-minus, or take the shop's."));
  }
  for (const OutputLimit& limit : tolerances.limits) {
    if (auto wrong = take_limit(plan, limit)) return tl::unexpected(*wrong);
  }
  linearise(plan);
  set_histograms(plan);
  return plan;
}

ToleranceStudy finish(const TolerancePlan& plan, const Tally& tally) {
  ToleranceStudy study;
  study.draws = tally.draws, study.seed = plan.options.seed;
  const auto draws = static_cast<double>(tally.draws);
  for (std::size_t m = 0; m < plan.measures.size(); ++m) {
    const Reading all(plan, tally, 0, m);
    MeasureResult r = plan.measures[m];
    const double variance = all.variance();
    r.mean = all.mean(), r.sd = std::sqrt(variance);
    r.least = tally.least[m], r.most = tally.most[m];
    const auto percentile = [&](double p) { return std::clamp(all.percentile(p), r.least, r.most); };
    r.p1 = percentile(0.01), r.p5 = percentile(0.05), r.p50 = percentile(0.5);
    r.p95 = percentile(0.95), r.p99 = percentile(0.99);
    r.spread95 = percentile(0.975) - percentile(0.025);
    r.below = static_cast<double>(tally.below[m]) / draws,
    r.above = static_cast<double>(tally.above[m]) / draws;
    const double chance = r.below + r.above;
    r.chance_error = std::sqrt(std::max(chance * (1 - chance), 1 / draws) / draws);
    all.plot(r);
    const Reading as_given(plan, tally, 1, m);
    for (std::size_t h = 0; h < plan.held.size(); ++h) {
      const Reading held(plan, tally, 2 + h, m);
      Contribution& c = r.contributions[plan.held[h]];
      // a third of the plus-minus leaves a ninth of this one's part of the variance
      const double before = as_given.variance(), spread = as_given.spread95();
      c.share = before > 0 ? std::max(0.0, (1 - held.variance() / before) * 9 / 8) : 0;
      c.held_spread = spread > 0 ? r.spread95 * held.spread95() / spread : 0;
    }
    std::stable_sort(r.contributions.begin(), r.contributions.end(), [](const auto& a, const auto& b) {
      return a.share.value_or(a.linear_share) > b.share.value_or(b.linear_share);
    });
    study.measures.push_back(std::move(r));
  }
  return study;
}

namespace {

Result<ToleranceStudy> in_one_go(std::variant<Chain, Formula> model, const Tolerances& tolerances,
                                 const ToleranceOptions& options) {
  const auto plan = plan_tolerance(std::move(model), tolerances, options);
  if (!plan) return tl::unexpected(plan.error());
  return finish(*plan, count(*plan, 0, options.draws));
}

std::string shown(double value, bool angle) {
  return angle ? base::say("{:.2f}°", base::to_deg(value)) : base::say("{:.2f} mm", value);
}

}  // namespace

Result<ToleranceStudy> tolerance(const Chain& chain, const Tolerances& tolerances,
                                 const ToleranceOptions& options) {
  return in_one_go(chain, tolerances, options);
}
Result<ToleranceStudy> tolerance(const Formula& formula, const Tolerances& tolerances,
                                 const ToleranceOptions& options) {
  return in_one_go(formula, tolerances, options);
}

namespace {

/// Chance that a normal error of +-two_sigma lies outside a limit's half width round its middle.
double beyond(const OutputLimit& limit, double two_sigma) {
  const double half = limit.low && limit.high ? (*limit.high - *limit.low) / 2
                                              : std::abs(limit.high ? *limit.high : *limit.low);
  return two_sigma > 0 ? std::erfc(half / (two_sigma / 2) / std::sqrt(2.0)) : 0;
}

std::string missed_words(const OutputLimit& limit) {
  if (limit.low && limit.high) return base::plainly("outside {} to {}", *limit.low, *limit.high);
  return limit.low ? base::plainly("under {}", *limit.low) : base::plainly("over {}", *limit.high);
}

}  // namespace

std::vector<bike::Verdict> verdicts(const ToleranceStudy& study, double accepted,
                                    std::span<const ColdSet> cold_set) {
  std::vector<bike::Verdict> out;
  for (const MeasureResult& m : study.measures) {
    if (!m.limit || (!m.limit->low && !m.limit->high)) continue;
    bike::Verdict v;
    v.study = "tolerance", v.code = "tolerance-" + m.key, v.unit = "%";
    v.what = fmt::format("{} {} {}, chance", m.name, missed_words(*m.limit), m.unit);
    const double chance = m.below + m.above;
    v.value = 100 * chance;
    v.limit = bike::Limit{100 * accepted, bike::Bound::at_most, m.limit->source};
    v.note = base::say("95 of 100 come out within {:.2f} {} of each other", m.spread95, m.unit);
    v.not_counted = "Not counted: how the heat of joining pulls the fork. Measure it and keep a log.";
    if (const auto set = std::ranges::find(cold_set, m.key, &ColdSet::of); set != cold_set.end()) {
      v.what += " after cold setting";
      v.value = 100 * std::min(chance, 1.0) * beyond(*m.limit, set->reading);
      const double most = std::max(std::abs(m.p99 - m.nominal), std::abs(m.p1 - m.nominal));
      v.note = chance < 0.005
                   ? base::say("98 of 100 come out within {:.1f} {} and need none", most, m.unit)
                   : base::say("{:.0f} of 100 need it, nearly all by less than {:.1f} {}; read to ±{} {}",
                               100 * chance, most, m.unit, fmt::format("{:.2g}", set->reading), m.unit);
    }
    out.push_back(v);
  }
  return out;
}

std::string advice(const MeasureResult& measure, const std::vector<bike::Dimension>& dimensions) {
  for (const Contribution& c : measure.contributions) {
    if (!c.held_spread) continue;
    const auto d =
        std::find_if(dimensions.begin(), dimensions.end(), [&](const auto& x) { return x.name == c.of; });
    if (d == dimensions.end()) return {};
    return base::say(
        "{}: holding the {} to ±{} instead of ±{} brings the 95 % spread from {:.2f} to {:.2f} {}.",
        measure.name, d->what, shown(c.plus_minus / 3, d->angle), shown(c.plus_minus, d->angle),
        measure.spread95, *c.held_spread, measure.unit);
  }
  return {};
}

}  // namespace halfround::study
