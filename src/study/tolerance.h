// Which dimension must be held tight: deviations drawn at random go through the exact chain of the assembly
// (not a linearisation, which stands beside it). Everything kept of a draw is a whole number in a histogram,
// so that any split of the draws merges to the same result. Frame: none. docs/tolerance.md
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "base/result.h"
#include "bike/chain.h"
#include "bike/limit.h"
#include "study/stream.h"

namespace halfround::study {

/// How far off a dimension may be. Those not named are held exactly.
struct Toleranced {
  std::string of;         ///< name of the dimension
  double plus_minus = 0;  ///< mm or rad, >= 0
  Spread spread = Spread::normal;
  double sigmas =
      2;  ///< normal only: plus_minus is this many sigma; 2: one part in 22 is farther off, 3: 1 in 370
};

/// What is wished of a measure; either side may be open.
struct OutputLimit {
  std::string of;  ///< key of the measure: "centring"
  std::optional<double> low, high;
  std::string source;
};

struct Tolerances {
  std::vector<Toleranced> dimensions;
  std::vector<OutputLimit> limits;
};

struct ToleranceOptions {
  std::uint64_t draws = 20'000;  ///< enough while editing; 200'000 for a sheet
  std::uint64_t seed = 1;
  bool hold_each = true;  ///< run again with each dimension held to a third; the same deviates otherwise
  std::uint64_t held_draws =
      8192;  ///< of those runs: the first so many; two runs of the same deviates compare well
  Code code = best_code();
};

/// What one dimension does to one measure.
struct Contribution {
  std::string of;           ///< dimension
  double plus_minus = 0;    ///< mm or rad
  double effect = 0;        ///< change of the measure for +plus_minus, linear, in the measure's unit
  double linear_share = 0;  ///< of the variance, linear
  /// of the variance, by running again with a third of plus_minus; nothing: not run
  std::optional<double> share;
  std::optional<double> held_spread;  ///< 95 % spread with a third of plus_minus, all else as before
};

struct MeasureResult {
  std::string key, name, unit;
  double nominal = 0;
  double mean = 0, sd = 0, least = 0, most = 0;
  double p1 = 0, p5 = 0, p50 = 0, p95 = 0, p99 = 0;
  double spread95 = 0;  ///< from the 2.5th to the 97.5th percentile
  std::optional<OutputLimit> limit;
  double below = 0, above = 0;  ///< chance of being under low, over high (counted)
  double chance_error = 0;      ///< one standard error of below + above, from the number of draws
  double worst_case = 0;        ///< sum of |effect|
  double rss = 0;               ///< root of the sum of the squared effects
  double bin_start = 0, bin_width = 0;
  std::vector<std::uint64_t> bins;          ///< 64 of them for a plot; the outer ones hold what is beyond
  std::vector<Contribution> contributions;  ///< greatest share first
};

struct ToleranceStudy {
  std::uint64_t draws = 0, seed = 0;
  std::vector<MeasureResult> measures;
};

/// A formula instead of a chain: stacks on paper, trail.
struct Formula {
  std::vector<bike::Dimension> dimensions;
  struct Output {
    std::string key, name, unit;
  };
  std::vector<Output> outputs;
  std::function<std::vector<double>(std::span<const double> deviations)> value;
};

/// Everything fixed before the first draw; made by plan_tolerance.
struct TolerancePlan {
  std::variant<bike::Chain, Formula> model;
  ToleranceOptions options;
  std::vector<Toleranced> toleranced;      ///< those with a plus-minus above 0, in the order given
  std::vector<std::size_t> drives;         ///< which dimension of the model each of them is
  std::vector<double> scale;               ///< deviation for a unit deviate, mm or rad
  std::vector<Spread> spreads;             ///< of each
  std::vector<MeasureResult> measures;     ///< nominal, limit, effects, worst case, rss filled in
  std::vector<std::size_t> held;           ///< toleranced ones that are run again, held to a third
  std::vector<double> start, bins_a_unit;  ///< of each measure's fine histogram
};

/// Counts of some draws: whole numbers, and least and most, so that merging is exact in any order.
struct Tally {
  std::uint64_t draws = 0;
  std::vector<std::uint64_t>
      counts;  ///< [run][measure][kFineBins]; run 0 as given, run 1 its first held_draws, then each one held
  std::vector<std::uint64_t> below, above;  ///< [measure], run 0
  std::vector<double> least, most;          ///< [measure], run 0
};
inline constexpr std::size_t kFineBins =
    1024;  ///< over 16 sigma or so: 0.016 sigma each; the outer two are open

/// fails  as tolerance()
[[nodiscard]] base::Result<TolerancePlan> plan_tolerance(std::variant<bike::Chain, Formula> model,
                                                         const Tolerances& tolerances,
                                                         const ToleranceOptions& options = {});
/// The draws first <= i < last. Threads, if any, are the caller's: each counts a range, all are merged.
[[nodiscard]] Tally count(const TolerancePlan& plan, std::uint64_t first, std::uint64_t last);
[[nodiscard]] Tally merged(Tally a, const Tally& b);
[[nodiscard]] ToleranceStudy finish(const TolerancePlan& plan, const Tally& tally);

/// Monte Carlo in one go.
///   fails  tolerance-unknown    a dimension or measure that isn't there
///          tolerance-negative   a plus-minus below 0 or not a number
///          tolerance-too-wide   an angle that could be off by more than 45 degrees
///          tolerance-empty      nothing has a tolerance; no draws
///          limits-contradict    lower limit above the upper one, or equal: nothing could meet it
[[nodiscard]] base::Result<ToleranceStudy> tolerance(const bike::Chain& chain, const Tolerances& tolerances,
                                                     const ToleranceOptions& options = {});
[[nodiscard]] base::Result<ToleranceStudy> tolerance(const Formula& formula, const Tolerances& tolerances,
                                                     const ToleranceOptions& options = {});

/// A measure that the builder reads on the finished fork and then cold sets.
struct ColdSet {
  std::string of;      ///< key of the measure
  double reading = 0;  ///< how far the reading may be off, in the measure's unit, two sigma
};

/// One line a measure with a limit: the chance of missing it, %, against what the builder lives with. Where a
/// measure is cold set after measuring, the chance is that of what is left then: the reading's own error.
///   in  accepted  0 to 1
[[nodiscard]] std::vector<bike::Verdict> verdicts(const ToleranceStudy& study, double accepted = 0.05,
                                                  std::span<const ColdSet> cold_set = {});

/// "Holding the length of the left blade to +-0.10 mm instead of +-0.30 mm brings ... from 1.2 mm to 0.7 mm."
[[nodiscard]] std::string advice(const MeasureResult& measure,
                                 const std::vector<bike::Dimension>& dimensions);

}  // namespace halfround::study
