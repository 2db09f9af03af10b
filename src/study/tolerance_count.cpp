// The draws themselves: blocks of unit deviates, every run over the same ones, into histograms.
#include <algorithm>
#include <cmath>

#include "study/lanes.h"
#include "study/tolerance.h"

namespace halfround::study {

using bike::Chain;
using bike::Measure;

namespace {

constexpr std::size_t kBatch = 8;  // blocks kept at a time: their deviates stay near the processor

/// Along an axis of the frame most of the arithmetic falls away.
LaneStep lane_step(const bike::Step& step, const bike::Limb& limb, const bike::Vec3& on) {
  const bool turn = step.motion == bike::Step::Motion::turn;
  int kind = 3;
  double sign = 1;
  for (int k = 0; k < 3; ++k) {
    if (std::abs(step.axis[k]) == 1) kind = k, sign = step.axis[k];
  }
  LaneStep q;
  q.kind = turn ? static_cast<LaneStep::Kind>(kind) : LaneStep::Kind::slide;
  q.factor = static_cast<float>(sign * step.factor);
  const bike::Vec3 axis = sign * step.axis;
  const bike::Vec3 w[3] = {axis.cross(limb.end - step.through), axis.cross(limb.face),
                           axis.cross(on - step.through)};
  for (int k = 0; k < 3; ++k) {
    q.k[k] = static_cast<float>(axis[k]);
    for (int p = 0; p < 3; ++p) q.at[p].w[k] = static_cast<float>(w[p][k]);
  }
  return q;
}

/// The chain with what never moves left out.
LaneLimb lane_limb(const TolerancePlan& plan, const Chain& chain, const bike::Limb& limb, bool with_on) {
  LaneLimb out;
  out.small = true;
  out.with_on = with_on;
  for (const Measure m : chain.measures) out.with_face |= m == Measure::faces;
  const bike::Vec3 on = with_on ? limb.nearest->on_member : limb.end;
  for (int k = 0; k < 3; ++k) out.end[k] = limb.end[k], out.face[k] = limb.face[k], out.on[k] = on[k];
  for (std::size_t i = limb.steps.size(); i-- > 0;) {
    const bike::Step& step = limb.steps[i];
    const auto drive = std::find(plan.drives.begin(), plan.drives.end(), step.dimension);
    if (drive == plan.drives.end()) continue;
    out.steps.push_back(lane_step(step, limb, on));
    LaneStep& q = out.steps.back();
    q.carries = with_on && i < limb.nearest->steps;
    q.variable = static_cast<std::size_t>(drive - plan.drives.begin());
    const double most = std::abs(step.factor) * plan.scale[q.variable] * kNormalEnd;
    if (step.motion == bike::Step::Motion::turn && most > kSmallTurn) out.small = false;
  }
  return out;
}

/// Values of all measures for one block of deviates.
class BlockValues {
 public:
  explicit BlockValues(const TolerancePlan& plan) : plan_(plan), lanes_(lanes(plan.options.code)) {
    const auto* chain = std::get_if<Chain>(&plan.model);
    if (!chain) return;
    const auto asked = [&](Measure m) {
      return std::find(chain->measures.begin(), chain->measures.end(), m) != chain->measures.end();
    };
    left_ = lane_limb(plan, *chain, chain->limbs.front(), asked(Measure::clearance_left));
    right_ = lane_limb(plan, *chain, chain->limbs.back(), asked(Measure::clearance_right));
    pair_ = chain->limbs.size() == 2;
    hub_.fill(chain->hub_width);
    if (chain->hub_dimension) {
      const auto drive = std::find(plan.drives.begin(), plan.drives.end(), *chain->hub_dimension);
      if (drive != plan.drives.end()) hub_drive_ = static_cast<std::size_t>(drive - plan.drives.begin());
    }
  }

  void evaluate(const DeviateBlock* unit, const std::vector<double>& scale, ValueBlock* out) {
    if (const auto* formula = std::get_if<Formula>(&plan_.model))
      return by_formula(*formula, unit, scale, out);
    const Chain& chain = std::get<Chain>(plan_.model);
    amount_.assign(scale.begin(), scale.end());
    lanes_.move(left_, unit, amount_.data(), left_block_);
    if (pair_) lanes_.move(right_, unit, amount_.data(), right_block_);
    if (hub_drive_) {
      for (std::size_t i = 0; i < kBlock; ++i)
        hub_[i] = chain.hub_width + scale[*hub_drive_] * static_cast<double>(unit[*hub_drive_][i]);
    }
    lanes_.measure({&chain, &left_, pair_ ? &right_ : &left_, &hub_}, left_block_,
                   pair_ ? right_block_ : left_block_, out);
  }

 private:
  void by_formula(const Formula& formula, const DeviateBlock* unit, const std::vector<double>& scale,
                  ValueBlock* out) const {
    std::vector<double> deviations(formula.dimensions.size());
    for (std::size_t i = 0; i < kBlock; ++i) {
      for (std::size_t v = 0; v < scale.size(); ++v)
        deviations[plan_.drives[v]] = scale[v] * static_cast<double>(unit[v][i]);
      const std::vector<double> values = formula.value(deviations);
      for (std::size_t m = 0; m < plan_.measures.size(); ++m) out[m][i] = values[m];
    }
  }

  const TolerancePlan& plan_;
  const Lanes& lanes_;
  LaneLimb left_, right_;
  std::vector<float> amount_;
  bool pair_ = false;
  std::optional<std::size_t> hub_drive_;
  alignas(64) ValueBlock hub_{};
  alignas(64) LimbBlock left_block_{}, right_block_{};
};

void widen(const Lanes& code, const ValueBlock& values, std::size_t n, double low, double high,
           ValueRange& range) {
  if (n == kBlock) return code.range(values, low, high, range);
  for (std::size_t i = 0; i < n; ++i) {
    range.least = std::min(range.least, values[i]);
    range.most = std::max(range.most, values[i]);
    range.below += values[i]<low, range.above += values[i]> high;
  }
}

}  // namespace

Tally count(const TolerancePlan& plan, std::uint64_t first, std::uint64_t last) {
  const Lanes& code = lanes(plan.options.code);
  const std::size_t measures = plan.measures.size(), variables = plan.scale.size();
  Tally tally;
  tally.draws = last - first;
  tally.counts.resize((2 + plan.held.size()) * measures * kFineBins);
  std::vector<std::uint64_t> odd(measures * kFineBins);  // every other draw of run 0
  std::vector<ValueRange> ranges(measures, {INFINITY, -INFINITY});
  std::vector<std::vector<double>> scales{plan.scale, plan.scale};
  for (const std::size_t held : plan.held) {
    scales.push_back(plan.scale);
    scales.back()[held] /= 3;
  }

  BlockValues values(plan);
  std::vector<DeviateBlock> unit(kBatch * variables);
  std::vector<ValueBlock> out(measures);
  for (std::uint64_t at = first; at < last; at += kBatch * kBlock) {
    const std::size_t in_batch = std::min<std::uint64_t>(kBatch * kBlock, last - at);
    const std::size_t blocks = (in_batch + kBlock - 1) / kBlock;
    for (std::size_t b = 0; b < blocks; ++b)
      code.draw(plan.options.seed, at + b * kBlock, plan.spreads, &unit[b * variables]);
    for (std::size_t run = 0; run < scales.size(); ++run) {
      for (std::size_t b = 0; b < blocks; ++b) {
        const std::uint64_t start = at + b * kBlock,
                            end = run == 0 ? last : std::min(last, plan.options.held_draws);
        if (start >= end || (run > 0 && plan.held.empty())) break;
        const std::size_t n = std::min<std::uint64_t>(kBlock, end - start);
        values.evaluate(&unit[b * variables], scales[run], out.data());
        for (std::size_t m = 0; m < measures; ++m) {
          std::uint64_t* counts = &tally.counts[(run * measures + m) * kFineBins];
          code.bin(out[m], n, plan.start[m], plan.bins_a_unit[m], kFineBins, counts,
                   run == 0 ? &odd[m * kFineBins] : counts);
          if (run > 0) continue;
          const auto& limit = plan.measures[m].limit;
          widen(code, out[m], n, limit ? limit->low.value_or(-INFINITY) : -INFINITY,
                limit ? limit->high.value_or(INFINITY) : INFINITY, ranges[m]);
        }
      }
    }
  }
  for (std::size_t i = 0; i < odd.size(); ++i) tally.counts[i] += odd[i];
  for (const ValueRange& r : ranges) {
    tally.least.push_back(r.least), tally.most.push_back(r.most);
    tally.below.push_back(r.below), tally.above.push_back(r.above);
  }
  return tally;
}

Tally merged(Tally a, const Tally& b) {
  if (a.counts.empty()) return b;
  if (b.counts.empty()) return a;
  a.draws += b.draws;
  for (std::size_t i = 0; i < a.counts.size(); ++i) a.counts[i] += b.counts[i];
  for (std::size_t m = 0; m < a.least.size(); ++m) {
    a.least[m] = std::min(a.least[m], b.least[m]), a.most[m] = std::max(a.most[m], b.most[m]);
    a.below[m] += b.below[m], a.above[m] += b.above[m];
  }
  return a;
}

}  // namespace halfround::study
