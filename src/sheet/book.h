// All sheets of a job as files: the one call the terminal and the server make.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "job/job.h"
#include "sheet/on_paper.h"
#include "solve/shop_plan.h"
#include "solve/solve.h"
#include "study/fit_up.h"

namespace halfround::sheet {

struct File {
  std::string name;  ///< "fork-drawing.pdf"
  std::string bytes;
  std::string what;  ///< "fork drawing, one large sheet 594 x 841 mm"
};

/// A sheet before it becomes files.
struct Drawn {
  Sheet sheet;
  std::string what;         ///< "check: will it clear, hold and steer, 2 pages"
  bool for_printer = true;  ///< corrected for the desk printer; the large sheet goes to a plotter and is not
  bool svg = true;          ///< also as SVG, a file a page
};

/// Every sheet that make_book writes, as it is drawn before the printer's correction, in that order.
[[nodiscard]] std::vector<Drawn> whole_set(const job::Job& job, const solve::Answer& answer,
                                           const solve::ShopPlan* plan = nullptr);

/// Fork drawing (one large sheet; tiles for the papers asked for), templates, tyre profile, check, summary;
/// PDF and SVG. With a shop's plan also the cards, adapters, cut list, traveller and measuring plan.
///   in     plan  null: no shop is known
///   out    the same bytes for the same job
///   fails  those of to_pdf
[[nodiscard]] base::Result<std::vector<File>> make_book(const job::Job& job, const solve::Answer& answer,
                                                        const solve::ShopPlan* plan = nullptr);

/// What a fit-up found, on the papers asked for.
[[nodiscard]] base::Result<std::vector<File>> fit_up_book(const job::Job& job, const solve::Answer& answer,
                                                          const study::FitUp& found);

}  // namespace halfround::sheet
