#include "sheet/fork_sheet.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/number.h"
#include "drawing/fork_dimensions.h"
#include "drawing/fork_outline.h"

namespace halfround::sheet {

namespace {

constexpr double kFrontHalf = 150;  // mm kept free on each side of the front view's axis for dimensions

void put_title(Group& g, const Vec2& at, const std::string& title, const std::string& under) {
  g.items.emplace_back(Text{.at = at, .text = title, .height = 5, .anchor = Anchor::centre, .bold = true});
  g.items.emplace_back(
      Text{.at = at - Vec2(0, 6.5), .text = under, .height = drawing::kLetter, .anchor = Anchor::centre});
}

/// The smallest sheet of the ISO 216 row that holds the content box asked for; a longer one where none does.
Vec2 paper_for(double width, double height) {
  for (const Vec2& size : {Vec2(420, 594), Vec2(594, 841), Vec2(841, 1189)}) {
    const Box free = content_box(size.x(), size.y());
    if (free.width() >= width && free.height() >= height) return size;
  }
  return {std::max(841.0, width + 40), height + 120};
}

}  // namespace

Page fork_page(const job::Job& job, const solve::Answer& answer, const TitleBlock& title) {
  drawing::Drawing d = drawing::drawing_of(job, answer);
  // heights over the axle, on paper
  const double top =
      std::max(d.front(base::Vec3(0, 0, d.top_z)).y() - d.front(d.axle()).y(), d.top_z - d.axle_z) + 18;
  const double below = drawing::kBelowAxle + 8;
  const double side_half_left = std::max(140.0, answer.intent.offset + 96), side_half_right = 110;
  const double heading = 24;
  const double width = 2 * kFrontHalf + side_half_left + side_half_right + 10, height = top + below + heading;
  const Vec2 paper = paper_for(width, height);
  Page page{.width = paper.x(), .height = paper.y(), .name = "fork drawing", .groups = {}};
  const Box free = content_box(paper.x(), paper.y());
  const double x0 = free.min.x() + (free.width() - width) / 2;
  const double axle_y = free.min.y() + below + (free.height() - height) / 2;
  d.front.origin = Vec2(x0 + kFrontHalf, axle_y - d.front(d.axle()).y());
  d.side.origin = Vec2(x0 + 2 * kFrontHalf + 10 + side_half_left, axle_y - d.side(d.axle()).y());

  const double side_x = d.side(base::Vec3::Zero()).x();
  Group wheel{.name = "wheel", .label = "tyre and hub", .items = {}, .clip = {}};
  put_wheel_front(wheel, d);
  put_wheel_side(
      wheel, d,
      {{side_x - side_half_left, axle_y - drawing::kBelowAxle}, {side_x + side_half_right, axle_y + top}});
  put_axle(wheel, d, d.front, false);
  put_axle(wheel, d, d.side, true);
  page.groups.push_back(std::move(wheel));
  page.groups.push_back(drawing::parts_group(d, d.front, "outline", "fork from ahead", false));
  page.groups.push_back(drawing::parts_group(d, d.side, "outline", "fork from the rider's left", true));
  Group axes{.name = "axes", .label = "centre lines", .items = {}, .clip = {}};
  put_axes(axes, d, d.front, false);
  put_axes(axes, d, d.side, true);
  page.groups.push_back(std::move(axes));
  Group dims{.name = "dimensions", .label = "dimensions", .items = {}, .clip = {}};
  put_blade_marks(dims, d);
  put_front_dimensions(dims, d);
  put_front_angles(dims, d);
  put_side_dimensions(dims, d, side_x - side_half_left);
  page.groups.push_back(std::move(dims));
  Group words{.name = "words", .label = "titles and notes", .items = {}, .clip = {}};
  const double head_y = axle_y + top + 12;
  put_title(words, {d.front.origin.x(), head_y}, "FROM AHEAD",
            fmt::format("square to the blades' plane, {}° forward of the steering axis: lay a blade on it",
                        base::format_number(base::to_deg(answer.fork.left.tilt_angle), 1)));
  put_title(words, {side_x - 10, head_y}, "FROM THE RIDER'S LEFT",
            "lengths along the steering axis are true here");
  words.items.emplace_back(Text{.at = {d.front.origin.x() - 78, axle_y - 57},
                                .text = "RIGHT",
                                .height = 5,
                                .anchor = Anchor::right,
                                .bold = true});
  words.items.emplace_back(
      Text{.at = {d.front.origin.x() + 78, axle_y - 57}, .text = "LEFT", .height = 5, .bold = true});
  put_notes(words, d, {free.min.x() + 4, axle_y + top - 8});
  put_shares(words, d, {side_x - side_half_left + 4, axle_y + top - 8});
  page.groups.push_back(std::move(words));
  furnish(page, title);
  return page;
}

}  // namespace halfround::sheet
