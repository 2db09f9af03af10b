#include "shop/scribe.h"

#include <fmt/format.h>

#include <cmath>

#include "base/number.h"

namespace halfround::shop {

namespace {

using base::format_number;

struct From {
  std::string end;  // "upper end"
  const shape::Tape& tape;
};

std::vector<From> both_ends(const study::Mitre& m) {
  const bool upper = m.end == bike::End::end;
  return {{upper ? "upper end" : "lower end", m.scribe_from_end},
          {upper ? "lower end" : "upper end", m.scribe_from_other}};
}

int clock(double u) {
  return static_cast<int>(std::lround(base::to_deg(u))) % 360;
}

}  // namespace

std::vector<ScribeReading> scribe_readings(const study::Mitre& m) {
  std::vector<ScribeReading> out;
  for (const auto& [end, tape] : both_ends(m)) {
    const std::string from = "from the " + end + " of the stock";
    out.push_back({from, "on the middle line", tape.centre});
    if (!tape.bent) continue;
    const int outside = clock(tape.clock_outside);
    out.push_back({from, fmt::format("on the outside of the bend (clock {}°)", outside), tape.outside});
    out.push_back({from, fmt::format("on its inside (clock {}°)", (outside + 180) % 360), tape.inside});
  }
  return out;
}

std::string scribe_place(const study::Mitre& m) {
  const auto ends = both_ends(m);
  return fmt::format("{} mm from the {} and {} mm from the {} of the stock, on the middle line",
                     format_number(ends[0].tape.centre, 1), ends[0].end,
                     format_number(ends[1].tape.centre, 1), ends[1].end);
}

std::string scribe_on_skin(const study::Mitre& m) {
  std::string out;
  for (const auto& [end, tape] : both_ends(m)) {
    if (!tape.bent) continue;
    out += fmt::format("{}From the {} {} mm on the outside of the bend (clock {}°) and {} mm on its inside.",
                       out.empty() ? "" : " ", end, format_number(tape.outside, 1), clock(tape.clock_outside),
                       format_number(tape.inside, 1));
  }
  return out;
}

}  // namespace halfround::shop
