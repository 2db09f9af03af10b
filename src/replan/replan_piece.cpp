// What becomes of a blade that is finished, wholly or in part. Limits: docs/replan.md
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"
#include "replan/replan_weigh.h"

namespace halfround::replan {

namespace {

constexpr double kSlack = 0.3;  // mm of lower trim that a kept blade may stand differently [our own figure]
constexpr double kBrazedTurn =
    0.1 * base::kPi / 180;  // rad, 0.2 mm in 100 mm across the axle [our own figure]

/// A finished end whose mitre should be another by `change`.
void judge_mitres(Piece& p, double change) {
  if (change <= kSeats) {
    p.fate = Fate::kept;
    p.why = change < kFileStep / 2
                ? "It serves as it is."
                : base::say("It serves as it is; its mitre gapes by {:.1f} mm at most.", change);
  } else if (change <= kFiles) {
    p.fate = Fate::file;
    p.why = base::say(
        "It serves, but its mitre gapes by {:.1f} mm until it is filed; measure its length again then.",
        change);
  } else {
    p.fate = Fate::scrap;
    p.why = base::say("Its mitre would gape by {:.1f} mm: it no longer fits.", change);
  }
}

}  // namespace

Piece piece_of(const Facts& f, const Side& now, bool left) {
  const std::size_t i = index_of(left);
  const Side& plan = f.plan[i];
  Piece p;
  p.member = bike::part(bike::PartKind::blade, bike::side_of(left));
  p.length_was = plan.length, p.length = now.length;
  p.lower_trim_was = plan.at().lower_trim, p.lower_trim = now.at().lower_trim;
  p.top_was = plan.at().s_top, p.top = now.at().s_top;
  const CutChange low_cut = cut_change(plan, now, bike::End::start);
  const CutChange high_cut = cut_change(plan, now, bike::End::end);
  p.lower_change = low_cut.depth, p.lower_gap = low_cut.gap;
  p.upper_change = high_cut.depth, p.upper_gap = high_cut.gap;
  const job::DoneBlade& b = f.blade(left);
  if (!f.cut[i] && !b.lower_trim && !b.joined) {
    p.why = std::abs(p.length - p.length_was) < kFileStep / 2 &&
                    std::max(p.lower_change, p.upper_change) < kFileStep / 2
                ? "Not cut yet; the plan's numbers stay."
                : "Not cut yet: use the new numbers.";
    return p;
  }
  // steel that is gone: below the lower cut, above the upper one
  const double trim = f.cut[i]       ? f.held[i]->at().lower_trim
                      : b.lower_trim ? b.lower_trim->value
                                     : plan.at().lower_trim;
  const double top = f.cut[i] ? f.held[i]->at().s_top : INFINITY;
  double missing = steel_missing(plan, now, bike::End::start, trim - plan.at().lower_trim);
  if (f.cut[i]) missing = std::max(missing, steel_missing(plan, now, bike::End::end, plan.at().s_top - top));
  const double off = f.cut[i] ? std::abs(p.length - f.cut[i]->length) : std::abs(trim - p.lower_trim);
  const bool same = off < kSeats && std::abs(trim - p.lower_trim) < kSlack;
  const double turned = now.at().splay - plan.at().splay;
  if (b.joined && std::abs(turned) > kBrazedTurn) {
    p.fate = Fate::scrap;
    p.why = base::say("Its lower end is brazed on; in this way the axle's seat would lean by {:.1f}°.",
                      base::to_deg(std::abs(turned)));
    return p;
  }
  const double faced = b.joined ? f.facts[i].lower_end.length - now.intent.lower_end.length : 0;
  if (same) {
    const double lower = b.joined ? 0 : p.lower_gap;
    judge_mitres(p, std::max({off, lower, f.cut[i] ? p.upper_gap : 0}));
    if (!f.cut[i] && p.fate != Fate::scrap) p.why += " The upper end is still to cut.";
    if (faced > kFileStep / 2 && p.fate != Fate::scrap)
      p.why += base::say(" Face {:.1f} mm off its insert's inner end.", faced);
  } else if (missing > kSeats) {
    p.fate = Fate::scrap;
    p.why = base::say("It is cut {:.1f} mm too short for this.", missing);
  } else if (b.joined && std::abs(p.lower_trim - trim) > kFileStep) {
    p.fate = Fate::scrap;
    p.why = "Its lower end is brazed on and would have to be cut again.";
  } else {
    p.fate = Fate::cut_again;
    const double low = p.lower_trim - trim, high = top - p.top;
    p.why = "It is finished and has to be cut again:";
    const bool off_low = low > kFileStep / 2, off_high = f.cut[i] && high > kFileStep / 2;
    if (off_low) p.why += base::say(" {:.1f} mm more off the lower end", low);
    if (off_high) p.why += base::say("{} {:.1f} mm more off the upper end", off_low ? " and" : "", high);
    p.why += off_low || off_high ? "." : " its mitres turn.";
  }
  return p;
}

}  // namespace halfround::replan
