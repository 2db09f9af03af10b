#include "speak/read_back_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "base/number.h"

namespace halfround::speak {

std::string read_back_text(const solve::ReadBack& found) {
  const auto mm = [](double v) { return base::format_number(std::abs(v) < 0.005 ? 0.0 : v, 2) + " mm"; };
  std::string out = fmt::format("{:<34}{:>12}{:>12}\n", "", "measured", "once set");
  const auto row = [&](const char* what, double now, double then) {
    // a minus sign is three bytes and one letter wide
    const auto padded = [&](const std::string& t) {
      const int extra = t.starts_with(base::kMinus) ? 2 : 0;
      return std::string(static_cast<std::size_t>(std::max(0, 12 + extra - static_cast<int>(t.size()))),
                         ' ') +
             t;
    };
    out += fmt::format("{:<34}{}{}\n", what, padded(mm(now)), padded(mm(then)));
  };
  const solve::TrueStand &n = found.now, &t = found.then;
  row("wheel off the middle, + to the left", n.centring, t.centring);
  row("left end above the right one", n.height, t.height);
  row("left end ahead of the right one", n.lead, t.lead);
  row("between the faces", n.spacing, t.spacing);
  row("offset", n.offset, t.offset);
  row("axle to crown, straight", n.axle_to_crown, t.axle_to_crown);
  out += "\n";
  if (found.settings.empty()) out += "Nothing to cold set.\n";
  if (!found.settings.empty()) out += found.caution + "\n";
  int i = 0;
  for (const solve::ColdSetting& s : found.settings)
    out +=
        fmt::format("  {}. {} {} by {} at the fork end, until {}\n", ++i, s.blade, s.way, mm(s.by), s.until);
  for (const std::string& left : found.remains) out += left + "\n";
  return out;
}

std::string read_back_json(const solve::ReadBack& found) {
  using Json = nlohmann::ordered_json;
  const auto stand = [](const solve::TrueStand& s) {
    return Json{{"centring", s.centring}, {"height", s.height}, {"lead", s.lead},
                {"spacing", s.spacing},   {"offset", s.offset}, {"axle_to_crown", s.axle_to_crown}};
  };
  Json j{{"halfround", 1}, {"now", stand(found.now)}, {"then", stand(found.then)}};
  j["settings"] = Json::array();
  for (const solve::ColdSetting& s : found.settings)
    j["settings"].push_back({{"blade", s.blade}, {"way", s.way}, {"by", s.by}, {"until", s.until}});
  j["remains"] = found.remains, j["caution"] = found.caution;
  return j.dump(2) + "\n";
}

}  // namespace halfround::speak
