#include "sheet/tyre_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "drawing/tyre_section.h"
#include "paper/clip.h"
#include "paper/draughting.h"
#include "paper/pen.h"
#include "paper/text_block.h"
#include "paper/typeface.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::kPi;

constexpr double kCardRim = 12;  // mm of card round the cut-out
constexpr double kHeadHeight = 27;

/// What both cards are made from.
struct Sizes {
  std::vector<Vec2> section;
  double width = 0, height = 0;                   // outside
  std::size_t widest_left = 0, widest_right = 0;  // indices into section
  double air = 0;
  bool air_wished = false;
  bool assumed = false;
  std::string source;  // "measured", "assumed from 54-559"
};

Sizes sizes_of(const job::Job& job, const solve::Answer& answer) {
  Sizes z;
  z.section = drawing::tyre_section(answer);
  const auto by_x = [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); };
  const auto [left, right] = std::minmax_element(z.section.begin(), z.section.end(), by_x);
  z.widest_left = static_cast<std::size_t>(left - z.section.begin());
  z.widest_right = static_cast<std::size_t>(right - z.section.begin());
  z.width = drawing::tyre_width(answer);
  for (const Vec2& p : z.section) z.height = std::max(z.height, -p.y());
  // what was measured ends at the rim; the rest of the outline only closes it
  if (!job.wheel.half_profile.empty()) z.height = job.wheel.half_profile.back().below_top.value;
  z.air = std::min(answer.fork.left.clearance.value, answer.fork.right.clearance.value);
  for (const job::Wished& wish : job.wishes.two) {
    if (wish.what != job::Wish::clearance) continue;
    z.air = wish.value.value, z.air_wished = true;
  }
  z.assumed = job.wheel.half_profile.empty();
  z.source = z.assumed ? "assumed from " + job.wheel.tyre : "measured";
  return z;
}

/// The upper part of a closed outline, from its widest place at the right over the top to that at the left.
std::vector<Vec2> over_the_top(const std::vector<Vec2>& outline, std::size_t right, std::size_t left) {
  std::vector<Vec2> out;
  const std::size_t n = outline.size();
  for (std::size_t i = right; i != left; i = (i + 1) % n) out.push_back(outline[i]);
  out.push_back(outline[left]);
  return out;
}

/// The outline down to the rim, closed flat there.
Path tyre_path(const Sizes& z, Dash dash) {
  const Box keep{{-1e3, -z.height}, {1e3, 1e3}};
  return {
      .points = clipped_ring(z.section, keep), .closed = true, .stroke = {Weight::thin, dash, Ink::graphite}};
}

Text word(const Vec2& at, const std::string& text, double height, bool bold = false) {
  return {.at = at, .text = text, .height = height, .anchor = Anchor::centre, .bold = bold, .backed = true};
}

void fold_line(Group& group, double x, double low, double high) {
  group.items.emplace_back(line({x, low}, {x, high}, {Weight::thin, Dash::chain, Ink::hand}));
  Text text{.at = {x - 1.2, 0.5 * (low + high)},
            .text = "fold",
            .height = kLeastLetter,
            .turn = kPi / 2,
            .anchor = Anchor::centre,
            .ink = Ink::hand};
  group.items.emplace_back(text);
}

/// Card A: over the tyre. The cut-out follows the tread down to the widest place and goes on straight, so
/// that the card can be pushed on; below, the tyre is only shown.
Group over_card(const Sizes& z) {
  Group group{.name = "gauge", .label = "card that fits over the tyre", .items = {}, .clip = {}};
  const std::vector<Vec2> top = over_the_top(z.section, z.widest_right, z.widest_left);
  const double low = -z.height, half = z.width / 2 + kCardRim, high = kCardRim;
  std::vector<Vec2> card{{half, low},       {half, high - 5}, {half - 5, high},     {5 - half, high},
                         {-half, high - 5}, {-half, low},     {top.back().x(), low}};
  card.insert(card.end(), top.rbegin(), top.rend());
  card.emplace_back(top.front().x(), low);
  group.items.emplace_back(Area{.rings = {card}, .fill = Area::Fill::tone, .tone = 0.05});
  group.items.emplace_back(tyre_path(z, Dash::solid));
  group.items.emplace_back(Path{.points = card, .closed = true, .stroke = {Weight::thick}});
  fold_line(group, 0, low - 4, high + 4);
  return group;
}

/// Card B: the tyre with its air.
Group air_card(const job::Job& job, const Sizes& z) {
  Group group{.name = "air", .label = "card as large as the tyre with its air", .items = {}, .clip = {}};
  const std::vector<Vec2> grown = drawing::section_with_air(z.section, z.air);
  const auto by_x = [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); };
  const auto [left, right] = std::minmax_element(grown.begin(), grown.end(), by_x);
  std::vector<Vec2> card = over_the_top(grown, static_cast<std::size_t>(right - grown.begin()),
                                        static_cast<std::size_t>(left - grown.begin()));
  const double low = -z.height;
  card.emplace_back(left->x(), low);
  card.emplace_back(right->x(), low);
  group.items.emplace_back(Area{.rings = {card}, .fill = Area::Fill::tone, .tone = 0.05});
  group.items.emplace_back(tyre_path(z, Dash::dashed));
  group.items.emplace_back(Path{.points = card, .closed = true, .stroke = {Weight::thick}});
  const double rim = job.wheel.rim_width.value;
  if (rim > 0) {
    group.items.emplace_back(line({-rim / 2, low - 1}, {-rim / 2, low + 6}, {Weight::medium}));
    group.items.emplace_back(line({rim / 2, low - 1}, {rim / 2, low + 6}, {Weight::medium}));
  }
  fold_line(group, 0, low - 4, z.air + 4);
  return group;
}

std::string number(double v) {
  return format_number(v, 1);
}

Group over_dimensions(const Sizes& z) {
  Group group{.name = "dimensions", .label = "sizes of the tyre", .items = {}, .clip = {}};
  DimensionStyle style;
  style.italic = z.assumed;
  const Vec2 left = z.section[z.widest_left], right = z.section[z.widest_right];
  const double low = -z.height;
  add(group, dimension_along({left.x(), low}, {right.x(), low}, {1, 0}, -9, number(z.width), style));
  const double edge = z.width / 2 + kCardRim;
  add(group, dimension_along({edge, right.y()}, {0, 0}, {0, 1}, -7, number(-right.y()), style));
  add(group, dimension_along({edge, low}, {edge + 9, 0}, {0, 1}, -14, number(z.height), style));
  return group;
}

Group air_dimensions(const job::Job& job, const Sizes& z) {
  Group group{.name = "dimensions", .label = "sizes of the tyre with its air", .items = {}, .clip = {}};
  DimensionStyle style;
  style.italic = z.assumed;
  const double half = z.width / 2 + z.air, low = -z.height;
  add(group, dimension_along({-half, low}, {half, low}, {1, 0}, -17, number(2 * half), style));
  if (z.air > 0) {
    const Vec2 right = z.section[z.widest_right];
    add(group, dimension_linear(right, right + Vec2(z.air, 0), 0, number(z.air)));
  }
  const double rim = job.wheel.rim_width.value;
  if (rim > 0)
    add(group,
        dimension_along({-rim / 2, low - 1}, {rim / 2, low - 1}, {1, 0}, -8, "rim " + number(rim), {}));
  return group;
}

void name_card(Group& group, const Vec2& at, const std::string& name, const std::string& what) {
  group.items.emplace_back(word(at + Vec2(0, 6), name, 3.5, true));
  group.items.emplace_back(word(at, what, 2.5));
}

Box bounds(const std::vector<Group>& groups) {
  std::vector<Item> all;
  for (const Group& g : groups) all.insert(all.end(), g.items.begin(), g.items.end());
  return *bounds_of(all);
}

void place(Page& page, std::vector<Group> groups, const Vec2& move) {
  for (Group& group : groups) {
    for (Item& item : group.items) shift(item, move);
    page.groups.push_back(std::move(group));
  }
}

Group head(const job::Job& job, const solve::Answer& answer, const Sizes& z, const Box& box) {
  Group group{.name = "head", .label = "tyre profile", .items = {}, .clip = {}};
  const double x = box.min.x() + 1;
  double y = box.max.y() - 1;
  const auto put = [&](Block block, double gap) {
    add(group, std::move(block.items));
    y = block.bottom - gap;
  };
  put(paragraph({x, y}, box.width(), "TYRE PROFILE", {.height = 7, .bold = true}), 1.6);
  const double radius =
      (answer.intent.tyre.centreline.at(0).c).norm() + answer.intent.tyre.profile.at({1, 0}, 0).r;
  const std::string what =
      fmt::format("tyre {}: {} wide, {} high; wheel {} across; bead seat {}", z.source, number(z.width),
                  number(z.height), number(2 * radius), number(job.wheel.bead_seat.value));
  put(paragraph({x, y}, box.width() - 2, what, {.height = 3, .italic = z.assumed}), 1.8);
  put(paragraph({x, y}, box.width() - 2,
                "Glue the page to thin card, fold it along the violet line, cut once through both halves.",
                {.height = 2.5}),
      0);
  return group;
}

Group advice(const Sizes& z, const Box& box) {
  Group group{.name = "advice", .label = "how to use the cards", .items = {}, .clip = {}};
  double y = box.min.y() + 27;
  const double x = box.min.x() + 1, width = box.width() - 2;
  const auto put = [&](Block block) {
    add(group, std::move(block.items));
    y = block.bottom - 1.4;
  };
  put(heading({x, y}, width, "How to use them"));
  put(marked_paragraph(
      {x, y}, width, "A", 5,
      "Push it onto the inflated tyre from outside. Light between card and tread: the tyre is smaller than "
      "drawn. It won't go on: the tyre is larger; measure it and put the sizes into the job."));
  put(marked_paragraph(
      {x, y}, width, "B", 5,
      fmt::format("Hold it between the tacked blades, middle on middle. It has {} mm of air ({}) round the "
                  "dashed tyre; where it touches, there is less.",
                  number(z.air), z.air_wished ? "the wish" : "as laid out")));
  return group;
}

}  // namespace

Sheet tyre_template(const job::Job& job, const solve::Answer& answer, Paper paper, const TitleBlock& title) {
  const Sizes z = sizes_of(job, answer);
  std::vector<Group> a{over_card(z), over_dimensions(z)}, b{air_card(job, z), air_dimensions(job, z)};
  name_card(a[0], {0, kCardRim + 9}, "A", "fits over the tyre");
  name_card(b[0], {0, kCardRim + 9}, "B", "must pass between the blades");
  const Box box_a = bounds(a), box_b = bounds(b);
  const Vec2 upright = size_of(paper);
  Vec2 size = upright;
  constexpr double kLow = 32;  // mm for the advice
  const auto beside = [&](const Box& box) { return box_a.width() + box_b.width() + 8 <= box.width(); };
  if (!beside(content_box(size.x(), size.y()))) size = {upright.y(), upright.x()};
  const double lack = kHeadHeight + kLow + std::max(box_a.height(), box_b.height()) -
                      content_box(size.x(), size.y()).height();
  if (lack > 0) size.y() += std::ceil(lack);
  const Box box = content_box(size.x(), size.y());
  Page page{
      .width = size.x(), .height = size.y(), .name = "tyre profile", .groups = {head(job, answer, z, box)}};
  const double air = (box.width() - box_a.width() - box_b.width()) / 3;
  const double high =
      0.5 * (box.min.y() + kLow + box.max.y() - kHeadHeight) + 0.5 * std::max(box_a.height(), box_b.height());
  const double up = high - std::max(box_a.max.y(), box_b.max.y());
  place(page, std::move(a), {box.min.x() + air - box_a.min.x(), up});
  place(page, std::move(b), {box.min.x() + 2 * air + box_a.width() - box_b.min.x(), up});
  page.groups.push_back(advice(z, box));
  TitleBlock block = title;
  if (block.sheet.empty()) block.sheet = "tyre profile";
  block.number = block.of = 1;
  furnish(page, block);
  return {.stem = paper == Paper::a4 ? "tyre-profile-a4" : "tyre-profile-letter",
          .title = answer.name + ", tyre profile",
          .pages = {page}};
}

}  // namespace halfround::sheet
