// What was understood of a traced curve, to look at before it is believed: the points of the file, the
// smoothed curve, the points that go into the job.
#pragma once

#include "paper/page_furniture.h"
#include "sheet/on_paper.h"
#include "trace/shapes.h"

namespace halfround::sheet {

/// One A4 page, 1:1 where it fits, else at a scale it names.
[[nodiscard]] Sheet import_sheet(const trace::Understood& what, const TitleBlock& title);

}  // namespace halfround::sheet
