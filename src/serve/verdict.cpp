#include "serve/verdict.h"

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "job/ask.h"
#include "job/numbers.h"

namespace halfround::serve {

namespace {

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

/// Is the verdict met by the job with another number?
bool met_with(const job::Job& job, const std::string& key, double value, const bike::Verdict& v) {
  job::Job changed = job;
  if (!job::set_number(changed, key, value)) return false;
  const auto answer = job::laid_out(changed);
  if (!answer) return false;
  const auto clearance = study::clearance(
      answer->fork.assembly, job::clearance_of(changed, answer->intent, answer->handling.wheel_radius));
  const auto all = study::verdicts(clearance);
  return std::ranges::any_of(all, [&](const bike::Verdict& q) {
    return q.code == v.code && q.what == v.what && q.standing() != bike::Standing::not_met;
  });
}

/// More clearance wished for is the way to more clearance, where it can be had: it is tried.
void mend_clearance(const Worked& w, SlipLine& line) {
  constexpr int kTries = 4;  // what is missing, and a little more
  const bike::Verdict& v = *line.verdict;
  if (!v.what.starts_with("tyre to blade")) return;
  const char* side = v.what.find("right") == std::string::npos ? "left" : "right";
  const std::string key = job::said_key(*w.job, std::string("wishes.") + side + ".clearance");
  const auto now = job::number_at(*w.job, key);
  if (!now || !w.job->lines.contains(key)) return;
  line.key = key;
  if (v.standing() != bike::Standing::not_met) return;
  const double typed = base::reachable(*now - *line.margin, base::Fits::from);
  for (int i = 0; i < kTries && line.fits.empty(); ++i) {
    if (met_with(*w.job, key, typed + 0.1 * i, v)) line.fits = base::shortest(typed + 0.1 * i);
  }
}

}  // namespace

std::vector<SlipLine> slip_of(const Worked& worked) {
  const job::Answer& a = *worked.answer;
  std::vector<SlipLine> out;
  for (const bike::Verdict& v : a.verdicts) {
    SlipLine line{.verdict = &v, .margin = v.margin(), .place = {}, .key = {}, .fits = {}};
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
