// A tyre profile to cut from card, folded in the wheel's middle plane so that both halves come out alike.
// Frame P; the wheel's radius runs up the page. Lengths mm.
#pragma once

#include "job/job.h"
#include "job/solve.h"
#include "sheet/display.h"
#include "sheet/page_furniture.h"
#include "sheet/tile.h"

namespace halfround::sheet {

/// The tyre's section in the wheel's middle: x to the rider's left from the middle plane, y up from the top
/// of the tread, mm; counter-clockwise from its top.
[[nodiscard]] std::vector<Vec2> tyre_section(const job::Answer& answer);

/// The greatest width of that section, outside: the one that every sheet prints, mm.
[[nodiscard]] double tyre_width(const job::Answer& answer);

/// The section grown by `air` along its normals, the same way round.
[[nodiscard]] std::vector<Vec2> section_with_air(const std::vector<Vec2>& section, double air);

/// One page: a card that fits over the tyre (does the tyre measure what the job says?) and one as large as
/// the tyre with its air (does it pass between the blades?). Assumed sizes are italic.
///   in   title  numbers are set here
///   out  not corrected for the printer (correct_for_printer)
[[nodiscard]] Sheet tyre_template(const job::Job& job, const job::Answer& answer, Paper paper,
                                  const TitleBlock& title);

}  // namespace halfround::sheet
