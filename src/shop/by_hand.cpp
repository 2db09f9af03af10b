#include "shop/by_hand.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/clock.h"
#include "base/quantity.h"
#include "base/say.h"
#include "shop/set_up.h"

namespace halfround::shop {

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr int kClock = 24;

/// The biggest round file that is no bigger than what the tube is mitred onto.
const File* round_file(const Shop& shop, double radius) {
  const File* best = nullptr;
  for (const File& f : shop.files) {
    const bool fits = f.kind != FileKind::flat && f.radius <= radius + 1e-9;
    if (fits && (best == nullptr || f.radius > best->radius)) best = &f;
  }
  return best;
}

const File* flat_file(const Shop& shop) {
  const File* best = nullptr;
  for (const File& f : shop.files) {
    if (f.kind == FileKind::flat) return &f;
    if (f.kind == FileKind::half_round && best == nullptr) best = &f;
  }
  return best;
}

std::string name_of(const File* file) {
  return file != nullptr ? file->name : std::string{};
}

std::string clock(double u) {
  return base::format_clock(u);
}

/// One hollow of the cut: from one crest of the wanted edge over its bottom to the next.
struct Hollow {
  int from = 0, bottom = 0, to = 0;  // clock positions; to > from, may exceed 24
  int most_at = 0;
  double most = 0;
};

std::vector<Hollow> hollows_of(const std::vector<HandRow>& rows) {
  const auto at = [&](int i) -> const HandRow& {
    return rows[static_cast<std::size_t>((i % kClock + kClock) % kClock)];
  };
  const auto crest = [&](int i) {
    return at(i).met && at(i).wanted >= at(i - 1).wanted && at(i).wanted > at(i + 1).wanted;
  };
  const auto border = [&](int i) { return !at(i).met || crest(i); };
  int first = 0;
  while (first < kClock && !border(first)) ++first;
  std::vector<Hollow> out;
  if (first == kClock) return out;
  for (int i = first; i < first + kClock;) {
    int j = i + 1;
    while (!border(j)) ++j;
    if (j > i + 1 || (at(i).met && at(j).met)) {
      Hollow h{i, i, j, i, 0};
      for (int k = i; k <= j; ++k) {
        if (!at(k).met) continue;
        if (!at(h.bottom).met || at(k).wanted < at(h.bottom).wanted) h.bottom = k;
        if (at(k).take_off > h.most) h.most = at(k).take_off, h.most_at = k;
      }
      out.push_back(h);
    }
    i = j;
  }
  std::stable_sort(out.begin(), out.end(), [](const Hollow& a, const Hollow& b) { return a.most > b.most; });
  return out;
}

void hollow_steps(HandPlan& plan, const File* file) {
  for (const Hollow& h : hollows_of(plan.rows)) {
    const double step = kTurn / kClock, bottom = step * (h.bottom % kClock);
    plan.steps.push_back(
        {base::say("File the hollow from its bottom at {} out to {} and {}, with the file along the other "
                   "tube's axis; {:.1f} mm comes off at most, at {}.",
                   clock(bottom), clock(step * h.from), clock(step * h.to), h.most, clock(step * h.most_at)),
         name_of(file), step * h.from, step * h.to, h.most});
  }
}

/// All stretches in one step: they are one job for the flat file.
void passing_step(HandPlan& plan, const study::Mitre& m, const Shop& shop) {
  if (m.passing.empty()) return;
  double most = 0;
  std::string where;
  for (const study::Passing& p : m.passing) {
    const double middle = 0.5 * (p.from + p.to), half = 0.5 * (p.to - p.from);
    for (const HandRow& row : plan.rows)
      if (std::abs(std::remainder(row.u - middle, kTurn)) <= half) most = std::max(most, row.take_off);
    where += fmt::format("{}{} to {}", where.empty() ? "" : " and from ", clock(p.from), clock(p.to));
  }
  FilingStep step{fmt::format("From {} the tube runs past the {}: file it flat to the depths of the table{}.",
                              where, bike::spoken(m.onto),
                              m.meets.empty() ? "" : ", where the other side's tube comes against it"),
                  name_of(flat_file(shop)), m.passing.front().from, m.passing.front().to, most};
  step.after_mill = true;
  plan.steps.push_back(std::move(step));
}

std::string degrees(double v) {
  return base::format_angle(v, 1);
}

/// The rough cut in words, a step for each saw.
void saw_steps(HandPlan& plan) {
  const RoughCut& saw = plan.saw;
  const auto put = [&](std::string what) { plan.steps.push_back({std::move(what), "hacksaw", 0, 0, 0}); };
  const auto line = [&](const SawPlane& p) {
    return fmt::format("it leans {} from square, longest at {}", degrees(p.lean), clock(p.u_longest));
  };
  if (saw.planes.size() == 1) {
    put(base::to_deg(saw.planes[0].lean) > 0.05
            ? fmt::format("Saw along the line: {}.", line(saw.planes[0]))
            : base::say("Saw square, {:.1f} mm past the scribe line.", saw.depth[0]));
    return;
  }
  put(fmt::format("Saw the first plane: {}. {}", line(saw.planes[0]),
                  saw.shape == RoughShape::notch ? fmt::format("Stop where the lines meet, at {} and {}.",
                                                               clock(saw.u_meet[0]), clock(saw.u_meet[1]))
                                                 : std::string("Go right through.")));
  put(fmt::format("Saw the second plane: {}. {}", line(saw.planes[1]),
                  saw.shape == RoughShape::notch ? "Stop there too: the V falls out." : "Go right through."));
}

}  // namespace

HandPlan by_hand(const bike::Assembly& assembly, const study::Mitre& mitre, const Shop& shop, double leave) {
  const bike::Member* member = bike::find_member(assembly, mitre.member);
  const bike::Member* target = bike::find_member(assembly, mitre.onto);
  base::check(member && target, "a mitre names members of its assembly");
  HandPlan plan;
  plan.member = mitre.member, plan.end = mitre.end, plan.onto = mitre.onto;
  plan.saw = rough_cut(*member, mitre, {.leave = leave});
  double steepest = 0;
  for (std::size_t i = 0; i < mitre.clock.size(); ++i) {
    const study::ClockDepth& row = mitre.clock[i];
    plan.rows.push_back({row.u, row.outer, plan.saw.depth[i] - row.outer, row.bevel, row.met});
    steepest = std::max(steepest, std::abs(row.bevel));
  }
  saw_steps(plan);
  const double s = target->tube.centreline.nearest(mitre.outer.front().point);
  const File* round = round_file(shop, target->tube.profile.width(s) / 2);
  plan.file_radius = round != nullptr ? round->radius : 0;
  hollow_steps(plan, round);
  passing_step(plan, mitre, shop);
  plan.steps.push_back(
      {base::say("Bevel by the table, up to {:.0f}°: the file follows the other tube's axis all "
                 "the way round, then try it and file where it bears.",
                 base::to_deg(steepest)),
       name_of(round), 0, 0, 0});
  return plan;
}

}  // namespace halfround::shop
