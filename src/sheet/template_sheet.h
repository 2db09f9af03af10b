// Wrap-round templates: one page for every mitred end, 1:1, with the depths to check them by.
// Frame P; lengths mm, angles in degrees in the words.
#pragma once

#include "drawing/template_drawing.h"
#include "job/job.h"
#include "paper/page_furniture.h"
#include "paper/tile.h"
#include "sheet/on_paper.h"
#include "solve/solve.h"

namespace halfround::sheet {

/// What one template says.
[[nodiscard]] drawing::TemplateWords template_words(const job::Job& job, const solve::Answer& answer,
                                                    const study::Mitre& mitre);

/// One page for each mitre of the answer, in its order, furnished. Where template and table don't fit on the
/// upright paper, the table gets a page of its own and the template one turned on its side, or a larger one
/// if it must.
///   in   title  `sheet` is completed with the member's end; numbers are set here
///   out  not corrected for the printer (correct_for_printer): the cut's points lie exactly as the study has
///   them
[[nodiscard]] Sheet mitre_templates(const job::Job& job, const solve::Answer& answer, Paper paper,
                                    const TitleBlock& title);

}  // namespace halfround::sheet
