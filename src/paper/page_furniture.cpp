#include "paper/page_furniture.h"

#include <fmt/format.h>

#include <cmath>

#include "base/result.h"
#include "paper/draughting.h"
#include "paper/pen.h"
#include "paper/typeface.h"

namespace halfround::paper {
namespace {

constexpr double kBlockWidth = 198;  // strip with square, bar and title: the width inside an A4 border
constexpr double kAir = 2;           // between border and content

Stroke pen(Weight weight) {
  return {.weight = weight};
}

Text words(const Vec2& at, const std::string& text, double height, Ink ink = Ink::graphite,
           bool bold = false) {
  return {.at = at, .text = text, .height = height, .ink = ink, .bold = bold};
}

// the lower strip, as wide as an A4 page allows; at the right on larger paper
Box strip_of(double width) {
  const double right = width - kMargin;
  const double left = std::max(kMargin, right - kBlockWidth);
  return {{left, kMargin}, {right, kMargin + kStrip}};
}

// 50 mm square, its size written inside
void draw_square(Group& check, const Vec2& corner) {
  check.items.emplace_back(rectangle({corner, corner + Vec2(50, 50)}, pen(Weight::thin)));
  Text size = words(corner + Vec2(25, 26), "50 × 50 mm", 2.5);
  size.anchor = Anchor::centre;
  check.items.emplace_back(size);
  size.at.y() -= 4.5;
  size.height = kLeastLetter;
  size.text = "measure both ways";
  check.items.emplace_back(size);
}

// 100 mm bar: end to end exactly 100 mm, ticks every 10 mm, every other field filled like a rule
void draw_bar(Group& check, const Vec2& start) {
  const double tall = 2;
  for (int field = 0; field < 10; field += 2) {
    Path fill =
        rectangle({start + Vec2(10 * field, 0), start + Vec2(10 * field + 10, tall)}, pen(Weight::thin));
    fill.filled = true;
    check.items.emplace_back(std::move(fill));
  }
  check.items.emplace_back(line(start, start + Vec2(100, 0), pen(Weight::thin)));
  check.items.emplace_back(line(start + Vec2(0, tall), start + Vec2(100, tall), pen(Weight::thin)));
  for (int tick = 0; tick <= 10; ++tick) {
    const Vec2 foot = start + Vec2(10 * tick, 0);
    const double reach = tick % 5 == 0 ? 4 : 3;
    check.items.emplace_back(line(foot, foot + Vec2(0, reach), pen(Weight::thin)));
    if (tick % 5 != 0) continue;
    Text figure = words(foot + Vec2(0, 4.8), std::to_string(10 * tick), kLeastLetter);
    figure.anchor = Anchor::centre;
    check.items.emplace_back(figure);
  }
  check.items.emplace_back(words(start + Vec2(0, -4), "100 mm: measure before use", 2.5));
}

// one field: small caption above, value below, shortened to the field's width
void draw_field(Group& frame, const Box& field, const std::string& caption, const std::string& value,
                double height, bool bold = false) {
  frame.items.emplace_back(rectangle(field, pen(Weight::thin)));
  frame.items.emplace_back(
      words({field.min.x() + 1.2, field.max.y() - 3.2}, caption, kLeastLetter, Ink::graphite));
  frame.items.emplace_back(words({field.min.x() + 1.2, field.min.y() + 1.9},
                                 fitted(value, height, field.width() - 2.4, bold), height, Ink::graphite,
                                 bold));
}

void draw_title(Group& frame, const Box& block, const TitleBlock& title) {
  const double row = block.height() / 3, x = block.min.x(), y = block.min.y(), w = block.width();
  const auto field = [&](double from, double to, int up, int rows = 1) {
    return Box{{x + from * w, y + up * row}, {x + to * w, y + (up + rows) * row}};
  };
  draw_field(frame, field(0, 0.62, 2), "job", title.job, 2.5);
  draw_field(frame, field(0.62, 0.82, 2), "revision", title.revision, 2.5);
  draw_field(frame, field(0.82, 1, 2), "made by", title.tool, 2.5);
  draw_field(frame, field(0, 1, 1), "sheet", title.sheet, 3.5, true);
  draw_field(frame, field(0, 0.44, 0), "note", title.note, kLeastLetter);
  draw_field(frame, field(0.44, 0.64, 0), "scale", title.scale, 2.5);
  draw_field(frame, field(0.64, 0.82, 0), "unit", title.unit, 2.5);
  draw_field(frame, field(0.82, 1, 0), "sheet no.", fmt::format("{} of {}", title.number, title.of), 2.5);
  frame.items.emplace_back(rectangle(block, pen(Weight::medium)));
}

void stretch(Box& box, const auto& move) {
  box.min = move(box.min);
  box.max = move(box.max);
}

}  // namespace

Box content_box(double width, double height) {
  base::check(width >= 205 && height >= 90, "a page below 205 x 90 mm can't carry its furniture");
  return {{kMargin + kAir, kMargin + kStrip + kAir}, {width - kMargin - kAir, height - kMargin - kAir}};
}

void furnish(Page& page, const TitleBlock& title) {
  static_cast<void>(content_box(page.width, page.height));
  Group frame{.name = "frame", .label = "border and title block", .items = {}, .clip = {}};
  Group check{.name = "check", .label = "100 mm check bar and 50 mm square", .items = {}, .clip = {}};
  frame.items.emplace_back(
      rectangle({{kMargin, kMargin}, {page.width - kMargin, page.height - kMargin}}, pen(Weight::medium)));
  const Box strip = strip_of(page.width);
  draw_square(check, strip.min + Vec2(2, 2));
  draw_bar(check, {strip.min.x() + 58, strip.max.y() - 10});
  draw_title(frame, {{strip.min.x() + 54, strip.min.y()}, {strip.max.x(), strip.min.y() + 37}}, title);
  page.groups.push_back(std::move(frame));
  page.groups.push_back(std::move(check));
}

bool is_furniture(const Group& group) {
  return group.name == "frame" || group.name == "check";
}

void correct_for_printer(Page& page, double fx, double fy) {
  base::check(fx > 0.5 && fx < 2 && fy > 0.5 && fy < 2, "a printer correction is a factor near 1");
  const Vec2 middle(page.width / 2, page.height / 2);
  const auto move = [&](const Vec2& p) -> Vec2 {
    return middle + Vec2(fx * (p.x() - middle.x()), fy * (p.y() - middle.y()));
  };
  for (Group& group : page.groups) {
    if (group.clip) stretch(*group.clip, move);
    for (Item& item : group.items) {
      if (auto* path = std::get_if<Path>(&item)) {
        for (Vec2& p : path->points) p = move(p);
      } else if (auto* area = std::get_if<Area>(&item)) {
        for (auto& ring : area->rings)
          for (Vec2& p : ring) p = move(p);
      } else if (auto* text = std::get_if<Text>(&item)) {
        text->at = move(text->at);
      }
    }
  }
}

}  // namespace halfround::paper
