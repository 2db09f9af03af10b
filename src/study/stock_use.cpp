#include "study/stock_use.h"

#include <algorithm>
#include <cmath>

namespace halfround::study {

StockUse stock_use(const bike::Member& member, const std::vector<Mitre>& mitres) {
  double from = member.s_start, to = member.s_end;
  for (const Mitre& m : mitres) {
    if (m.member != member.part) continue;
    (m.end == bike::End::end ? to : from) = m.end == bike::End::end ? m.s_most : m.s_least;
  }
  // what is missing at an end is refused elsewhere
  from = std::clamp(from, 0.0, member.stock_length), to = std::clamp(to, from, member.stock_length);
  return {member.stock_length, from, to - from, member.stock_length - to};
}

StockUse rounded(const StockUse& use, double step) {
  const auto whole = [step](double v) { return step * std::round(v / step); };
  StockUse out{whole(use.stock), whole(use.off_start), 0, whole(use.off_end)};
  out.used = out.stock - out.off_start - out.off_end;
  return out;
}

}  // namespace halfround::study
