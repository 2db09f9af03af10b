// The ways to mend a plan, one after the other; what each brings is in replan_weigh.cpp.
#include "replan/replan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

#include "base/say.h"
#include "replan/replan_weigh.h"

namespace halfround::replan {

using base::Problem;
using base::Result;

namespace {

class Planner {
 public:
  Planner(const job::Job& job, const Facts& facts)
      : job_(job), facts_(facts), done_(facts.done), weigher_(job, facts) {}
  std::vector<Alternative> ways();

 private:
  [[nodiscard]] const job::DoneBlade& blade(bool left) const { return facts_.blade(left); }
  Result<Side> with_trim(bool left, bool keep_splay);
  Result<Side> taking(bool left, Mover mover);
  void as_planned(const std::string& what);
  [[nodiscard]] std::optional<Side> like(const Side& side, bool left) const;
  [[nodiscard]] double gape(bool left, const Side& side) const;
  [[nodiscard]] std::string moved_by(bool left, const Side& side) const;
  void matched(bool left);
  void each_as_it_is();
  void stands_as_cut();
  void slid();
  void vertical(const Side& left, const Side& right, const std::string& what, bool two_sided);
  using Title = std::function<std::string(const Side&)>;  ///< of the left side as it is written
  void take(Side left, Side right, double drop, const Title& title);
  [[nodiscard]] double length_of(const layout::Intent& intent) const;
  [[nodiscard]] bool in_steps(Side& left, Side& right);
  [[nodiscard]] std::optional<Side> deeper(bool left, Mover mover, double& by);
  void lean_for_offset(const Side& side, const std::string& what);
  [[nodiscard]] double drop_for(double axle_to_crown, double offset) const;

  const job::Job& job_;
  const Facts& facts_;
  const job::Done& done_;
  Weigher weigher_;
  std::vector<Alternative> ways_;
};

double Planner::drop_for(double axle_to_crown, double offset) const {
  return job_.steering.axle_to_crown_is == job::AxleToCrown::straight
             ? std::sqrt(axle_to_crown * axle_to_crown - offset * offset)
             : axle_to_crown;
}

/// Axle-to-crown as the job measures it, mm.
double Planner::length_of(const layout::Intent& intent) const {
  return job_.steering.axle_to_crown_is == job::AxleToCrown::straight ? std::hypot(intent.drop, intent.offset)
                                                                      : intent.drop;
}

/// Rounds what is worked out to what a file can do and lays both sides out by those numbers; what was told
/// or planned stays as it is.
///   out  false: there is no such fork
bool Planner::in_steps(Side& left, Side& right) {
  const auto planned = [&](const Side& s, bool is_left) {
    const Side& p = facts_.plan[index_of(is_left)];
    const layout::Intent& told = facts_.facts[index_of(is_left)];
    const std::pair<double, double> pairs[] = {
        {s.at().splay, p.at().splay},
        {s.at().lower_trim, p.at().lower_trim},
        {s.at().crown_height, p.at().crown_height},
        {layout::past_line(s.intent.crown), layout::past_line(p.intent.crown)},
        {s.intent.lower_end.blade_from_hub, told.lower_end.blade_from_hub},
        {s.intent.drop, told.drop},
        {s.intent.offset, told.offset}};
    return std::ranges::all_of(pairs, [](const auto& q) { return std::abs(q.first - q.second) < kSame; });
  };
  if (planned(left, true) && planned(right, false)) return true;
  double offset = left.intent.offset, drop = left.intent.drop;
  const layout::Intent& told = facts_.facts[0];
  if (std::abs(offset - told.offset) > kSame || std::abs(drop - told.drop) > kSame) {
    const double length = in_file_steps(length_of(left.intent));
    if (std::abs(offset - told.offset) > kSame) offset = in_file_steps(offset);
    drop = drop_for(length, offset);
  }
  for (const bool is_left : {true, false}) {
    Side& side = is_left ? left : right;
    side.intent.offset = offset, side.intent.drop = drop;
    layout::LowerEnd& end = side.intent.lower_end;
    const layout::LowerEnd& was = facts_.facts[index_of(is_left)].lower_end;
    if (std::abs(end.blade_from_hub - was.blade_from_hub) > kSame)
      end.blade_from_hub = in_file_steps(end.blade_from_hub);
    if (std::abs(end.length - was.length) > kSame) end.length = in_file_steps(end.length);
    auto rounded = side_rounded(side, facts_.plan[index_of(is_left)], facts_.how);
    if (!rounded) return false;
    side = std::move(*rounded);
  }
  return true;
}

/// Puts two sides together at one drop and weighs what comes of it.
void Planner::take(Side left, Side right, double drop, const Title& title) {
  for (Side* s : {&left, &right}) {
    if (std::abs(s->intent.drop - drop) < 1e-12) continue;
    layout::Intent moved = s->intent;
    moved.drop = drop;
    auto again = side_at(moved, s->at().splay, s->at().lower_trim, facts_.how);
    if (!again) return;
    *s = std::move(*again);
  }
  if (!in_steps(left, right)) return;
  std::string words = title(left);
  Alternative way = weigher_.weigh(std::move(left), std::move(right));
  way.title = std::move(words);
  ways_.push_back(std::move(way));
}

/// The height that a changed blade leaves over goes into the crown height or into the axle-to-crown.
void Planner::vertical(const Side& left, const Side& right, const std::string& what, bool two_sided) {
  const Side& plan = facts_.plan[0];
  const double drop = left.intent.drop, planned = plan.at().crown_height;
  const double height = done_.crown_height ? done_.crown_height->value : planned;
  const auto by = [](const char* before, double v, const char* more, const char* less, const char* after) {
    return std::abs(v) < kFileStep / 2
               ? std::string()
               : base::say("{}{:.1f} mm {}{}", before, std::abs(v), v > 0 ? more : less, after);
  };
  if (!done_.crown_height || done_.axle_to_crown) {
    take(left, right, drop, [&](const Side& l) {
      return what + (done_.axle_to_crown ? ": the axle-to-crown as measured" : ": the axle-to-crown stays") +
             by(", the joint ", l.at().crown_height - planned, "lower", "higher", " on the steerer");
    });
  }
  const bool moves = std::abs(drop - left.reach() - planned) > kFileStep / 2;
  if (!done_.axle_to_crown && (!two_sided || done_.crown_height) && (moves || done_.crown_height)) {
    take(left, right, left.reach() + height, [&](const Side& l) {
      return what + (done_.crown_height ? ": the crown height as measured" : ": the crown height stays") +
             by(", the fork is ", length_of(l.intent) - length_of(plan.intent), "longer", "shorter", "");
    });
  }
}

/// The offset gives way, so that axle-to-crown and crown height both stay: by more tilt, if tilt is free.
void Planner::lean_for_offset(const Side& side, const std::string& what) {
  if (done_.offset || done_.axle_to_crown || done_.crown_height) return;
  const auto& cut = side.at();
  const double length = job_.steering.axle_to_crown.value, height = facts_.plan[0].at().crown_height;
  layout::Intent moved = side.intent;
  const auto miss = [&](double offset) {
    moved.offset = offset, moved.drop = drop_for(length, offset);
    const auto p = layout::place(moved, moved.left, cut.splay, cut.lower_trim);
    return p ? p->crown_height - height : NAN;
  };
  double x0 = side.intent.offset, x1 = x0 + 1, f0 = miss(x0);
  if (std::abs(f0) < kFileStep / 2) return;
  for (int i = 0; i < 30; ++i) {
    const double f1 = miss(x1);
    if (!std::isfinite(f1) || std::abs(f1) < 1e-9) break;
    const double next = x1 - f1 * (x1 - x0) / (f1 - f0);
    x0 = x1, f0 = f1, x1 = std::clamp(next, x1 - 20, x1 + 20);
  }
  if (!(std::abs(miss(x1)) < 1e-6) || std::abs(x1 - side.intent.offset) > 60) return;
  moved.offset = x1, moved.drop = drop_for(length, x1);
  auto again = side_at(moved, cut.splay, cut.lower_trim, facts_.how);
  if (!again) return;
  const Side other = *again;
  take(std::move(*again), other, moved.drop,
       [&](const Side&) { return what + ": axle-to-crown and crown height stay, the offset moves"; });
}

/// A finished blade where `mover` gives way. Brazed to its insert, it comes nearer the hub only by as much as
/// the insert's inner end is faced.
Result<Side> Planner::taking(bool left, Mover mover) {
  const std::size_t i = index_of(left);
  if (mover == Mover::splay) return *facts_.held[i];
  auto side = side_taking(facts_.facts[i], *facts_.cut[i], mover, facts_.plan[i].at().splay, facts_.how);
  if (!side || !blade(left).joined) return side;
  layout::Intent intent = side->intent;
  const double faced = facts_.facts[i].lower_end.blade_from_hub - intent.lower_end.blade_from_hub;
  if (!layout::row_of(intent.lower_end.kind).barrel || faced < 0 || faced > intent.lower_end.length / 4) {
    return tl::unexpected(
        Problem{"done-unreachable", {"", 0, 0, "done"}, "A brazed blade can't be moved so.", ""});
  }
  intent.lower_end.length -= faced;
  return side_at(intent, side->at().splay, side->at().lower_trim, facts_.how);
}

/// The other blade beside a finished one: the same splay and the same height; only its own steel differs.
std::optional<Side> Planner::like(const Side& side, bool left) const {
  const std::size_t i = index_of(left), o = index_of(!left);
  const layout::LowerEnd &mine = facts_.facts[i].lower_end, &its = facts_.facts[o].lower_end;
  if (!job_.right && its.diameter == mine.diameter && its.length == mine.length && its.bore == mine.bore)
    return side;
  layout::Intent intent = facts_.facts[o];
  intent.drop = side.intent.drop;
  intent.lower_end.blade_from_hub = side.intent.lower_end.blade_from_hub;
  intent.lower_end.length += side.intent.lower_end.length - mine.length;
  intent.wishes = {layout::Wished{layout::Wish::splay, side.at().splay},
                   layout::Wished{layout::Wish::crown_height, side.at().crown_height}};
  const auto fork = layout::lay_out(intent);
  if (!fork) return std::nullopt;
  auto match = side_at(intent, side.at().splay, fork->left.lower_trim, facts_.how);
  if (!match) return std::nullopt;
  return std::move(*match);
}

/// A finished blade whose upper cut gapes in its new place, cut again by the new template: so much deeper
/// that the new cut lies in steel all round.
///   out  by  of its length, mm
std::optional<Side> Planner::deeper(bool left, Mover mover, double& by) {
  const std::size_t i = index_of(left);
  const Side &plan = facts_.plan[i], &held = *facts_.held[i];
  const double gone = plan.at().s_top - held.at().s_top, trim = held.at().lower_trim;
  auto first = taking(left, mover);
  if (!first || blade(left).joined) return std::nullopt;
  Side side = std::move(*first);
  by = 0;
  for (int n = 0; n < 8; ++n) {
    const double missing = steel_missing(plan, side, bike::End::end, gone);
    if (missing < kFileStep / 2) return side;
    by = std::ceil((by + missing) / kFileStep - 0.01) * kFileStep;
    auto next = side_taking(facts_.facts[i], {.length = facts_.cut[i]->length - by, .lower_trim = trim},
                            mover, mover == Mover::splay ? side.at().splay : plan.at().splay, facts_.how);
    if (!next) return std::nullopt;
    side = std::move(*next);
  }
  return std::nullopt;
}

/// How far a finished blade's upper cut gapes in its new place, mm.
double Planner::gape(bool left, const Side& side) const {
  return cut_change(facts_.plan[index_of(left)], side, bike::End::end).gap;
}

/// Both blades as the finished one is.
void Planner::matched(bool left) {
  const std::string name = side_name(left), other = side_name(!left);
  const auto both = [&](const Side& side, const std::string& what) {
    const std::optional<Side> match = like(side, left);
    if (match) vertical(left ? side : *match, left ? *match : side, what, false);
  };
  for (const Mover mover : {Mover::splay, Mover::blade_from_hub}) {
    if (mover == Mover::splay && blade(left).joined) continue;  // what is brazed on keeps its splay
    const auto taken = taking(left, mover);
    if (!taken) continue;
    const double gap = gape(left, *taken);
    double by = 0;
    if (gap > kSeats) {
      const auto side = deeper(left, mover, by);
      if (side && by > 0)
        both(*side, base::say("{} blade cut again, {:.1f} mm deeper, the {} one like it{}", name, by, other,
                              moved_by(left, *side)));
      if (side && gap > kFiles) continue;  // as it is it would be scrap
    }
    const std::string moved = moved_by(left, *taken);
    if (mover == Mover::blade_from_hub && moved.empty()) continue;  // says what the splay says
    both(*taken, fmt::format("{} blade like the {} one{}", other, name,
                             mover == Mover::splay ? ", the splay follows" : moved));
    if (mover == Mover::splay && !job_.right)
      lean_for_offset(*taken, fmt::format("{} blade like the {} one, the splay follows", other, name));
  }
}

/// ", both stand 1.4 mm farther in at the hub"; nothing where they don't.
std::string Planner::moved_by(bool left, const Side& side) const {
  const double hub = in_file_steps(side.intent.lower_end.blade_from_hub) -
                     facts_.facts[index_of(left)].lower_end.blade_from_hub;
  if (std::abs(hub) < kFileStep / 2) return {};
  return base::say(", both stand {:.1f} mm farther {} at the hub", std::abs(hub), hub < 0 ? "in" : "out");
}

/// A blade of which only the lower end is cut: its splay or its height follows.
Result<Side> Planner::with_trim(bool left, bool keep_splay) {
  const std::size_t i = index_of(left);
  layout::Intent intent = facts_.facts[i];
  const double trim = blade(left).lower_trim->value;
  if (keep_splay) return side_at(intent, facts_.plan[i].at().splay, trim, facts_.how);
  intent.wishes = {layout::Wished{layout::Wish::lower_trim, trim},
                   layout::Wished{layout::Wish::crown_height, facts_.plan[i].at().crown_height}};
  const auto fork = layout::lay_out(intent);
  if (!fork) return tl::unexpected(fork.error());
  return side_at(intent, fork->left.splay, trim, facts_.how);
}

/// Nothing is made to match: a finished blade is set as it can be, the other one stays as planned.
void Planner::each_as_it_is() {
  for (const Mover mover : {Mover::splay, Mover::blade_from_hub}) {
    Side side[2];
    bool moved = false, recut = false;
    for (const bool left : {true, false}) {
      const std::size_t i = index_of(left);
      Result<Side> s = tl::unexpected(Problem{});
      if (facts_.cut[i]) {
        const bool at_hub = mover == Mover::blade_from_hub && facts_.off_plan(left);
        s = taking(left, at_hub ? mover : Mover::splay);
        moved = moved || at_hub;
        double by = 0;
        if (s && gape(left, *s) > kFiles) {
          if (auto again = deeper(left, at_hub ? mover : Mover::splay, by))
            s = std::move(*again), recut = true;
        }
      } else if (blade(left).lower_trim) {
        s = with_trim(left, true);
      } else {
        s = side_at(facts_.facts[i], facts_.plan[i].at().splay, facts_.plan[i].at().lower_trim, facts_.how);
      }
      if (!s) return;
      side[i] = std::move(*s);
    }
    if (mover == Mover::blade_from_hub && !moved) return;
    vertical(side[0], side[1],
             recut                   ? "each blade by itself, what gapes cut again deeper"
             : mover == Mover::splay ? "each blade as it is"
                                     : "each blade as it is, the changed one moved at the hub",
             true);
  }
}

/// In a crown that the blades go on past, the short one says how far both do.
void Planner::slid() {
  layout::Crown crown = facts_.plan[0].intent.crown;
  const double planned = layout::past_line(crown);
  double past = planned;
  for (const bool left : {true, false}) {
    if (facts_.off_plan(left))
      past = std::min(past, layout::past_line(facts_.held[index_of(left)]->intent.crown));
  }
  layout::set_past_line(crown, past);
  Side side[2];
  for (const bool left : {true, false}) {
    const std::size_t i = index_of(left);
    layout::Intent intent = facts_.facts[i];
    intent.crown = crown;
    const job::DoneBlade& b = blade(left);
    const double trim = facts_.cut[i]  ? facts_.held[i]->at().lower_trim
                        : b.lower_trim ? b.lower_trim->value
                                       : facts_.plan[i].at().lower_trim;
    auto s = side_in_crown(std::move(intent), trim, facts_.plan[i].at(), facts_.how);
    if (!s) return;
    side[i] = std::move(*s);
  }
  const double drop = side[0].intent.drop;
  take(std::move(side[0]), std::move(side[1]), drop, [&](const Side& l) {
    const double less = planned - layout::past_line(l.intent.crown);
    return less > kFileStep / 2 ? base::say("the crown stays, both blades stand {:.1f} mm less past it", less)
                                : std::string("the crown stays, what is left to cut follows");
  });
}

void Planner::stands_as_cut() {
  const auto stands = replan::stands_as_cut(job_, facts_);
  if (!stands) return;
  Alternative way = weigher_.as_cut(facts_.plan[0], facts_.plan[1], *stands);
  way.title = "the fork stands as it was cut, each joint where it was planned";
  ways_.push_back(std::move(way));
}

/// Every blade cut to the plan; parts that differ only in what needs no other cut are as they are.
void Planner::as_planned(const std::string& what) {
  Side side[2];
  for (const bool left : {true, false}) {
    const std::size_t i = index_of(left);
    auto s = side_at(facts_.facts[i], facts_.plan[i].at().splay, facts_.plan[i].at().lower_trim, facts_.how);
    if (!s) return;
    side[i] = std::move(*s);
  }
  vertical(side[0], side[1], what, false);
}

std::vector<Alternative> Planner::ways() {
  const auto trimmed = [&](bool left) { return blade(left).lower_trim && !facts_.cut[index_of(left)]; };
  if (!facts_.off_plan(true) && !facts_.off_plan(false) && !trimmed(true) && !trimmed(false)) {
    as_planned("the plan with what was measured");
    for (Alternative& way : ways_) {
      if (way.unchanged()) way.title = "the plan stands";
    }
    return std::move(ways_);
  }
  if (layout::crown_line(facts_.plan[0].intent.crown)) {
    slid();
    as_planned("what is finished is cut again to the plan");
    return std::move(ways_);
  }
  const bool may = !job_.freedoms || job_.freedoms->other_blade;
  for (const bool left : {true, false}) {
    const job::DoneBlade& b = blade(left);
    if (facts_.off_plan(left) && may) matched(left);
    if (!trimmed(left) || !may) continue;
    for (const bool keep : {false, true}) {
      if (!keep && b.joined) continue;
      auto side = with_trim(left, keep);
      if (!side) continue;
      const Side other = *side;
      vertical(*side, other, keep ? "the splay stays on both sides" : "the splay follows on both sides",
               false);
    }
  }
  // a finished blade that is as planned may be what the others are measured by: scrap is then said
  each_as_it_is();
  std::vector<Alternative> found = std::exchange(ways_, {});
  as_planned("what is finished is cut again to the plan");
  for (Alternative& way : ways_) {
    if (way.scrapped == 0) found.push_back(std::move(way));  // that it is too short for the plan is no news
  }
  ways_ = std::move(found);
  if (facts_.off_plan(true) || facts_.off_plan(false)) stands_as_cut();
  return std::move(ways_);
}

}  // namespace

bool Replan::mends() const {
  return std::ranges::any_of(ways, [](const Alternative& a) { return a.scrapped == 0; });
}

Result<Replan> replan(const job::Job& job) {
  const auto facts = facts_of(job);
  if (!facts) return tl::unexpected(facts.error());
  Replan out;
  out.name = job.name;
  out.length_left = facts->plan[0].length, out.length_right = facts->plan[1].length;
  rank(*facts, Planner(job, *facts).ways(), out);
  out.notes = notes_of(job, *facts);
  return out;
}

}  // namespace halfround::replan
