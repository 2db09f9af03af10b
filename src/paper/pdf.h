// A sheet as PDF 1.7, drawn 1:1. Frame P is turned into PDF points here (72/25.4 pt a mm) and nowhere else.
#pragma once

#include <string>

#include "base/result.h"
#include "paper/display.h"

namespace halfround::paper {

/// The bytes of a PDF: one page for each page, one layer for each group name (shared by all pages, so that a
/// viewer switches "dimensions" off everywhere), fonts embedded, printing at 100 % asked for.
///   out     the same bytes for the same sheet: no clock, no locale, no order of memory
///   within  1/256 pt (1.4 µm), the grid of the drawing library
///   fails   font-missing, letter-missing: see typeface.h
///           sheet-empty: no pages
///           pdf-failed: the PDF library refused; its own words are given
[[nodiscard]] base::Result<std::string> to_pdf(const Sheet& sheet);

}  // namespace halfround::paper
