// What a fit-up found: the clock face with gaps and what to take off, and the filing table. Frame P, mm.
#pragma once

#include "paper/page_furniture.h"
#include "paper/tile.h"
#include "sheet/on_paper.h"
#include "study/fit_up.h"

namespace halfround::sheet {

/// One page (two where the notes are many).
///   in   title  scale and numbers are set here
[[nodiscard]] Sheet fit_up_sheet(const study::FitUp& found, Paper paper, const TitleBlock& title);

}  // namespace halfround::sheet
