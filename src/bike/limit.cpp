#include "bike/limit.h"

#include <cmath>

namespace halfround::bike {

std::optional<double> Verdict::margin() const {
  if (!value || !limit) return std::nullopt;
  const double over = *value - limit->value;
  return limit->bound == Bound::at_least ? over : -over;
}

Standing Verdict::standing() const {
  if (!value || std::isnan(*value)) return Standing::unknown;
  const auto left = margin();
  if (!left) return Standing::no_limit;
  if (*left < 0) return Standing::not_met;
  return *left < kBarely * std::abs(limit->value) ? Standing::barely_met : Standing::met;
}

bool same_line(const Verdict& a, const Verdict& b) {
  const auto part_of = [](const Verdict& v) { return v.at ? v.at->member : Part{}; };
  return a.code == b.code && part_of(a) == part_of(b) && a.against == b.against && a.load == b.load;
}

bool Verdict::stops() const {
  const Standing s = standing();
  return (s == Standing::not_met || s == Standing::unknown) && grade() <= Grade::may_break;
}

Tally tally_of(std::span<const Verdict> verdicts) {
  Tally out;
  for (const Verdict& v : verdicts) {
    const Standing s = v.standing();
    out.not_met += s == Standing::not_met;
    out.unknown += s == Standing::unknown;
    out.barely_met += s == Standing::barely_met;
    out.met += s == Standing::met;
    out.stops_not_met += v.stops() && s == Standing::not_met;
    out.stops_unknown += v.stops() && s == Standing::unknown;
  }
  return out;
}

std::string in_words(const Tally& t) {
  std::string out;
  const auto add = [&](int n, Standing s) {
    if (n == 0) return;
    out += (out.empty() ? "" : ", ") + std::to_string(n) + " " + word_of(s);
  };
  add(t.not_met, Standing::not_met);
  if (t.not_met > 0) add(t.unknown, Standing::unknown);
  add(t.met, Standing::met);
  add(t.barely_met, Standing::barely_met);
  if (t.not_met == 0) add(t.unknown, Standing::unknown);
  return out.empty() ? "nothing checked" : out;
}

}  // namespace halfround::bike
