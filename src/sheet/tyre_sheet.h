// A tyre profile to cut from card, folded in the wheel's middle plane so that both halves come out alike.
// Frame P; the wheel's radius runs up the page. Lengths mm.
#pragma once

#include "job/job.h"
#include "paper/page_furniture.h"
#include "paper/tile.h"
#include "sheet/on_paper.h"
#include "solve/solve.h"

namespace halfround::sheet {

/// One page: a card that fits over the tyre (does the tyre measure what the job says?) and one as large as
/// the tyre with its air (does it pass between the blades?). Assumed sizes are italic.
///   in   title  numbers are set here
///   out  not corrected for the printer (correct_for_printer)
[[nodiscard]] Sheet tyre_template(const job::Job& job, const solve::Answer& answer, Paper paper,
                                  const TitleBlock& title);

}  // namespace halfround::sheet
