// The tables of the summary sheet, each from one part of the answer.
#pragma once

#include "job/job.h"
#include "paper/text_block.h"
#include "sheet/on_paper.h"
#include "solve/solve.h"

namespace halfround::sheet {

/// Head angle, offset, axle to crown, hub, axle, tyre and the two wishes: as typed, asked, got, difference,
/// inches.
[[nodiscard]] Table asked_and_got(const job::Job& job, const solve::Answer& answer);
/// The named shares of the offset and their sum, mm.
[[nodiscard]] Table shares_table(const solve::Answer& answer);
/// Splay, trims, angles, lengths, left and right.
[[nodiscard]] Table blade_table(const solve::Answer& answer);
/// Trail and what else follows from the steering geometry.
[[nodiscard]] Table steering_table(const solve::Answer& answer);
/// What to cut, in the order of the work, with the scribe lines' distances, mm.
[[nodiscard]] Table cut_list(const solve::Answer& answer);

}  // namespace halfround::sheet
