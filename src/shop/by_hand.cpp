#include "shop/by_hand.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace halfround::shop {

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr int kClock = 24;

/// The plane d = c0 + cx x + cy y nearest to the wanted edge, raised until it leaves `leave` everywhere; x, y
/// across the tube at the scribe line, by its own mark line and b.
SawLine saw_line(const bike::Member& member, const study::Mitre& m, double leave) {
  Eigen::Matrix<double, kClock, 3> across;
  Eigen::Matrix<double, kClock, 1> depth;
  for (int i = 0; i < kClock; ++i) {
    const study::ClockDepth& row = m.clock[static_cast<std::size_t>(i)];
    const base::Vec2 e = base::unit_at(row.u);
    const double r = member.tube.profile.at(e, m.s_scribe).r;
    across.row(i) << 1, r * e.x(), r * e.y();
    depth(i) = row.outer;
  }
  const Eigen::Vector3d plane = across.colPivHouseholderQr().solve(depth);
  Eigen::Matrix<double, kClock, 1> line = across * plane;
  line.array() += (depth - line).maxCoeff() + leave;
  SawLine out;
  out.lean = std::atan(std::hypot(plane.y(), plane.z()));
  // a lean that no saw can follow is no lean
  if (out.lean > base::to_rad(0.05)) out.u_longest = std::atan2(plane.z(), plane.y());
  if (out.u_longest < 0) out.u_longest += kTurn;
  out.depth.assign(line.begin(), line.end());
  return out;
}

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
  return fmt::format("{:.0f}°", base::to_deg(std::fmod(u, kTurn)));
}

/// One hollow of the cut: from one crest of the wanted edge over its bottom to the next.
struct Hollow {
  int from = 0, bottom = 0, to = 0;  // clock positions; to > from, may exceed 24
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
      Hollow h{i, i, j, 0};
      for (int k = i; k <= j; ++k) {
        if (!at(k).met) continue;
        if (!at(h.bottom).met || at(k).wanted < at(h.bottom).wanted) h.bottom = k;
        h.most = std::max(h.most, at(k).take_off);
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
    const HandRow& row = plan.rows[static_cast<std::size_t>(h.bottom % kClock)];
    plan.steps.push_back(
        {fmt::format("File the hollow from its bottom at {} out to {} and {}, with the file along the other "
                     "tube's axis; {:.1f} mm comes off at the bottom.",
                     clock(bottom), clock(step * h.from), clock(step * h.to), row.take_off),
         name_of(file), step * h.from, step * h.to, h.most});
  }
}

void passing_steps(HandPlan& plan, const study::Mitre& m, const Shop& shop) {
  for (const study::Passing& p : m.passing) {
    double most = 0;
    for (const HandRow& row : plan.rows) {
      const bool inside = std::remainder(row.u - 0.5 * (p.from + p.to), kTurn) <= 0.5 * (p.to - p.from) &&
                          std::remainder(row.u - 0.5 * (p.from + p.to), kTurn) >= -0.5 * (p.to - p.from);
      if (inside) most = std::max(most, row.take_off);
    }
    plan.steps.push_back(
        {fmt::format("From {} to {} the tube passes beside: file it flat to the depths of the "
                     "table{}.",
                     clock(p.from), clock(p.to),
                     m.meets.empty() ? "" : ", where the other side's tube comes against it"),
         name_of(flat_file(shop)), p.from, p.to, most});
  }
}

}  // namespace

HandPlan by_hand(const bike::Assembly& assembly, const study::Mitre& mitre, const Shop& shop, double leave) {
  const bike::Member* member = bike::find_member(assembly, mitre.member);
  const bike::Member* target = bike::find_member(assembly, mitre.onto);
  base::check(member && target, "a mitre names members of its assembly");
  HandPlan plan;
  plan.member = mitre.member, plan.end = mitre.end, plan.onto = mitre.onto;
  plan.saw = saw_line(*member, mitre, leave);
  double least = INFINITY, most = 0, steepest = 0;
  for (std::size_t i = 0; i < mitre.clock.size(); ++i) {
    const study::ClockDepth& row = mitre.clock[i];
    plan.rows.push_back({row.u, row.outer, plan.saw.depth[i] - row.outer, row.bevel, row.met});
    least = std::min(least, plan.rows.back().take_off), most = std::max(most, plan.rows.back().take_off);
    steepest = std::max(steepest, std::abs(row.bevel));
  }
  const double lean_deg = base::to_deg(plan.saw.lean);
  plan.steps.push_back({lean_deg > 0.05
                            ? fmt::format("Saw along the line: it leans {:.1f}° from square, longest at {}.",
                                          lean_deg, clock(plan.saw.u_longest))
                            : fmt::format("Saw square, {:.1f} mm past the scribe line.", plan.saw.depth[0]),
                        "hacksaw", 0, 0, 0});
  const double s = target->tube.centreline.nearest(mitre.outer.front().point);
  const File* round = round_file(shop, target->tube.profile.width(s) / 2);
  plan.file_radius = round != nullptr ? round->radius : 0;
  hollow_steps(plan, round);
  passing_steps(plan, mitre, shop);
  plan.steps.push_back(
      {fmt::format("Bevel by the table, up to {:.0f}°: the file follows the other tube's axis all "
                   "the way round, then try it and file where it bears.",
                   base::to_deg(steepest)),
       name_of(round), 0, 0, 0});
  return plan;
}

}  // namespace halfround::shop
