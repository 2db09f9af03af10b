// The ways to mend a plan, one after the other; what each brings is in replan_weigh.cpp.
#include "job/replan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bike/chain.h"
#include "job/intent.h"
#include "job/replan_side.h"
#include "job/replan_weigh.h"
#include "layout/as_built.h"

namespace halfround::job {

using base::Problem;
using base::Result;

namespace {

/// The job with its parts as they are: what was turned or measured stands instead of what was planned.
Job with_facts(Job job) {
  const Done& d = *job.done;
  if (d.steerer_length) job.steerer.length = *d.steerer_length;
  if (d.below_seat) job.steerer.below_seat = *d.below_seat;
  if (d.offset) job.steering.offset = *d.offset;
  if (d.axle_to_crown) job.steering.axle_to_crown = *d.axle_to_crown;
  return job;
}

/// One side's own intent, as a left one.
layout::Unicrown own(const layout::Unicrown& both, bool left, const DoneInsert& insert) {
  layout::Unicrown out = both;
  if (!left && both.right) out.left = *both.right;
  out.right.reset();
  if (insert.diameter) out.lower_end.diameter = insert.diameter->value;
  if (insert.length) out.lower_end.length = insert.length->value;
  if (insert.bore) out.lower_end.bore = insert.bore->value;
  return out;
}

class Planner {
 public:
  explicit Planner(const Job& job) : job_(job), done_(job.done.value_or(Done{})) {
    how_.scribe_gap = job.sheets.scribe_gap.value;
    how_.paper = job.printer.paper_thickness.value;
  }
  Result<Replan> run();

 private:
  [[nodiscard]] const DoneBlade& blade(bool left) const { return left ? done_.left : done_.right; }
  [[nodiscard]] static std::size_t index(bool left) { return left ? 0 : 1; }
  Result<void> as_written();
  Result<void> as_cut(bool left);
  Result<void> measured_agree();
  Result<Side> with_trim(bool left, bool keep_splay);
  void as_planned();
  void matched(bool left);
  void each_as_it_is();
  void stands_as_cut();
  void vertical(const Side& left, const Side& right, const std::string& what, bool two_sided);
  void take(Side left, Side right, double drop, std::string title, bool two_sided);
  void lean_for_offset(const Side& side, const std::string& what);
  [[nodiscard]] double drop_for(double axle_to_crown, double offset) const;
  [[nodiscard]] bool off_plan(bool left) const;

  const Job& job_;
  const Done done_;
  study::MitreOptions how_;
  std::optional<Weigher> weigher_;
  Side plan_[2];                 // as written
  layout::Unicrown facts_[2];    // each side with its parts as they are
  std::optional<AsCut> cut_[2];  // blades cut at both ends
  std::optional<Side> held_[2];  // the same where the splay gives way: their lower trim and top
  std::vector<Alternative> ways_;
  Replan out_;
};

Result<void> Planner::as_written() {
  const auto intent = intent_of(job_);
  if (!intent) return tl::unexpected(intent.error());
  auto fork = layout::lay_out(*intent);
  if (!fork) return tl::unexpected(fork.error());
  const auto facts = intent_of(job_.done ? with_facts(job_) : job_);
  if (!facts) return tl::unexpected(facts.error());
  for (const bool left : {true, false}) {
    const layout::Placed& p = left ? fork->left : fork->right;
    if (!left && fork->mirrored) {
      plan_[1] = plan_[0];
    } else {
      auto side = side_at(own(*intent, left, {}), p.splay, p.lower_trim, how_);
      if (!side) return tl::unexpected(side.error());
      plan_[index(left)] = std::move(*side);
    }
    facts_[index(left)] = own(*facts, left, left ? done_.left_insert : done_.right_insert);
  }
  out_.length_left = plan_[0].length, out_.length_right = plan_[1].length;
  return {};
}

bool Planner::off_plan(bool left) const {
  const auto& cut = cut_[index(left)];
  return cut && std::abs(cut->length - plan_[index(left)].length) > 1e-6;
}

/// What of a blade is finished; the end that is not said to be off is where it was planned.
Result<void> Planner::as_cut(bool left) {
  const std::size_t i = index(left);
  const DoneBlade& b = blade(left);
  if (!b.cut_at_both_ends()) return {};
  AsCut cut;
  cut.length = b.length ? b.length->value : plan_[i].length - b.short_by->value;
  cut.at_lower = b.short_at == CutEnd::lower;
  cut.lower_trim = b.lower_trim ? b.lower_trim->value : plan_[i].at().lower_trim;
  cut.top = plan_[i].at().s_top;
  auto held = side_taking(facts_[i], cut, Mover::splay, plan_[i].at().splay, how_);
  if (!held) {
    held.error().where = place_of(job_, left ? "done.blades.left" : "done.blades.right");
    return tl::unexpected(held.error());
  }
  cut_[i] = cut, held_[i] = std::move(*held);
  return {};
}

/// Axle-to-crown, crown height and a finished blade: two of them give the third.
Result<void> Planner::measured_agree() {
  if (!done_.axle_to_crown || !done_.crown_height) return {};
  constexpr double kMeasured = 1.0;  // mm, what a tape and a bent fork make together [common practice]
  for (const bool left : {true, false}) {
    const auto& side = held_[index(left)];
    if (!side) continue;
    const double forced = side->intent.drop - side->reach(), said = done_.crown_height->value;
    if (std::abs(forced - said) <= kMeasured) continue;
    return tl::unexpected(Problem{
        "done-contradicts", place_of(job_, "done.crown_height"),
        fmt::format(
            "A crown height of {:.1f} mm was measured, but the finished {} blade and the axle-to-crown "
            "of done.axle_to_crown make it {:.1f} mm.",
            said, left ? "left" : "right", forced),
        "Measure the three again, and leave out what you are not sure of."});
  }
  return {};
}

double Planner::drop_for(double axle_to_crown, double offset) const {
  return job_.steering.axle_to_crown_is == AxleToCrown::straight
             ? std::sqrt(axle_to_crown * axle_to_crown - offset * offset)
             : axle_to_crown;
}

/// Puts two sides together at one drop and weighs what comes of it.
void Planner::take(Side left, Side right, double drop, std::string title, bool two_sided) {
  for (Side* s : {&left, &right}) {
    if (std::abs(s->intent.drop - drop) < 1e-12) continue;
    layout::Unicrown moved = s->intent;
    moved.drop = drop;
    auto again = side_at(moved, s->at().splay, s->at().lower_trim, how_);
    if (!again) return;
    *s = std::move(*again);
  }
  Alternative way = weigher_->weigh(std::move(left), std::move(right), two_sided);
  way.title = std::move(title);
  ways_.push_back(std::move(way));
}

/// The height that a changed blade leaves over goes into the crown height or into the axle-to-crown.
void Planner::vertical(const Side& left, const Side& right, const std::string& what, bool two_sided) {
  const Side& plan = plan_[0];
  const double drop = left.intent.drop;
  const double height = done_.crown_height ? done_.crown_height->value : plan.at().crown_height;
  const double lower = drop - left.reach() - plan.at().crown_height;
  const auto by = [](double v, const char* more, const char* less) {
    return fmt::format("{:.1f} mm {}", std::abs(v), v > 0 ? more : less);
  };
  if (!done_.crown_height || done_.axle_to_crown) {
    const std::string moved = std::abs(lower) < 0.005
                                  ? std::string()
                                  : ", the joint " + by(lower, "lower", "higher") + " on the steerer";
    take(left, right, drop, what + ": the axle-to-crown stays" + moved, two_sided);
  }
  if (!done_.axle_to_crown && !two_sided) {
    const double more = left.reach() + height - plan.intent.drop;
    if (std::abs(lower) > 0.005 || done_.crown_height)
      take(left, right, left.reach() + height,
           what + ": the crown height stays, the fork is " + by(more, "longer", "shorter"), two_sided);
  }
}

/// The offset gives way, so that axle-to-crown and crown height both stay: by more tilt, if tilt is free.
void Planner::lean_for_offset(const Side& side, const std::string& what) {
  if (done_.offset || done_.axle_to_crown || done_.crown_height) return;
  const auto& cut = side.at();
  const double length = job_.steering.axle_to_crown.value, height = plan_[0].at().crown_height;
  layout::Unicrown moved = side.intent;
  const auto miss = [&](double offset) {
    moved.offset = offset, moved.drop = drop_for(length, offset);
    const auto p = layout::place(moved, moved.left, cut.splay, cut.lower_trim);
    return p ? p->crown_height - height : NAN;
  };
  double x0 = side.intent.offset, x1 = x0 + 1, f0 = miss(x0);
  if (std::abs(f0) < 1e-3) return;
  for (int i = 0; i < 30; ++i) {
    const double f1 = miss(x1);
    if (!std::isfinite(f1) || std::abs(f1) < 1e-9) break;
    const double next = x1 - f1 * (x1 - x0) / (f1 - f0);
    x0 = x1, f0 = f1, x1 = std::clamp(next, x1 - 20, x1 + 20);
  }
  if (!(std::abs(miss(x1)) < 1e-6) || std::abs(x1 - side.intent.offset) > 60) return;
  moved.offset = x1, moved.drop = drop_for(length, x1);
  auto again = side_at(moved, cut.splay, cut.lower_trim, how_);
  if (!again) return;
  const Side other = *again;
  take(std::move(*again), other, moved.drop, what + ": axle-to-crown and crown height stay, the offset moves",
       false);
}

/// Both blades as the finished one is.
void Planner::matched(bool left) {
  const std::size_t i = index(left), o = index(!left);
  const std::string name = left ? "left" : "right", other = left ? "right" : "left";
  for (const Mover mover : {Mover::splay, Mover::blade_from_hub}) {
    if (mover == Mover::splay && blade(left).joined && off_plan(left)) continue;
    if (mover == Mover::blade_from_hub && blade(left).joined) continue;
    Side side;
    if (mover == Mover::splay) {
      side = *held_[i];
    } else {
      auto s = side_taking(facts_[i], *cut_[i], mover, plan_[i].at().splay, how_);
      if (!s) continue;
      side = std::move(*s);
    }
    // the other blade has the same splay and the same height; only its own steel differs
    Side match = side;
    if (job_.right || facts_[o].lower_end.diameter != facts_[i].lower_end.diameter) {
      layout::Unicrown intent = facts_[o];
      intent.drop = side.intent.drop;
      intent.lower_end.blade_from_hub = side.intent.lower_end.blade_from_hub;
      intent.wishes = {layout::Wished{layout::Wish::splay, side.at().splay},
                       layout::Wished{layout::Wish::crown_height, side.at().crown_height}};
      const auto fork = layout::lay_out(intent);
      if (!fork) continue;
      auto s = side_at(intent, side.at().splay, fork->left.lower_trim, how_);
      if (!s) continue;
      match = std::move(*s);
    }
    const double hub = side.intent.lower_end.blade_from_hub - facts_[i].lower_end.blade_from_hub;
    const std::string moved = mover == Mover::splay
                                  ? "the splay follows"
                                  : fmt::format("both stand {:.1f} mm farther {} at the hub", std::abs(hub),
                                                hub < 0 ? "in" : "out");
    const std::string what = fmt::format("{} blade like the {} one, {}", other, name, moved);
    const Side& l = left ? side : match;
    const Side& r = left ? match : side;
    vertical(l, r, what, false);
    if (mover == Mover::splay && !job_.right) lean_for_offset(side, what);
  }
}

/// A blade of which only the lower end is cut: its splay or its height follows.
Result<Side> Planner::with_trim(bool left, bool keep_splay) {
  const std::size_t i = index(left);
  layout::Unicrown intent = facts_[i];
  const double trim = blade(left).lower_trim->value;
  if (keep_splay) return side_at(intent, plan_[i].at().splay, trim, how_);
  intent.wishes = {layout::Wished{layout::Wish::lower_trim, trim},
                   layout::Wished{layout::Wish::crown_height, plan_[i].at().crown_height}};
  const auto fork = layout::lay_out(intent);
  if (!fork) return tl::unexpected(fork.error());
  return side_at(intent, fork->left.splay, trim, how_);
}

/// Nothing is made to match: a finished blade is set as it can be, the other one stays as planned.
void Planner::each_as_it_is() {
  for (const Mover mover : {Mover::splay, Mover::blade_from_hub}) {
    Side side[2];
    bool moved = false;
    for (const bool left : {true, false}) {
      const std::size_t i = index(left);
      Result<Side> s = tl::unexpected(Problem{});
      if (cut_[i] && mover == Mover::blade_from_hub && !blade(left).joined && off_plan(left)) {
        s = side_taking(facts_[i], *cut_[i], mover, plan_[i].at().splay, how_);
        moved = true;
      } else if (cut_[i]) {
        s = *held_[i];
      } else if (blade(left).lower_trim) {
        s = with_trim(left, true);
      } else {
        s = side_at(facts_[i], plan_[i].at().splay, plan_[i].at().lower_trim, how_);
      }
      if (!s) return;
      side[i] = std::move(*s);
    }
    if (mover == Mover::blade_from_hub && !moved) return;
    vertical(side[0], side[1],
             mover == Mover::splay ? "each blade as it is"
                                   : "each blade as it is, the changed one moved at the hub",
             true);
  }
}

/// Both blades stand where the plan has them; what is short lets its side come up.
void Planner::stands_as_cut() {
  auto fork = layout::lay_out(*intent_of(job_));
  if (!fork) return;
  const auto intent = intent_of(job_);
  const bike::Chain chain = layout::as_built(*intent, *fork);
  std::vector<double> off(chain.dimensions.size(), 0);
  const auto add = [&](const std::string& name, double by) {
    for (std::size_t k = 0; k < chain.dimensions.size(); ++k) {
      if (chain.dimensions[k].name == name) off[k] += by;
    }
  };
  for (const bool left : {true, false}) {
    const std::size_t i = index(left);
    if (!off_plan(left)) continue;
    const std::string side = left ? ".left" : ".right";
    const layout::Placed& p = plan_[i].at();
    add("length" + side, -(held_[i]->at().lower_trim - p.lower_trim));
    // short at the top, the blade goes on along its own top until it touches
    const base::Vec3 on = (p.s_top - held_[i]->at().s_top) * p.tube.centreline.at(p.s_top).t;
    add("mitre_offset" + side, on.x()), add("middle" + side, on.y()), add("crown_height" + side, -on.z());
  }
  const std::vector<double> m = bike::measured(chain, off);
  Stands stands;
  for (std::size_t k = 0; k < m.size(); ++k) {
    if (chain.measures[k] == bike::Measure::centring) stands.centring = m[k];
    if (chain.measures[k] == bike::Measure::height) stands.height = m[k];
    if (chain.measures[k] == bike::Measure::offset) stands.offset = m[k];
    if (chain.measures[k] == bike::Measure::axle_to_crown) stands.axle_to_crown = m[k];
  }
  Alternative way = weigher_->as_cut(plan_[0], plan_[1], stands);
  way.title = "the fork stands as it was cut, each joint where it was planned";
  ways_.push_back(std::move(way));
}

/// Parts that are as planned, or differ only in what needs no other cut.
void Planner::as_planned() {
  Side side[2];
  for (const bool left : {true, false}) {
    const std::size_t i = index(left);
    auto s = side_at(facts_[i], plan_[i].at().splay, plan_[i].at().lower_trim, how_);
    if (!s) return;
    side[i] = std::move(*s);
  }
  vertical(side[0], side[1], "the plan stands", false);
}

Result<Replan> Planner::run() {
  out_.name = job_.name;
  if (const auto fine = as_written(); !fine) return tl::unexpected(fine.error());
  for (const bool left : {true, false}) {
    if (const auto fine = as_cut(left); !fine) return tl::unexpected(fine.error());
  }
  if (const auto fine = measured_agree(); !fine) return tl::unexpected(fine.error());
  weigher_.emplace(job_, plan_, cut_, held_);
  bool trimmed = false;
  for (const bool left : {true, false}) {
    if (blade(left).lower_trim && !cut_[index(left)]) trimmed = true;
  }
  if (!off_plan(true) && !off_plan(false) && !trimmed) {
    as_planned();
  } else {
    const bool may = !job_.freedoms || job_.freedoms->other_blade;
    for (const bool left : {true, false}) {
      const DoneBlade& b = blade(left);
      if (off_plan(left) && may) matched(left);
      if (!cut_[index(left)] && b.lower_trim && may) {
        for (const bool keep : {false, true}) {
          if (!keep && b.joined) continue;
          auto side = with_trim(left, keep);
          if (!side) continue;
          const Side other = *side;
          vertical(*side, other, keep ? "the splay stays on both sides" : "the splay follows on both sides",
                   false);
        }
      }
    }
    // a finished blade that is as planned may be what the others are measured by: scrap is then said
    each_as_it_is();
    if (off_plan(true) || off_plan(false)) stands_as_cut();
  }
  weigher_->rank(std::move(ways_), out_);
  weigher_->notes(out_);
  return std::move(out_);
}

}  // namespace

Result<Replan> replan(const Job& job) {
  return Planner(job).run();
}

}  // namespace halfround::job
