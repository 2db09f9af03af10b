#include "sheet/book.h"

#include <fmt/format.h>

#include "sheet/cards.h"
#include "sheet/check_sheet.h"
#include "sheet/fit_up_sheet.h"
#include "sheet/fork_sheet.h"
#include "sheet/pdf.h"
#include "sheet/shop_sheets.h"
#include "sheet/summary_sheet.h"
#include "sheet/svg.h"
#include "sheet/template_sheet.h"
#include "sheet/tile.h"
#include "sheet/tyre_sheet.h"

namespace halfround::sheet {

namespace {

using base::Result;

/// Collects files; stops at the first that can't be drawn.
class Book {
 public:
  Book(const job::Job& job, const job::Answer& answer) : job_(job), answer_(answer) {}

  [[nodiscard]] TitleBlock title(const std::string& sheet, bool for_printer) const {
    TitleBlock t;
    t.job = answer_.name, t.sheet = sheet, t.revision = answer_.revision;
    const double fx = 100 / job_.printer.bar_x.value, fy = 100 / job_.printer.bar_y.value;
    if (for_printer && (fx != 1 || fy != 1))
      t.note = fmt::format("printer corrected: x {:.4f}, y {:.4f}", fx, fy);
    return t;
  }

  /// A sheet for the desk printer is corrected for it; the large one goes to a plotter and is not.
  void put(Sheet sheet, const std::string& what, bool for_printer, bool svg) {
    if (!problem_.code.empty()) return;
    if (for_printer) {
      for (Page& p : sheet.pages)
        correct_for_printer(p, 100 / job_.printer.bar_x.value, 100 / job_.printer.bar_y.value);
    }
    auto pdf = to_pdf(sheet);
    if (!pdf) {
      problem_ = pdf.error();
      return;
    }
    files_.push_back({sheet.stem + ".pdf", std::move(*pdf), what});
    if (!svg) return;
    for (std::size_t i = 0; i < sheet.pages.size(); ++i) {
      const std::string number = sheet.pages.size() == 1 ? "" : fmt::format("-{}", i + 1);
      files_.push_back({sheet.stem + number + ".svg", to_svg(sheet.pages[i]), what});
    }
  }

  [[nodiscard]] Result<std::vector<File>> finished() && {
    if (!problem_.code.empty()) return tl::unexpected(problem_);
    return std::move(files_);
  }

 private:
  const job::Job& job_;
  const job::Answer& answer_;
  std::vector<File> files_;
  base::Problem problem_;
};

std::vector<std::pair<Paper, std::string>> papers_of(const job::Job& job) {
  std::vector<std::pair<Paper, std::string>> out;
  if (job.sheets.paper != job::Paper::letter) out.emplace_back(Paper::a4, "a4");
  if (job.sheets.paper != job::Paper::a4) out.emplace_back(Paper::letter, "letter");
  return out;
}

}  // namespace

Result<std::vector<File>> make_book(const job::Job& job, const job::Answer& answer,
                                    const job::ShopPlan* plan) {
  Book book(job, answer);
  const Page large = fork_page(job, answer, book.title("fork drawing", false));
  book.put(
      {"fork-drawing", answer.name + ", fork drawing", {large}},
      fmt::format("fork drawing, full size on one sheet of {:.0f} x {:.0f} mm", large.width, large.height),
      false, true);
  for (const auto& [paper, name] : papers_of(job)) {
    const auto put = [&, &suffix = name](Sheet sheet, const std::string& stem, const std::string& what,
                                         bool svg) {
      sheet.stem = stem + "-" + suffix;
      const std::size_t n = sheet.pages.size();
      book.put(std::move(sheet), fmt::format("{}, {} page{}", what, n, n == 1 ? "" : "s"), true, svg);
    };
    put(tile(large, paper, book.title("fork drawing", true)), "fork-drawing",
        "fork drawing, full size to glue, with a map", false);
    if (Sheet wraps = mitre_templates(job, answer, paper, book.title("mitre templates", true));
        !wraps.pages.empty())
      put(std::move(wraps), "mitre-templates", "wrap-round templates for every mitred end", true);
    if (Sheet blocks = block_sheet(answer, paper, book.title("axle block", true)); !blocks.pages.empty())
      put(std::move(blocks), "axle-block", "drawing of the axle block to mill", true);
    put(tyre_template(job, answer, paper, book.title("tyre profile", true)), "tyre-profile",
        "folding tyre-profile template to cut from card", true);
    put(check_sheet(answer, paper, book.title("check", true)), "check",
        "check: will it clear, hold and steer; which dimension to hold tight", true);
    put(summary(job, answer, paper, book.title("summary", true)), "summary",
        "summary: asked for and got, warnings, cautions", true);
    if (!plan) continue;
    put(shop_cards(job, answer, *plan, paper, book.title("cards", true)), "cards",
        "cards for the machines, one a step, left beside right", true);
    if (Sheet turned = adapter_sheet(*plan, paper, book.title("adapter", true)); !turned.pages.empty())
      put(std::move(turned), "adapter", "adapters to turn for the fixtures", true);
    put(cut_list_sheet(answer, *plan, paper, book.title("cut and shopping list", true)), "cut-list",
        "cut and shopping list", true);
    put(traveller_sheet(job, answer, *plan, paper, book.title("order of work", true)), "traveller",
        "order of work to tick off, with room for what was measured", true);
    put(measuring_sheet(job, answer, paper, book.title("measuring plan", true)), "measuring-plan",
        "measuring plan for the surface plate", true);
  }
  return std::move(book).finished();
}

Result<std::vector<File>> fit_up_book(const job::Job& job, const job::Answer& answer,
                                      const study::FitUp& found) {
  Book book(job, answer);
  for (const auto& [paper, name] : papers_of(job))
    book.put(fit_up_sheet(found, paper, book.title("fit-up", true)), "fit-up: where to take off how much",
             true, true);
  return std::move(book).finished();
}

}  // namespace halfround::sheet
