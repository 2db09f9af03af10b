#include "replan/replan_facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"
#include "job/intent.h"
#include "replan/replan.h"

namespace halfround::replan {

using base::Problem;
using base::Result;

namespace {

constexpr double kSame = 1e-6;  // mm: no change worth a word

/// The job with its parts as they are: what was turned or measured stands instead of what was planned.
job::Job with_facts(job::Job job) {
  const job::Done& d = *job.done;
  if (d.steerer_length) job.steerer.length = *d.steerer_length;
  if (d.below_seat) job.steerer.below_seat = *d.below_seat;
  if (d.offset) job.steering.offset = *d.offset;
  if (d.axle_to_crown) job.steering.axle_to_crown = *d.axle_to_crown;
  return job;
}

/// One side's own intent, its insert as it was turned.
layout::Intent own(const layout::Intent& both, bool left, const job::DoneInsert& insert) {
  layout::Intent out = layout::own_side(both, left);
  if (insert.diameter) out.lower_end.diameter = insert.diameter->value;
  if (insert.length) out.lower_end.length = insert.length->value;
  if (insert.bore) out.lower_end.bore = insert.bore->value;
  return out;
}

Result<void> as_written(const job::Job& job, Facts& f) {
  const auto intent = job::intent_of(job);
  if (!intent) return tl::unexpected(intent.error());
  auto fork = layout::lay_out(*intent);
  if (!fork) return tl::unexpected(fork.error());
  const auto facts = job::intent_of(job.done ? with_facts(job) : job);
  if (!facts) return tl::unexpected(facts.error());
  for (const bool left : {true, false}) {
    const layout::Placed& p = left ? fork->left : fork->right;
    if (!left && fork->mirrored) {
      f.plan[1] = f.plan[0];
    } else {
      auto side = side_at(layout::own_side(*intent, left), p.splay, p.lower_trim, f.how);
      if (!side) return tl::unexpected(side.error());
      f.plan[index_of(left)] = std::move(*side);
    }
    f.facts[index_of(left)] = own(*facts, left, left ? f.done.left_insert : f.done.right_insert);
  }
  return {};
}

/// What of a blade is finished; the end that is not said to be off is where it was planned.
Result<void> as_cut(const job::Job& job, bool left, Facts& f) {
  const std::size_t i = index_of(left);
  const job::DoneBlade& b = f.blade(left);
  if (!b.cut_at_both_ends()) return {};
  const layout::Placed& plan = f.plan[i].at();
  AsCut cut;
  cut.length = b.length ? b.length->value : f.plan[i].length - b.short_by->value;
  cut.at_lower = b.short_at == job::CutEnd::lower;
  cut.lower_trim = b.lower_trim ? b.lower_trim->value : plan.lower_trim;
  cut.top = plan.s_top;
  const bool runs_past = layout::crown_line(f.facts[i].crown).has_value();
  auto held = runs_past ? side_slid(f.facts[i], cut, plan, f.how)
                        : side_taking(f.facts[i], cut, Mover::splay, plan.splay, f.how);
  if (!held) {
    held.error().where = job::place_of(job, left ? "done.blades.left" : "done.blades.right");
    return tl::unexpected(held.error());
  }
  f.cut[i] = cut, f.held[i] = std::move(*held);
  return {};
}

/// Axle-to-crown, crown height and a finished blade: two of them give the third.
Result<void> measured_agree(const job::Job& job, const Facts& f) {
  if (!f.done.axle_to_crown || !f.done.crown_height) return {};
  constexpr double kMeasured = 1.0;  // mm, what a tape and a bent fork make together [common practice]
  for (const bool left : {true, false}) {
    const auto& side = f.held[index_of(left)];
    if (!side) continue;
    const double forced = side->intent.drop - side->reach(), said = f.done.crown_height->value;
    if (std::abs(forced - said) <= kMeasured) continue;
    return tl::unexpected(Problem{
        "done-contradicts", job::place_of(job, "done.crown_height"),
        base::say("A crown height of {:.1f} mm was measured, but the finished {} blade and the axle-to-crown "
                  "of done.axle_to_crown make it {:.1f} mm.",
                  said, left ? "left" : "right", forced),
        "Measure the three again, and leave out what you are not sure of."});
  }
  return {};
}

}  // namespace

bool Facts::off_plan(bool left) const {
  const auto& c = cut[index_of(left)];
  return c && std::abs(c->length - plan[index_of(left)].length) > kSeats;
}

Result<Facts> facts_of(const job::Job& job) {
  Facts f;
  f.done = job.done.value_or(job::Done{}), f.free = job.freedoms.value_or(job::Freedoms{});
  f.how.scribe_gap = job.sheets.scribe_gap.value;
  f.how.paper = job.printer.paper_thickness.value;
  if (const auto fine = as_written(job, f); !fine) return tl::unexpected(fine.error());
  for (const bool left : {true, false}) {
    if (const auto fine = as_cut(job, left, f); !fine) return tl::unexpected(fine.error());
  }
  if (const auto fine = measured_agree(job, f); !fine) return tl::unexpected(fine.error());
  return f;
}

std::vector<Reading> notes_of(const job::Job& job, const Facts& f) {
  std::vector<Reading> out;
  const job::Done& done = f.done;
  for (const bool left : {true, false}) {
    const std::size_t i = left ? 0 : 1;
    if (!f.cut[i] && f.blade(left).lower_trim)
      out.push_back({base::say("The {} blade's lower end is trimmed by {:.1f} mm, planned were {:.1f} mm.",
                               side_name(left), f.blade(left).lower_trim->value, f.plan[i].at().lower_trim)});
    if (!f.cut[i]) continue;
    const double off = f.cut[i]->length - f.plan[i].length;
    const layout::Placed& p = f.held[i]->at();
    if (!f.off_plan(left)) {
      out.push_back({base::say(
          "The {} blade is cut as planned, {:.1f} mm{}.", side_name(left), f.plan[i].length,
          std::abs(off) < kFileStep ? std::string()
                                    : base::say(" within {:.1f} mm: its mitre seats", std::abs(off)))});
      continue;
    }
    const double tube =
        f.cut[i]->at_lower ? p.lower_trim - f.plan[i].at().lower_trim : f.plan[i].at().s_top - p.s_top;
    out.push_back(
        {base::say("The {} blade measures {:.1f} mm between its cuts, {:.1f} mm {} than planned; along the "
                   "tube that is {:.1f} mm at the "
                   "{} end.",
                   side_name(left), f.cut[i]->length, std::abs(off), off < 0 ? "less" : "more",
                   std::abs(tube), f.cut[i]->at_lower ? "lower" : "upper")});
    const std::string key = fmt::format("done.blades.{}.short_at", side_name(left));
    if (!f.cut[i]->at_lower && !f.blade(left).lower_trim && !job.lines.contains(key) &&
        !job.lines.contains("done.blades.short_at"))
      out.push_back(
          {"The upper cut is taken as the one that is off.", {{key, "lower end", "it was the lower one"}}});
  }
  const auto said = [&](const char* what, const std::optional<base::Quantity>& is, double was) {
    if (is && std::abs(is->value - was) > kSame)
      out.push_back({base::say("The {} is {:.1f} mm, planned were {:.1f} mm.", what, is->value, was)});
  };
  said("steerer's length", done.steerer_length, job.steerer.length.value);
  said("crown race seat's height", done.below_seat, job.steerer.below_seat.value);
  said("offset as tacked", done.offset, job.steering.offset.value);
  said("axle-to-crown as tacked", done.axle_to_crown, job.steering.axle_to_crown.value);
  said("left insert's diameter", done.left_insert.diameter, f.plan[0].intent.lower_end.diameter);
  said("right insert's diameter", done.right_insert.diameter, f.plan[1].intent.lower_end.diameter);
  for (const auto* insert : {&done.left_insert, &done.right_insert}) {
    const double bore = insert->bore ? insert->bore->value : job.lower_end.bore.value;
    if (insert->bore && bore < job.hub.axle.value)
      out.push_back({base::say(
          "A bore of {:.1f} mm doesn't take the axle of {:.1f} mm: bore it out before it is brazed.", bore,
          job.hub.axle.value)});
  }
  return out;
}

}  // namespace halfround::replan
