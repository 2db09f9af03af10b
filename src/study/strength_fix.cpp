// The wall that meets a limit, found by solving the whole study with more and more of it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "study/strength_model.h"

namespace halfround::study {

namespace {

using bike::Assembly;
using bike::Member;

constexpr double kStep = 0.1, kMost = 4;  // mm of wall
constexpr double kPastWeak = 60;          // mm that a butt reaches past the weakest place
constexpr std::size_t kMostMembers = 3;   // or pairs of them that a fix thickens

const WeakPlace* weakest(const CaseResult& c) {
  if (c.load.cycle != Cycle::once) return c.fatigue ? &*c.fatigue : nullptr;
  return c.yield ? &*c.yield : nullptr;
}

/// Members that look like mirror images are thickened together.
std::vector<std::size_t> with_its_twin(const Assembly& a, const bike::Part& part) {
  std::vector<std::size_t> out;
  const Member* one = bike::find_member(a, part);
  if (!one) return out;
  const auto ends = [](const Member& m) {
    return std::pair(m.tube.centreline.point(m.s_start), m.tube.centreline.point(m.s_end));
  };
  const auto flipped = [](const base::Vec3& p) { return base::Vec3(p.x(), -p.y(), p.z()); };
  const auto [low, high] = ends(*one);
  for (std::size_t i = 0; i < a.members.size(); ++i) {
    const auto [p, q] = ends(a.members[i]);
    const bool twin = (p - flipped(low)).norm() < 1 && (q - flipped(high)).norm() < 1;
    if (&a.members[i] == one || twin) out.push_back(i);
  }
  return out;
}

/// Members that are thickened alike, and by how much.
struct Group {
  std::vector<std::size_t> members;
  int steps = 0;
};
struct Thickened {
  std::vector<Group> groups;
  double until = 0;  ///< of the held one
};

/// Nothing where the tube would have no bore left.
std::optional<Assembly> thicker(const Assembly& a, const Thickened& what, const bike::Part& held) {
  Assembly out = a;
  for (const Group& g : what.groups) {
    const double by = g.steps * kStep;
    for (const std::size_t i : g.members) {
      Member& m = out.members[i];
      if (!m.tube.profile.convex()) return std::nullopt;
      if (m.part == held) {
        rewall(m, m.tube.profile.wall(0) + by, what.until, true);
      } else {
        std::vector<shape::Station> stations = m.tube.profile.stations();
        for (shape::Station& q : stations) q.wall += by;
        m.tube.profile = shape::Profile(stations);
      }
      for (const shape::Station& q : m.tube.profile.stations())
        if (q.wall > 0.4 * std::min(q.width, q.depth)) return std::nullopt;
    }
  }
  return out;
}

bool is_met(const Strength& s, std::size_t line) {
  return verdicts(s)[line].standing() != bike::Standing::not_met &&
         verdicts(s)[line].standing() != bike::Standing::unknown;
}

std::string words(const Assembly& a, const Thickened& what, const bike::Part& held) {
  std::string out;
  for (const Group& g : what.groups) {
    if (g.steps == 0) continue;
    const Member& m = a.members[g.members.front()];
    const double by = g.steps * kStep;
    double least = INFINITY;
    for (const shape::Station& q : m.tube.profile.stations()) least = std::min(least, q.wall);
    const double now = m.part == held ? m.tube.profile.wall(0) : least;
    out +=
        (out.empty() ? "" : " and ") + fmt::format("{} wall {} → {} mm", bike::noun_of(m.part.kind),
                                                   base::fixed(now, 1), base::fixed(now + by, 1));
    out += m.part == held ? fmt::format(" up to {} mm from its lower end", base::fixed(what.until, 0))
                          : fmt::format(" where it is thinnest, {} mm more all along", base::fixed(by, 1));
  }
  return out;
}

/// The whole search on one line.
class Search {
 public:
  Search(const Assembly& a, const Strength& now, std::size_t line)
      : a_(a), now_(now), held_(now.options.bearings.member), line_(line) {}

  std::optional<bike::Fix> fix() {
    const WeakPlace* weak = weakest(now_.cases[line_]);
    if (!weak || !take(*weak)) return std::nullopt;
    if (!grow()) return std::nullopt;
    for (Group& g : what_.groups) slim(g);
    return bike::Fix{"", base::fixed(what_.groups.front().steps * kStep, 1), words(a_, what_, held_)};
  }

 private:
  bool take(const WeakPlace& weak) {
    if (weak.member == held_) what_.until = std::max(what_.until, weak.s + kPastWeak);
    const std::vector<std::size_t> members = with_its_twin(a_, weak.member);
    if (members.empty() || std::ranges::find(what_.groups, members, &Group::members) != what_.groups.end())
      return false;
    what_.groups.push_back({members, what_.groups.empty() ? 1 : what_.groups.front().steps});
    return true;
  }
  [[nodiscard]] std::optional<Strength> solved() const {
    const auto changed = thicker(a_, what_, held_);
    if (!changed) return std::nullopt;
    auto s = strength(*changed, now_.options);
    if (!s) return std::nullopt;
    return std::move(*s);
  }
  [[nodiscard]] bool met() const {
    const auto s = solved();
    return s && is_met(*s, line_);
  }
  /// All alike, twice as much each time, until the limit is met.
  bool grow() {
    while (true) {
      const auto s = solved();
      if (!s) return false;
      if (is_met(*s, line_)) return true;
      const WeakPlace* weak = weakest(s->cases[line_]);
      if (!weak || what_.groups.size() > kMostMembers) return false;
      if (take(*weak)) continue;
      for (Group& g : what_.groups) g.steps *= 2;
      if (what_.groups.front().steps * kStep > kMost) return false;
    }
  }
  /// As little as still meets it, the others as they are.
  void slim(Group& g) {
    int low = -1, high = g.steps;
    while (high - low > 1) {
      g.steps = (low + high) / 2;
      (met() ? high : low) = g.steps;
    }
    g.steps = high;
  }

  const Assembly& a_;
  const Strength& now_;
  const bike::Part& held_;
  std::size_t line_;
  Thickened what_;
};

}  // namespace

void add_wall_fixes(const Assembly& assembly, const Strength& now, std::vector<bike::Verdict>& lines) {
  if (!now.unknown.empty()) return;
  for (std::size_t i = 0; i < lines.size() && i < now.cases.size(); ++i) {
    if (lines[i].standing() == bike::Standing::not_met) lines[i].fix = Search(assembly, now, i).fix();
  }
}

}  // namespace halfround::study
