// Verdicts of all studies brought together: one list, worst first. Frame F.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/number.h"
#include "base/say.h"
#include "solve/studies.h"

namespace halfround::solve {

namespace {

/// A gap at the upper mitre is mended by leaving more on: as much as all but the accepted share need.
void add_spare_fix(const job::Job& job, const Answer& a, std::vector<bike::Verdict>& all) {
  if (!a.tolerance) return;
  for (bike::Verdict& v : all) {
    if (!v.code.starts_with("tolerance-gap") || v.standing() != bike::Standing::not_met) continue;
    for (const study::MeasureResult& m : a.tolerance->measures) {
      if ("tolerance-" + m.key != v.code || !m.limit || !m.limit->high) continue;
      const double more = base::reachable(job.spare.value + m.p99 - *m.limit->high, base::Fits::from);
      const std::string typed = base::shortest(more);
      v.fix = bike::Fix{"tolerances.spare", typed,
                        fmt::format("leave {} mm on the upper mitres to file away", typed)};
    }
  }
}

std::string other_side(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const bool left = text.compare(i, 4, "left") == 0, right = text.compare(i, 5, "right") == 0;
    out += left ? "right" : right ? "left" : text.substr(i, 1);
    i += left ? 4 : right ? 5 : 1;
  }
  return out;
}

/// The same line of both sides, or of two plates, is one line: the worse one stands.
void drop_twins(std::vector<bike::Verdict>& all) {
  const auto twins = [](const bike::Verdict& p, const bike::Verdict& q) {
    if (!p.value || !q.value || p.standing() != q.standing() || p.limit.has_value() != q.limit.has_value())
      return false;
    if (p.limit && p.limit->value != q.limit->value) return false;
    const bool mirrored = p.what != q.what || p.where != q.where;
    const bool same_value = std::abs(*p.value - *q.value) < 0.005 || p.study == "tolerance";
    const bool sides = mirrored && other_side(p.what) == q.what && other_side(p.where) == q.where;
    return same_value && (sides || (p.code == q.code && p.what == q.what));
  };
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t k = i + 1; k < all.size(); ++k) {
      if (!twins(all[i], all[k])) continue;
      const bool worse = all[k].margin().value_or(0) < all[i].margin().value_or(0);
      if (worse) std::swap(all[i], all[k]);
      const bool sides = all[i].what != all[k].what || all[i].where != all[k].where;
      if (sides)
        all[i].note += (all[i].note.empty() ? "" : "; ") + std::string("the other side or plate alike");
      all.erase(all.begin() + static_cast<std::ptrdiff_t>(k--));
    }
  }
}

/// The order in which they are told, where standing and grade are alike.
constexpr Study kTold[] = {Study::wheel,   Study::clearance, Study::strength, Study::tolerance,
                           Study::joining, Study::mount,     Study::edges,    Study::small_parts,
                           Study::mass,    Study::steering,  Study::stands};
static_assert(std::size(kTold) == static_cast<std::size_t>(Study::stands) + 1);

}  // namespace

std::vector<bike::Verdict> verdicts_of(const Asked& asked, const Answer& a) {
  std::vector<bike::Verdict> out;
  for (const Study s : kTold)
    std::ranges::move(studies()[static_cast<std::size_t>(s)].verdicts(asked, a), std::back_inserter(out));
  add_spare_fix(asked.job, a, out);
  drop_twins(out);
  // what is not met first, the worst grade above; right after it what is not known
  std::ranges::stable_sort(out, {}, [](const bike::Verdict& v) {
    const bike::Standing s = v.standing() == bike::Standing::barely_met ? bike::Standing::met : v.standing();
    const bool open = s == bike::Standing::not_met || s == bike::Standing::unknown;
    return std::pair(s, open ? v.grade() : bike::Grade::shops_aim);
  });
  return out;
}

}  // namespace halfround::solve
