#include "speak/fit_up_text.h"

#include <fmt/format.h>

#include "base/number.h"

namespace halfround::speak {

using base::format_number;
using base::to_deg;

namespace {

std::string estimate(const study::Estimate& e, bool angle) {
  const auto shown = [&](double v) {
    return angle ? format_number(to_deg(v), 2) + "°" : format_number(v, 2) + " mm";
  };
  return e.sd ? fmt::format("{} ± {}", shown(e.value), shown(2 * *e.sd))
              : std::string("these positions don't tell");
}

}  // namespace

std::string fit_up_text(const solve::FitUpAnswer& a) {
  const study::FitUp& f = a.found;
  std::string out = fmt::format("{}: fit-up of the {}\n\n", a.job, a.title);
  out += fmt::format("  angle, in the plane of both axes      {}\n", estimate(f.angle, true));
  out += fmt::format("  angle, square to that plane           {}\n", estimate(f.side, true));
  out += fmt::format("  height                                {}\n", estimate(f.height, false));
  out += fmt::format("  lean in all                           {}°, highest at {}° of the clock\n",
                     format_number(to_deg(f.lean), 2), format_number(to_deg(f.u_high), 0));
  out += fmt::format("  what remains (rms)                    {} mm over {} readings\n",
                     format_number(f.rms, 3), f.residuals.size());
  out += "  after ±: twice the standard deviation\n\n";
  out += fmt::format("Take off along the {}, then it comes {} mm nearer\n", bike::spoken(f.member),
                     format_number(f.advance, 2));
  out += "    clock    gap    take off    gap left\n";
  for (const study::TakeOff& t : f.table) {
    out += fmt::format("    {:>4}°", format_number(to_deg(t.u), 0));
    if (!t.met) {
      out += "    passes beside\n";
      continue;
    }
    out += fmt::format("  {:>6}  {:>8}    {:>8}", format_number(t.gap, 2), format_number(t.take_off, 2),
                       format_number(t.left, 2));
    out += t.no_touch ? "   leave alone" : "";
    out += t.grazing ? "   file level with its neighbours" : "";
    out += "\n";
  }
  out += fmt::format("\nThe greatest gap that stays: {} mm.\n", format_number(f.worst_left, 2));
  for (const std::string& n : f.notes) out += "- " + n + "\n";
  return out;
}

}  // namespace halfround::speak
