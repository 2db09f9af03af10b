// The tables of the check sheet: verdicts, what a change would bring, what another offset does.
#pragma once

#include <string>
#include <vector>

#include "bike/limit.h"
#include "paper/text_block.h"
#include "sheet/on_paper.h"
#include "study/handling.h"
#include "study/strength.h"

namespace halfround::sheet {

/// One row a verdict: a mark and the standing in words, what and where, value, limit, margin (how far within
/// the limit; negative: beyond it), source.
///   in   full  with the place and the note after what it says, under the question each answers
[[nodiscard]] Table verdict_table(const std::vector<bike::Verdict>& verdicts, double width, bool full);

/// Which verdicts to tell where there is no room for all, in their own order: first the one of every study
/// that is farthest beyond its limit, or nearest to it, and every one that is not known; then what else is
/// not met, and the rest by how near they are.
///   in   heights  of the rows, mm; room  for them all
[[nodiscard]] std::vector<bike::Verdict> told_first(const std::vector<bike::Verdict>& verdicts,
                                                    const std::vector<double>& heights, double room);

/// Least margins before and after, and grams.
[[nodiscard]] Table change_table(const std::vector<study::Change>& changes, double width);

/// Trail and steady speeds with 5 mm less and 5 mm more offset.
[[nodiscard]] Table offset_table(const study::Handling& handling);

}  // namespace halfround::sheet
