// A fit-up as the builder reports it: a small file, or words on the command line. Frame: none. docs/fit-up.md
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "bike/part.h"
#include "study/fit_up.h"

namespace halfround::job {

/// What was read off one end with feeler gauges.
struct FitUpReport {
  bike::Part member;
  bike::End end = bike::End::end;
  std::vector<study::GapReading> readings;
  study::FitUpOptions options;
};

/// Reads a report:
///   end = "left blade, upper end"
///   touch = [30, "210 deg"]        gaps = [[90, 0.15], [270, 0.3]]
///   no_touch = [0]    allowed = 0.1    feeler = 0.05
///   fails  all problems of the file together, each with its line
[[nodiscard]] base::Result<FitUpReport, base::Problems> read_fit_up(std::string_view text,
                                                                    const std::string& file);

/// The same as words: end as above, clock angles apart by blanks, gaps as "90=0.15 270=0.3".
struct FitUpWords {
  std::string end, touch, gaps, no_touch, allowed, feeler;
};
[[nodiscard]] base::Result<FitUpReport, base::Problems> fit_up_of(const FitUpWords& words);

/// "left blade, upper end" to the member's name and end.
///   fails  fit-up-end: no such end
[[nodiscard]] base::Result<std::pair<bike::Part, bike::End>> end_of(std::string_view words);

}  // namespace halfround::job
