#include "serve/verdict.h"

#include <algorithm>
#include <cmath>

#include "base/number.h"

namespace halfround::serve {

namespace {

constexpr double kNear = 0.1;  // a margin below this share of the limit is called near

/// Where a clearance is measured.
std::optional<base::Vec3> tightest(const job::Answer& a, const bike::Verdict& v) {
  for (const study::ClearanceItem& i : a.clearance.items)
    if (v.what.starts_with(i.body + " to " + i.member)) return i.on_member;
  return std::nullopt;
}

/// Where the strength study found its weakest place.
std::optional<base::Vec3> weakest(const job::Answer& a, const bike::Verdict& v) {
  for (const study::CaseResult& c : a.strength.cases) {
    if (!v.what.starts_with(c.load.name)) continue;
    const auto& weak = v.code == "strength-fatigue" ? c.fatigue : c.yield;
    if (weak) return weak->point;
  }
  return std::nullopt;
}

/// More clearance wished for is the way to more clearance.
void mend_clearance(const Worked& w, SlipLine& line) {
  const bike::Verdict& v = *line.verdict;
  const std::string key = "wishes.clearance";
  if (!v.what.starts_with("tyre to blade") || !w.job->lines.contains(key)) return;
  line.key = key;
  if (line.standing != "missed") return;
  for (const job::Wished& wish : w.job->wishes.two) {
    if (wish.what != job::Wish::clearance) continue;
    line.fits = base::shortest(std::ceil((wish.value.value - *line.margin) * 10) / 10);
  }
}

}  // namespace

std::vector<SlipLine> slip_of(const Worked& worked) {
  const job::Answer& a = *worked.answer;
  std::vector<SlipLine> out;
  for (const bike::Verdict& v : a.verdicts) {
    SlipLine line{.verdict = &v, .standing = "unknown", .margin = {}, .place = {}, .key = {}, .fits = {}};
    if (v.value && v.limit && std::isfinite(*v.value)) {
      const double sign = v.limit->bound == bike::Bound::at_least ? 1 : -1;
      line.margin = sign * (*v.value - v.limit->value);
      const bool near = *line.margin < kNear * std::abs(v.limit->value);
      line.standing = v.standing() == bike::Standing::not_met ? "missed" : near ? "near" : "met";
    }
    if (v.study == "clearance") {
      line.place = tightest(a, v);
      mend_clearance(worked, line);
    } else if (v.study == "strength") {
      line.place = weakest(a, v);
    }
    out.push_back(std::move(line));
  }
  return out;
}

}  // namespace halfround::serve
