// A table whose long cells are broken into lines instead of cut: for words of others (sources, reasons).
// Frame P, mm.
#pragma once

#include <vector>

#include "paper/text_block.h"

namespace halfround::paper {

/// Heights of the rows, mm, without the head. `what.row` is the height of a row of one line; further lines
/// stand 1.5 cap heights apart. A cell of more than `most` lines ends with an ellipsis.
[[nodiscard]] std::vector<double> row_heights(const Table& what, std::size_t most = 100);

/// Head, line, rows, line, as table(); the head's letters are as high as the others.
[[nodiscard]] Block wrapped_table(const Vec2& top_left, const Table& what, std::size_t most = 100);

}  // namespace halfround::paper
