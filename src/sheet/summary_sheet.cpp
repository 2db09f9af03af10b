#include "sheet/summary_sheet.h"

#include <algorithm>
#include <cmath>

#include "drawing/view.h"
#include "paper/clip.h"
#include "paper/typeface.h"
#include "sheet/summary_tables.h"
#include "solve/notes.h"

namespace halfround::sheet {
namespace {

constexpr double kGap = 3.0;  // mm between parts

/// Sets blocks down a page and goes on to the next page when one does not fit.
class Writer {
 public:
  Writer(Paper paper, Sheet& sheet)
      : size_(size_of(paper)), box_(content_box(size_.x(), size_.y())), sheet_(sheet) {
    box_.min.x() += 1, box_.max.x() -= 1, box_.max.y() -= 1;
    turn();
  }
  [[nodiscard]] double left() const { return box_.min.x(); }
  [[nodiscard]] double width() const { return box_.width(); }
  [[nodiscard]] double height() const { return box_.height(); }
  [[nodiscard]] double y() const { return y_; }
  void down_to(double y) { y_ = y; }
  void skip(double by) { y_ -= by; }

  void draw(Items items) { add(sheet_.pages.back().groups.back(), std::move(items)); }
  void draw(const Block& block) { draw(block.items); }
  /// Starts a layer for what follows.
  void group(const std::string& name, const std::string& label) {
    sheet_.pages.back().groups.push_back({.name = name, .label = label, .items = {}, .clip = {}});
  }
  /// `make` sets a block at a place; it is set again on the next page if it reaches below this one.
  template <class Make>
  void flow(const Make& make) {
    Block block = make(Vec2(left(), y_));
    if (block.bottom < box_.min.y()) {
      turn();
      block = make(Vec2(left(), y_));
    }
    draw(block);
    y_ = block.bottom;
  }

 private:
  void turn() {
    const std::string number =
        sheet_.pages.empty() ? "" : ", page " + std::to_string(sheet_.pages.size() + 1);
    sheet_.pages.push_back(
        {.width = size_.x(), .height = size_.y(), .name = "summary" + number, .groups = {}});
    group("notes", "summary");
    y_ = box_.max.y();
  }
  Vec2 size_;
  Box box_;
  Sheet& sheet_;
  double y_ = 0;
};

/// The fork from ahead, small, inside a box.
Items pictogram(const solve::Answer& a, const Box& box) {
  const drawing::View view{{0, 1, 0}, {0, 0, 1}, {1, 0, 0}};
  Items out;
  Path tyre{.points = drawing::hull(a.fork.assembly.tyre, view),
            .closed = true,
            .stroke = {Weight::thin, Dash::solid, Ink::faint}};
  out.emplace_back(tyre);
  const auto parts = drawing::trimmed(a.fork.assembly, a.mitres);
  for (const drawing::Trimmed& part : parts)
    for (const drawing::Side& side : drawing::sides(part, view, parts))
      if (!side.hidden) out.emplace_back(Path{.points = side.points, .stroke = {Weight::medium}});
  // only the upper part of the wheel matters
  const Vec2 axle = view(a.fork.assembly.axle);
  const Box keep{{-200, axle.y() - 40}, {200, 240}};
  Items cut;
  for (const Item& item : out)
    for (Item& piece : clipped(item, keep)) cut.push_back(std::move(piece));
  cut.emplace_back(line({0, axle.y() - 40}, {0, 200}, {Weight::thin, Dash::chain, Ink::graphite}));
  const Box ink = *bounds_of(cut);
  const double scale = std::min(box.width() / ink.width(), box.height() / ink.height());
  for (Item& item : cut)
    if (auto* path = std::get_if<Path>(&item))
      for (Vec2& p : path->points) p = box.centre() + scale * (p - ink.centre());
  return cut;
}

Block titled(const Vec2& at, double width, const std::string& title, const Table& what) {
  Block out = heading(at, width, title);
  Block body = table({at.x(), out.bottom}, what);
  add_to(out, std::move(body));
  return out;
}

/// Tables side by side under their headings.
void row_of_tables(Writer& writer, const std::vector<std::pair<std::string, Table>>& tables) {
  double sum = 0;
  for (const auto& [title, what] : tables) sum += width_of(what);
  const double gap = tables.size() > 1 ? (writer.width() - sum) / static_cast<double>(tables.size() - 1) : 0;
  writer.flow([&](const Vec2& at) {
    Block out;
    out.bottom = at.y();
    double x = at.x();
    for (const auto& [title, what] : tables) {
      Block one = titled({x, at.y()}, width_of(what), title, what);
      const double low = std::min(out.bottom, one.bottom);
      add_to(out, std::move(one));
      out.bottom = low;
      x += width_of(what) + gap;
    }
    return out;
  });
}

/// A heading and its points: kept together on one page where a page can hold them, else point by point.
void section(Writer& writer, const std::string& title, const std::vector<std::string>& points,
             const TextStyle& style, bool first_bold) {
  if (points.empty()) return;
  const auto set = [&](const Vec2& at, std::size_t from, std::size_t to) {
    Block out;
    out.bottom = at.y();
    if (from == 0) out = heading(at, writer.width(), title);
    for (std::size_t i = from; i < to; ++i) {
      TextStyle own = style;
      own.bold = first_bold && i == 0;
      add_to(out, marked_paragraph({at.x(), out.bottom - 0.9}, writer.width(), "–", 3.5, points[i], own));
    }
    return out;
  };
  const double height = -set({0, 0}, 0, points.size()).bottom;
  if (height <= writer.height()) {
    writer.flow([&](const Vec2& at) { return set(at, 0, points.size()); });
  } else {
    for (std::size_t i = 0; i < points.size(); ++i)
      writer.flow([&](const Vec2& at) { return set(at, i, i + 1); });
  }
  writer.skip(kGap);
}

/// What is said of the left blade and again, word for word, of the right one is said of both.
std::vector<std::string> said_once(const std::vector<std::string>& points) {
  const std::string left = "left blade", right = "right blade", both = "both blades";
  std::vector<std::string> out;
  for (const std::string& point : points) {
    const bool of_right = point.rfind(right, 0) == 0;
    const auto twin =
        of_right ? std::find(out.begin(), out.end(), left + point.substr(right.size())) : out.end();
    if (twin == out.end())
      out.push_back(point);
    else
      *twin = both + point.substr(right.size());
  }
  return out;
}

void notes_of_kind(Writer& writer, const solve::Answer& a, solve::Note::Kind kind, const std::string& title) {
  std::vector<std::string> points;
  for (const solve::Note& note : a.notes)
    if (note.kind == kind) points.push_back(note.what);
  const bool warning = kind == solve::Note::Kind::warning, assumed = kind == solve::Note::Kind::assumed;
  section(writer, title, said_once(points),
          {.height = 2.0, .leading = 1.6, .ink = warning ? Ink::warning : Ink::graphite, .italic = assumed},
          false);
}

void opening(Writer& writer, const job::Job& job, const solve::Answer& a) {
  const Table asked = asked_and_got(job, a);
  const double top = writer.y(), words = width_of(asked);
  writer.flow([&](const Vec2& at) {
    return paragraph(at, words, fitted(a.name.empty() ? "fork" : a.name, 7, words, true),
                     {.height = 7, .bold = true});
  });
  if (!job.note.empty()) {
    writer.skip(1.2);
    writer.flow([&](const Vec2& at) { return paragraph(at, words, job.note, {.height = 2.5}); });
  }
  writer.skip(kGap - 1);
  writer.flow([&](const Vec2& at) { return titled(at, words, "Asked for and got, mm", asked); });
  const double x = writer.left() + words + 5;
  writer.group("view", "the fork from ahead, not to scale");
  writer.draw(pictogram(a, {{x, writer.y()}, {writer.left() + writer.width(), top}}));
  writer.group("notes", "summary");
  writer.skip(kGap);
}

}  // namespace

Sheet summary(const job::Job& job, const solve::Answer& answer, Paper paper, const TitleBlock& title) {
  Sheet sheet{.stem = paper == Paper::a4 ? "summary-a4" : "summary-letter",
              .title = answer.name + ", summary",
              .pages = {}};
  Writer writer(paper, sheet);
  opening(writer, job, answer);
  row_of_tables(writer, {{"Blades, mm", blade_table(answer)},
                         {"Offset made up of", shares_table(answer)},
                         {"What follows", steering_table(answer)}});
  writer.skip(kGap);
  row_of_tables(writer, {{"Cut list, in the order of the work, mm along the centreline", cut_list(answer)}});
  writer.skip(kGap);
  notes_of_kind(writer, answer, solve::Note::Kind::warning, "Warnings");
  notes_of_kind(writer, answer, solve::Note::Kind::moved, "What moved");
  notes_of_kind(writer, answer, solve::Note::Kind::assumed, "Assumed");
  section(writer, "Cautions", solve::cautions(), {.height = 2.0, .leading = 1.6}, true);
  int number = 0;
  for (Page& page : sheet.pages) {
    TitleBlock block = title;
    if (block.sheet.empty()) block.sheet = "summary";
    block.scale = "not to scale";
    block.number = ++number, block.of = static_cast<int>(sheet.pages.size());
    furnish(page, block);
  }
  return sheet;
}

}  // namespace halfround::sheet
