#include "sheet/table_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "drawing/fork_dimensions.h"
#include "drawing/fork_outline.h"
#include "drawing/stress_picture.h"
#include "paper/clip.h"
#include "paper/draughting.h"
#include "sheet/template_sheet.h"

namespace halfround::sheet {
namespace {

constexpr double kAir = 18;         // mm round everything
constexpr double kFrontHalf = 150;  // mm on each side of the axis, as on the sheet

Group group_of(const char* name, const char* label) {
  return {.name = name, .label = label, .items = {}, .clip = {}};
}

/// The page as large as what is on it.
void fit(Page& page, const Box& box) {
  const Vec2 by = Vec2(kAir, kAir) - box.min;
  for (Group& g : page.groups)
    for (Item& i : g.items) shift(i, by);
  page.width = box.width() + 2 * kAir, page.height = box.height() + 2 * kAir;
}

TableView front(const job::Job& job, const solve::Answer& a) {
  drawing::Drawing d = drawing::drawing_of(job, a);
  const double top =
      std::max(d.front(base::Vec3(0, 0, d.top_z)).y() - d.front(d.axle()).y(), d.top_z - d.axle_z);
  const double below = drawing::kBelowAxle + 8;
  TableView out;
  out.page = {.width = 2 * kFrontHalf, .height = below + top + kAir, .name = "from ahead", .groups = {}};
  d.front.origin = Vec2(kFrontHalf, below - d.front(d.axle()).y());
  Group wheel = group_of("wheel", "tyre and hub");
  put_wheel_front(wheel, d), drawing::put_axle(wheel, d, d.front, false);
  out.page.groups.push_back(std::move(wheel));
  out.page.groups.push_back(drawing::parts_group(d, d.front, "outline", "fork from ahead", false));
  Group axes = group_of("axes", "centre lines");
  put_axes(axes, d, d.front, false);
  out.page.groups.push_back(std::move(axes));
  Group dims = group_of("dimensions", "dimensions");
  put_blade_marks(dims, d), drawing::put_front_dimensions(dims, d), drawing::put_front_angles(dims, d);
  out.page.groups.push_back(std::move(dims));
  Group words = group_of("words", "sides");
  for (const bool left : {false, true})
    words.items.emplace_back(Text{.at = {kFrontHalf + (left ? 78 : -78), below - 57},
                                  .text = left ? "LEFT" : "RIGHT",
                                  .height = 5,
                                  .anchor = left ? Anchor::left : Anchor::right,
                                  .bold = true});
  out.page.groups.push_back(std::move(words));
  out.view = d.front;
  return out;
}

TableView side(const job::Job& job, const solve::Answer& a) {
  drawing::Drawing d = drawing::drawing_of(job, a);
  const double left = std::max(140.0, a.intent.offset + 96), right = 110;
  const double top = d.top_z - d.axle_z + kAir, below = drawing::kBelowAxle + 8;
  TableView out;
  out.page = {.width = left + right, .height = below + top, .name = "from the rider's left", .groups = {}};
  d.side.origin = Vec2(left, below - d.side(d.axle()).y());
  Group wheel = group_of("wheel", "tyre and hub");
  put_wheel_side(wheel, d, {{0, below - drawing::kBelowAxle}, {left + right, below + top}});
  put_axle(wheel, d, d.side, true);
  out.page.groups.push_back(std::move(wheel));
  out.page.groups.push_back(drawing::parts_group(d, d.side, "outline", "fork from the rider's left", true));
  Group axes = group_of("axes", "centre lines");
  put_axes(axes, d, d.side, true);
  out.page.groups.push_back(std::move(axes));
  Group dims = group_of("dimensions", "dimensions");
  put_side_dimensions(dims, d, 0);
  out.page.groups.push_back(std::move(dims));
  Group words = group_of("words", "how the offset is made up");
  put_shares(words, d, {4, below + top - 8});
  out.page.groups.push_back(std::move(words));
  out.view = d.side;
  return out;
}

/// The blade's own upper end comes first.
const study::Mitre* mitre_of(const solve::Answer& a, bike::Side side) {
  const study::Mitre* found = nullptr;
  for (const study::Mitre& m : a.mitres) {
    if (m.member.side != side) continue;
    if (m.member.kind == bike::PartKind::blade && m.end == bike::End::end) return &m;
    if (!found) found = &m;
  }
  return found;
}

TableView wrap(const job::Job& job, const solve::Answer& a, bike::Side side) {
  TableView out;
  out.page = {
      .width = 100, .height = 100, .name = std::string("template, ") + bike::word_of(side), .groups = {}};
  const study::Mitre* m = mitre_of(a, side);
  if (!m) return out;
  drawing::TemplateDrawing drawn =
      draw_template(*m, *bike::find_member(a.fork.assembly, m->member), template_words(job, a, *m));
  out.page.groups = std::move(drawn.groups);
  fit(out.page, drawn.bounds);
  return out;
}

/// The outline of a section, m to the right and b up.
std::vector<Vec2> outline_at(const shape::Profile& profile, double s) {
  constexpr int kPoints = 180;
  std::vector<Vec2> out;
  for (int i = 0; i < kPoints; ++i) {
    const Vec2 e = base::unit_at(2 * base::kPi * i / kPoints);
    out.emplace_back(profile.at(e, s).r * e);
  }
  return out;
}

TableView section(const solve::Answer& a, double at) {
  const bike::Member& blade =
      *bike::find_member(a.fork.assembly, bike::part(bike::PartKind::blade, bike::Side::left));
  const double s = std::clamp(std::isfinite(at) ? at : 0.0, 0.0, blade.stock_length);
  const shape::Profile& profile = blade.tube.profile;
  const double wide = profile.width(s), deep = profile.depth(s), wall = profile.wall(s);
  Group cut = group_of("outline", "section of the left blade"), dims = group_of("dimensions", "dimensions");
  Path outer{.points = outline_at(profile, s), .closed = true, .stroke = {Weight::thick}};
  if (wall > 0) {
    Path inner{.points = outline_at(profile.inner(), s), .closed = true, .stroke = {Weight::medium}};
    cut.items.emplace_back(Area{.rings = {outer.points, inner.points}, .spacing = 1.5});
    cut.items.emplace_back(std::move(inner));
  }
  cut.items.emplace_back(std::move(outer));
  add(cut, centre_mark({0, 0}, std::max(wide, deep) / 2));
  const auto mm = [](double v) { return base::format_number(v, 1); };
  add(dims, dimension_along({-wide / 2, 0}, {wide / 2, 0}, {1, 0}, -deep / 2 - 10, mm(wide)));
  add(dims, dimension_along({0, -deep / 2}, {0, deep / 2}, {0, 1}, wide / 2 + 10, mm(deep)));
  const std::string metal = wall > 0 ? "wall " + mm(wall) : "wall not known";
  dims.items.emplace_back(Text{.at = {0, deep / 2 + 14},
                               .text = fmt::format("left blade, {} mm from its tip; {}", mm(s), metal),
                               .anchor = Anchor::centre});
  dims.items.emplace_back(
      Text{.at = {wide / 2 + 4, -1.2}, .text = "outward", .height = 2.5, .ink = Ink::hand});
  TableView out;
  out.page.name = fmt::format("section at {} mm", mm(s));
  std::vector<Item> all = cut.items;
  all.insert(all.end(), dims.items.begin(), dims.items.end());
  out.page.groups = {std::move(cut), std::move(dims)};
  fit(out.page, *bounds_of(all));
  return out;
}

/// The tyre's outline with what it may take up besides: growth and mud all round, hop and being out of true.
void put_sweep(Group& g, const solve::Answer& a, const drawing::View& view) {
  const study::Allowances& room = a.clearance.options.allowances;
  shape::Tube grown = a.fork.assembly.tyre;
  grown.profile = grown.profile.grown(room.growth + room.mud);
  const Vec2 hub = view(a.fork.assembly.axle);
  std::vector<Vec2> edge = drawing::hull(grown, view);
  for (Vec2& p : edge) {
    const Vec2 d = p - hub;
    if (std::abs(view.toward.y()) > 0.5) {
      p += room.hop * d.normalized();
    } else {
      p += Vec2(std::copysign(room.out_of_true, d.x()), std::copysign(room.hop, d.y()));
    }
  }
  g.items.emplace_back(
      Path{.points = edge, .closed = true, .stroke = {Weight::medium, Dash::dashed, Ink::hand}});
}

void put_over(TableView& out, const solve::Answer& a, const Over& over) {
  if (!out.view) return;
  const Box page{Vec2::Zero(), {out.page.width, out.page.height}};
  if (over.sweep) {
    Group g{.name = "over-sweep",
            .label = "what the tyre takes up grown, muddy and out of true",
            .items = {},
            .clip = page};
    put_sweep(g, a, *out.view);
    out.page.groups.push_back(std::move(g));
  }
  if (over.stress && a.strength.unknown.empty()) {
    Group g{.name = "over-stress",
            .label = "stress as a share of strength, the worst of all loads",
            .items = {},
            .clip = page};
    put_stress(g, a.fork.assembly, a.strength, *out.view, 16);
    out.page.groups.push_back(std::move(g));
  }
}

TableView plain_view(const job::Job& job, const solve::Answer& answer, Show show, double at) {
  switch (show) {
    case Show::front:
      return front(job, answer);
    case Show::side:
      return side(job, answer);
    case Show::template_left:
      return wrap(job, answer, bike::Side::left);
    case Show::template_right:
      return wrap(job, answer, bike::Side::right);
    case Show::section:
      return section(answer, at);
  }
  return {};
}

}  // namespace

TableView table_view(const job::Job& job, const solve::Answer& answer, Show show, double at,
                     const Over& over) {
  TableView out = plain_view(job, answer, show, at);
  put_over(out, answer, over);
  return out;
}

}  // namespace halfround::sheet
