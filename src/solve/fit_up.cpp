#include "solve/fit_up.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfround::solve {

using base::Problem;

base::Result<FitUpAnswer> fit_up(const Answer& a, const job::FitUpReport& report) {
  const auto mitre = std::ranges::find_if(
      a.mitres, [&](const study::Mitre& m) { return m.member == report.member && m.end == report.end; });
  const std::string end = bike::spoken(report.member, report.end);
  if (mitre == a.mitres.end()) {
    return tl::unexpected(Problem{"fit-up-not-mitred",
                                  {"", 0, 0, "end"},
                                  fmt::format("The {} is not mitred.", end),
                                  "Name an end that has a template."});
  }
  auto found = study::fit_up(a.fork.assembly, *mitre, report.readings, report.options);
  if (!found) return tl::unexpected(std::move(found.error()));
  return FitUpAnswer{a.name, fmt::format("{}, onto the {}", end, bike::spoken(mitre->onto)), report,
                     std::move(*found)};
}

}  // namespace halfround::solve
