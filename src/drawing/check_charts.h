// The charts of the check sheet: how steady the bicycle is over speed, how a measure scatters and which
// dimension is to blame. Frame P, mm; each draws inside the box it is given, titles and figures included.
#pragma once

#include <string>
#include <vector>

#include "drawing/on_paper.h"
#include "study/handling.h"
#include "study/tolerance.h"

namespace halfround::drawing {

/// Real parts of the eigenvalues over speed (heavy: the weave; medium: what goes without swinging; thin: the
/// castering, cut off below), the weave's swinging as its imaginary part (dashed), and the speeds between
/// which all of them die out as a band named in km/h and m/s. Below the line 0: dies out.
[[nodiscard]] Group stability_plot(const study::Handling& handling, const Box& box);

/// Columns of the draws with the limits (chain lines), what was asked for, and the 5th, 50th and 95th
/// percentile; what lies outside the limits is hatched.
[[nodiscard]] Group tolerance_histogram(const study::MeasureResult& measure, const Box& box);
/// The same in one sentence, with the chance of missing the limit.
[[nodiscard]] std::string scatter_in_words(const study::MeasureResult& measure, std::uint64_t draws);

/// What each dimension has of the measure's scatter, greatest first, as many as the box holds, at 5 mm each;
/// figures: the share, the plus-minus.
///   in   names  of the dimensions in words, by their keys; a key without one is shown as it is
[[nodiscard]] Group tolerance_ranking(const study::MeasureResult& measure,
                                      const std::vector<bike::Dimension>& dimensions, const Box& box);

}  // namespace halfround::drawing
