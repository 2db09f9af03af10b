#include "sheet/book.h"

#include <fmt/format.h>

#include "base/say.h"
#include "paper/pdf.h"
#include "paper/svg.h"
#include "paper/tile.h"
#include "paper/typeface.h"
#include "sheet/cards.h"
#include "sheet/check_sheet.h"
#include "sheet/fit_up_sheet.h"
#include "sheet/fork_sheet.h"
#include "sheet/shop_sheets.h"
#include "sheet/summary_sheet.h"
#include "sheet/template_sheet.h"
#include "sheet/tyre_sheet.h"

namespace halfround::sheet {

namespace {

using base::Result;

TitleBlock title_of(const job::Job& job, const solve::Answer& answer, const std::string& sheet,
                    bool for_printer = true) {
  TitleBlock t;
  t.job = answer.name, t.sheet = sheet, t.revision = answer.revision;
  const double fx = 100 / job.printer.bar_x.value, fy = 100 / job.printer.bar_y.value;
  if (for_printer && (fx != 1 || fy != 1))
    t.note = base::say("printer corrected: x {:.4f}, y {:.4f}", fx, fy);
  return t;
}

std::vector<std::pair<Paper, std::string>> papers_of(const job::Job& job) {
  std::vector<std::pair<Paper, std::string>> out;
  if (job.sheets.paper != job::Paper::letter) out.emplace_back(Paper::a4, "a4");
  if (job.sheets.paper != job::Paper::a4) out.emplace_back(Paper::letter, "letter");
  return out;
}

/// What the builder wrote and the sheets show, in letters the typeface has.
///   fails  letter-missing with the line, font-missing
Result<void> can_be_set(const job::Job& job) {
  const auto look = [&](const std::string& key, const std::string& text) -> Result<void> {
    auto fine = can_set(text);
    if (fine) return {};
    if (fine.error().code == "letter-missing") fine.error().where = job::place_of(job, key);
    return tl::unexpected(std::move(fine.error()));
  };
  if (auto fine = look("job.name", job.name); !fine) return fine;
  return look("job.note", job.note);
}

/// Stops at the first sheet that can't be drawn.
Result<std::vector<File>> files_of(const job::Job& job, std::vector<Drawn> set) {
  std::vector<File> files;
  for (Drawn& drawn : set) {
    Sheet& sheet = drawn.sheet;
    if (drawn.for_printer) {
      for (Page& p : sheet.pages)
        correct_for_printer(p, 100 / job.printer.bar_x.value, 100 / job.printer.bar_y.value);
    }
    auto pdf = to_pdf(sheet);
    if (!pdf) {
      if (pdf.error().where.file.empty()) pdf.error().where.file = job.file;
      return tl::unexpected(pdf.error());
    }
    files.push_back({sheet.stem + ".pdf", std::move(*pdf), drawn.what});
    if (!drawn.svg) continue;
    for (std::size_t i = 0; i < sheet.pages.size(); ++i) {
      const std::string number = sheet.pages.size() == 1 ? "" : fmt::format("-{}", i + 1);
      files.push_back({sheet.stem + number + ".svg", to_svg(sheet.pages[i]), drawn.what});
    }
  }
  return files;
}

}  // namespace

std::vector<Drawn> whole_set(const job::Job& job, const solve::Answer& answer, const solve::ShopPlan* plan) {
  const auto title = [&](const std::string& sheet) { return title_of(job, answer, sheet); };
  const Page large = fork_page(job, answer, title_of(job, answer, "fork drawing", false));
  std::vector<Drawn> set;
  set.push_back(
      {{"fork-drawing", answer.name + ", fork drawing", {large}},
       base::say("fork drawing, full size on one sheet of {:.0f} x {:.0f} mm", large.width, large.height),
       false,
       true});
  for (const auto& [paper, name] : papers_of(job)) {
    const auto put = [&set, &suffix = name](Sheet sheet, const std::string& stem, const std::string& what,
                                            bool svg = true) {
      sheet.stem = stem + "-" + suffix;
      const std::size_t n = sheet.pages.size();
      set.push_back({std::move(sheet), fmt::format("{}, {} page{}", what, n, n == 1 ? "" : "s"), true, svg});
    };
    put(tile(large, paper, title("fork drawing")), "fork-drawing",
        "fork drawing, full size to glue, with a map", false);
    if (Sheet wraps = mitre_templates(job, answer, paper, title("mitre templates")); !wraps.pages.empty())
      put(std::move(wraps), "mitre-templates", "wrap-round templates for every mitred end");
    if (Sheet blocks = block_sheet(answer, paper, title("axle block")); !blocks.pages.empty())
      put(std::move(blocks), "axle-block", "drawing of the axle block to mill");
    put(tyre_template(job, answer, paper, title("tyre profile")), "tyre-profile",
        "folding tyre-profile template to cut from card");
    put(check_sheet(answer, paper, title("check")), "check",
        "check: will it clear, hold and steer; which dimension to hold tight");
    put(summary(job, answer, paper, title("summary")), "summary",
        "summary: asked for and got, warnings, cautions");
    if (!plan) continue;
    put(shop_cards(job, answer, *plan, paper, title("cards")), "cards",
        "cards for the machines, one a step, left beside right");
    if (Sheet turned = adapter_sheet(*plan, paper, title("adapter")); !turned.pages.empty())
      put(std::move(turned), "adapter", "adapters to turn for the fixtures");
    put(cut_list_sheet(answer, *plan, paper, title("cut and shopping list")), "cut-list",
        "cut and shopping list");
    put(traveller_sheet(job, answer, *plan, paper, title("order of work")), "traveller",
        "order of work to tick off, with room for what was measured");
    put(measuring_sheet(job, answer, paper, title("measuring plan")), "measuring-plan",
        "measuring plan for the surface plate");
  }
  return set;
}

Result<std::vector<File>> make_book(const job::Job& job, const solve::Answer& answer,
                                    const solve::ShopPlan* plan) {
  if (const auto fine = can_be_set(job); !fine) return tl::unexpected(fine.error());
  return files_of(job, whole_set(job, answer, plan));
}

Result<std::vector<File>> fit_up_book(const job::Job& job, const solve::Answer& answer,
                                      const study::FitUp& found) {
  std::vector<Drawn> set;
  for (const auto& [paper, name] : papers_of(job))
    set.push_back(
        {fit_up_sheet(found, paper, title_of(job, answer, "fit-up")), "fit-up: where to take off how much"});
  return files_of(job, std::move(set));
}

}  // namespace halfround::sheet
