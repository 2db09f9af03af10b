#include "serve/verdict.h"

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "job/numbers.h"
#include "solve/ask.h"

namespace halfround::serve {

namespace {

/// Is a clearance verdict about this pair?
bool about(const bike::Verdict& v, const study::ClearanceItem& i) {
  return v.at && v.at->member == i.member && v.against == i.body;
}

/// Is the verdict met by the job with another number?
bool met_with(const job::Job& job, const std::string& key, double value, const bike::Verdict& v) {
  job::Job changed = job;
  if (!job::set_number(changed, key, value)) return false;
  const auto answer = solve::laid_out(changed);
  if (!answer) return false;
  const auto clearance = study::clearance(
      answer->fork.assembly, solve::clearance_of(changed, answer->intent, answer->handling.wheel_radius));
  const auto all = study::verdicts(clearance);
  return std::ranges::any_of(all, [&](const bike::Verdict& q) {
    return bike::same_line(q, v) && q.standing() != bike::Standing::not_met;
  });
}

/// More clearance wished for is the way to more clearance, where it can be had: it is tried.
void mend_clearance(const Worked& w, SlipLine& line) {
  constexpr int kTries = 4;  // what is missing, and a little more
  const bike::Verdict& v = *line.verdict;
  const auto item = std::ranges::find_if(w.answer->clearance.items, [&](const study::ClearanceItem& i) {
    return i.body.kind == bike::PartKind::tyre && i.member.kind == bike::PartKind::blade && about(v, i);
  });
  if (item == w.answer->clearance.items.end()) return;
  const char* side = bike::word_of(item->member.side);
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
  const solve::Answer& a = *worked.answer;
  std::vector<SlipLine> out;
  for (const bike::Verdict& v : a.verdicts) {
    SlipLine line{.verdict = &v, .margin = v.margin(), .key = {}, .fits = {}};
    if (!v.against.empty()) mend_clearance(worked, line);
    if (v.fix && !v.fix->key.empty()) line.key = v.fix->key, line.fits = v.fix->value;
    out.push_back(std::move(line));
  }
  return out;
}

}  // namespace halfround::serve
