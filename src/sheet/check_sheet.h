// The check sheet: will it clear, will it hold, will it steer, and which dimension must be held tight: the
// verdicts and the pictures behind them on one page, every line with its note on the next. Frame P, mm.
#pragma once

#include <string>
#include <vector>

#include "bike/assembly.h"
#include "bike/chain.h"
#include "bike/limit.h"
#include "paper/page_furniture.h"
#include "paper/tile.h"
#include "sheet/on_paper.h"
#include "solve/solve.h"
#include "study/clearance.h"
#include "study/handling.h"
#include "study/mitre.h"
#include "study/strength.h"
#include "study/tolerance.h"

namespace halfround::sheet {

/// What the studies answered; a null one did not, and `why_not_...` says so in its place on the page.
struct CheckStudies {
  std::vector<bike::Verdict> verdicts;  ///< of all studies, in the order they shall be told
  const study::Clearance* clearance = nullptr;
  const study::Strength* strength = nullptr;
  std::vector<study::Change> changes;  ///< what_would_it_bring(); may be empty
  const study::ToleranceStudy* tolerance = nullptr;
  std::vector<bike::Dimension> dimensions;  ///< of the tolerance's chain, for their names in words
  const study::Handling* handling = nullptr;
  std::string why_no_clearance, why_no_strength, why_no_tolerance, why_no_handling;
};

/// The measure worth its picture: the likeliest to miss its limit, else the centring, else the first.
[[nodiscard]] const study::MeasureResult* worst_measure(const study::ToleranceStudy& tolerance,
                                                        const std::vector<bike::Verdict>& verdicts = {});

/// One page with verdicts, pictures and the caution, then the full list of verdicts.
///   in   title  `scale` and numbers are set here
[[nodiscard]] Sheet check_sheet(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres,
                                const CheckStudies& studies, Paper paper, const TitleBlock& title);

/// The same of a solved job.
[[nodiscard]] Sheet check_sheet(const solve::Answer& answer, Paper paper, const TitleBlock& title);

}  // namespace halfround::sheet
