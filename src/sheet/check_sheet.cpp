#include "sheet/check_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "drawing/check_charts.h"
#include "drawing/stress_picture.h"
#include "paper/typeface.h"
#include "paper/wrapped_table.h"
#include "sheet/check_tables.h"
#include "sheet/clearance_picture.h"

namespace halfround::sheet {
namespace {

constexpr double kLetters = 2.5, kGap = 3;
// heights of the three rows of pictures, their headings included, mm
constexpr double kPlacesRow = 50, kScatterRow = 48, kSteerRow = 44, kWithoutSteer = 31;

Group words_group(const std::string& name, const std::string& label, Items items = {}) {
  return {.name = name, .label = label, .items = std::move(items), .clip = {}};
}

/// A heading over the box; what is left below it. Without a study the reason stands there.
class Frame {
 public:
  Frame(Page& page, const Box& box, const std::string& title, const std::string& why_not) : page_(page) {
    Block head = heading({box.min.x(), box.max.y()}, box.width(), title);
    Group g = words_group("headings", title, std::move(head.items));
    inside_ = {box.min, {box.max.x(), head.bottom - 1.2}};
    if (!why_not.empty())
      add(g, paragraph({box.min.x(), inside_.max.y() - 1}, box.width(), why_not,
                       {.height = kLetters, .italic = true})
                 .items);
    page_.groups.push_back(std::move(g));
  }
  [[nodiscard]] const Box& inside() const { return inside_; }
  void put(Group g) { page_.groups.push_back(std::move(g)); }

 private:
  Page& page_;
  Box inside_;
};

std::string reason(bool there, const std::string& why) {
  if (there) return "";
  return why.empty() ? "Not computed for this job." : why;
}

Box part(const Box& row, double from, double to) {
  return {{row.min.x() + from * row.width(), row.min.y()}, {row.min.x() + to * row.width(), row.max.y()}};
}

void put_strength(Page& page, const Box& box, const bike::Assembly& assembly,
                  const std::vector<study::Mitre>& mitres, const CheckStudies& s) {
  const bool there = s.strength && s.strength->unknown.empty();
  const std::string why = s.strength && !there ? "Not known: " + s.strength->unknown : s.why_no_strength;
  Frame frame(page, box, "Will it hold?", reason(there, why));
  if (there) frame.put(drawing::stress_picture(assembly, mitres, *s.strength, frame.inside()));
}

void put_clearance(Page& page, const Box& box, const bike::Assembly& assembly, const CheckStudies& s) {
  const bool there = s.clearance && !s.clearance->items.empty();
  Frame frame(page, box, "Will it clear?", reason(there, s.why_no_clearance));
  if (there) frame.put(clearance_picture(assembly, *s.clearance, frame.inside()));
}

void put_tolerance(Page& page, const Box& box, const CheckStudies& s) {
  const study::MeasureResult* m = s.tolerance ? worst_measure(*s.tolerance, s.verdicts) : nullptr;
  Frame frame(page, box, "What must be held tight?", reason(m != nullptr, s.why_no_tolerance));
  if (!m) return;
  const Box& in = frame.inside();
  frame.put(drawing::tolerance_histogram(*m, part(in, 0, 0.36)));
  // words under the ranking
  std::string words = drawing::scatter_in_words(*m, s.tolerance->draws);
  std::string advice = study::advice(*m, s.dimensions);
  if (const std::string of = m->name + ": "; advice.rfind(of, 0) == 0) advice.erase(0, of.size());
  if (!advice.empty()) {
    advice[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(advice[0])));
    words += " " + advice;
  }
  Box right = part(in, 0.39, 1);
  const TextStyle style{.height = kLetters, .leading = 1.5};
  const double high = -paragraph({0, 0}, right.width(), words, style).bottom;
  right.min.y() += high;
  frame.put(words_group("advice", "what to hold tighter",
                        paragraph({right.min.x(), right.min.y() - 0.4}, right.width(), words, style).items));
  right.min.y() += 1.5;
  frame.put(drawing::tolerance_ranking(*m, s.dimensions, right));
}

void put_handling(Page& page, const Box& box, const CheckStudies& s) {
  Frame frame(page, box, "Will it steer?", reason(s.handling != nullptr, s.why_no_handling));
  if (s.handling) frame.put(drawing::stability_plot(*s.handling, frame.inside()));
}

void put_changes(Page& page, const Box& box, const CheckStudies& s) {
  Frame frame(page, box, "What would it bring?", reason(!s.changes.empty(), s.why_no_strength));
  if (s.changes.empty()) return;
  Table table = change_table(s.changes, box.width());
  // as many rows as the box holds
  double room = frame.inside().height() - table.row;
  std::size_t rows = 0;
  for (const double h : row_heights(table)) {
    if (h > room) break;
    room -= h, ++rows;
  }
  table.rows.resize(rows);
  frame.put(words_group("changes", "what a change would bring",
                        wrapped_table({box.min.x(), frame.inside().max.y()}, table).items));
}

/// The one-line verdict, the caution, and as many rows as there is room for; says how many are left out.
void put_verdicts(Page& page, const Box& box, const CheckStudies& s) {
  Block block = paragraph({box.min.x(), box.max.y()}, box.width(),
                          "Check: " + bike::in_words(bike::tally_of(s.verdicts)) + ".",
                          {.height = 3.5, .leading = 1.5, .bold = true});
  add_to(block, paragraph({box.min.x(), block.bottom - 0.6}, box.width(), study::kStrengthCaution,
                          {.height = kLetters, .leading = 1.5}));
  constexpr std::size_t kLines = 2;
  const Table all = verdict_table(s.verdicts, box.width(), false);
  const double more = 1.6 * kLetters, room = block.bottom - box.min.y() - all.row - more - 1;
  const std::vector<bike::Verdict> told = told_first(s.verdicts, row_heights(all, kLines), room);
  if (!told.empty())
    add_to(block,
           wrapped_table({box.min.x(), block.bottom - 0.4}, verdict_table(told, box.width(), false), kLines));
  const std::size_t left_out = s.verdicts.size() - told.size();
  if (left_out > 0)
    add_to(block,
           paragraph({box.min.x(), block.bottom - 0.8}, box.width(),
                     fmt::format("{} more on the next page, where every line has its reason.", left_out),
                     {.height = kLetters}));
  page.groups.push_back(words_group("verdicts", "verdicts", std::move(block.items)));
}

/// Every verdict with its note, and what another offset does, on as many pages as it takes.
void put_list(Sheet& sheet, const Box& box, const Vec2& size, const CheckStudies& s) {
  const Table all = verdict_table(s.verdicts, box.width(), true);
  const std::vector<double> heights = row_heights(all);
  std::size_t next = 0;
  double y = 0;
  const auto turn = [&](const std::string& title) {
    sheet.pages.push_back({.width = size.x(), .height = size.y(), .name = "all verdicts", .groups = {}});
    Block head = heading({box.min.x(), box.max.y()}, box.width(), title);
    y = head.bottom - 1;
    sheet.pages.back().groups.push_back(words_group("headings", title, std::move(head.items)));
  };
  while (next < all.rows.size()) {
    turn("Every verdict with its reason");
    Table some = all;
    some.rows.clear();
    double room = y - box.min.y() - all.row;
    do {
      room -= heights[next];
      some.rows.push_back(all.rows[next++]);
    } while (next < all.rows.size() && heights[next] <= room);
    Block block = wrapped_table({box.min.x(), y}, some);
    y = block.bottom - kGap;
    sheet.pages.back().groups.push_back(words_group("verdicts", "verdicts", std::move(block.items)));
  }
  if (!s.handling) return;
  const Table offsets = offset_table(*s.handling);
  if (sheet.pages.size() < 2 || y - 5 - 6 * offsets.row < box.min.y())
    turn("What another offset does");
  else {
    Block head = heading({box.min.x(), y}, box.width(), "What another offset does");
    y = head.bottom - 1;
    sheet.pages.back().groups.push_back(words_group("headings", "other offsets", std::move(head.items)));
  }
  sheet.pages.back().groups.push_back(
      words_group("offsets", "other offsets", wrapped_table({box.min.x(), y}, offsets).items));
}

}  // namespace

const study::MeasureResult* worst_measure(const study::ToleranceStudy& tolerance,
                                          const std::vector<bike::Verdict>& verdicts) {
  const study::MeasureResult* out = nullptr;
  constexpr double kNever = 1e-3;
  // what is cold set afterwards is judged by what is left then
  const auto chance_of = [&](const study::MeasureResult& m) {
    const auto v = std::ranges::find(verdicts, "tolerance-" + m.key, &bike::Verdict::code);
    const double chance = v != verdicts.end() && v->value ? *v->value / 100 : m.below + m.above;
    return chance < kNever ? 0 : chance;
  };
  for (const study::MeasureResult& m : tolerance.measures) {
    if (!out) out = &m;
    const double chance = chance_of(m), best = chance_of(*out);
    if (chance > best || (chance == best && m.key == "centring")) out = &m;
  }
  return out;
}

Sheet check_sheet(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres,
                  const CheckStudies& studies, Paper paper, const TitleBlock& title) {
  Sheet sheet{.stem = paper == Paper::a4 ? "check-a4" : "check-letter",
              .title = title.job + ", check sheet",
              .pages = {}};
  const Vec2 size = size_of(paper);
  Box box = content_box(size.x(), size.y());
  box.min += Vec2(1, 1), box.max -= Vec2(1, 1);
  Page page{.width = size.x(), .height = size.y(), .name = "check sheet", .groups = {}};
  double y = box.min.y();
  const auto row = [&](double height) {
    const Box out{{box.min.x(), y}, {box.max.x(), y + height}};
    y += height + kGap;
    return out;
  };
  const Box steer = row(studies.handling ? kSteerRow : kWithoutSteer), scatter = row(kScatterRow),
            places = row(kPlacesRow);
  put_verdicts(page, {{box.min.x(), y}, box.max}, studies);
  put_strength(page, part(places, 0, 0.62), assembly, mitres, studies);
  put_clearance(page, part(places, 0.66, 1), assembly, studies);
  put_tolerance(page, scatter, studies);
  put_handling(page, part(steer, 0, studies.handling ? 0.47 : 0.3), studies);
  put_changes(page, part(steer, studies.handling ? 0.5 : 0.34, 1), studies);
  sheet.pages.push_back(std::move(page));
  put_list(sheet, box, size, studies);
  int number = 0;
  for (Page& p : sheet.pages) {
    TitleBlock block = title;
    if (block.sheet.empty()) block.sheet = "check sheet";
    block.scale = "not to scale";
    block.number = ++number, block.of = static_cast<int>(sheet.pages.size());
    furnish(p, block);
  }
  return sheet;
}

Sheet check_sheet(const solve::Answer& a, Paper paper, const TitleBlock& title) {
  const CheckStudies studies{.verdicts = a.verdicts,
                             .clearance = &a.clearance,
                             .strength = &a.strength,
                             .changes = a.changes,
                             .tolerance = a.tolerance ? &*a.tolerance : nullptr,
                             .dimensions = a.chain.dimensions,
                             .handling = a.bicycle ? &*a.bicycle : nullptr,
                             .why_no_clearance = "",
                             .why_no_strength = "",
                             .why_no_tolerance = "",
                             .why_no_handling =
                                 "The job has no [bicycle] section: masses and wheelbase are "
                                 "needed to say at which speeds it holds itself up."};
  return check_sheet(a.fork.assembly, a.mitres, studies, paper, title);
}

}  // namespace halfround::sheet
