#include "sheet/card.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/result.h"
#include "paper/page_furniture.h"
#include "paper/text_block.h"
#include "paper/typeface.h"

namespace halfround::sheet {
namespace {

using base::Vec3;

constexpr double kWord = 9, kCaption = 3, kGap = 3;

/// The silhouette of a member as seen from the rider's seat, its left to the left.
std::vector<Vec2> silhouette(const bike::Member& m, double most) {
  // of the steerer the lower end is enough
  const double s_end = m.part.kind == bike::PartKind::steerer ? std::min(m.s_end, m.s_start + most) : m.s_end;
  constexpr int n = 40;
  std::vector<Vec2> one, other;
  for (int i = 0; i <= n; ++i) {
    const double s = m.s_start + (s_end - m.s_start) * i / n;
    const shape::Frame f = m.tube.centreline.at(s);
    Vec2 along(-f.t.y(), f.t.z());
    if (along.norm() < 0.2) along = {0, 1};
    const Vec2 aside = 0.5 * m.tube.profile.width(s) * Vec2(-along.y(), along.x()).normalized();
    const Vec2 c(-f.c.y(), f.c.z());
    one.emplace_back(c + aside), other.emplace_back(c - aside);
  }
  one.insert(one.end(), other.rbegin(), other.rend());
  return one;
}

void put_fork(Group& group, const bike::Assembly& fork, const Box& box, const bike::Part& member,
              const bike::End* mark) {
  // the tubes, to one scale in the box
  double low = INFINITY, high = -INFINITY, wide = 0;
  std::vector<std::pair<const bike::Member*, std::vector<Vec2>>> parts;
  for (const bike::Member& m : fork.members) {
    if (m.part.kind == bike::PartKind::insert) continue;
    parts.emplace_back(&m, silhouette(m, 150));
    for (const Vec2& p : parts.back().second)
      low = std::min(low, p.y()), high = std::max(high, p.y()), wide = std::max(wide, std::abs(p.x()));
  }
  if (parts.empty()) return;
  const double k = std::min(box.height() / (high - low), 0.5 * box.width() / wide);
  const auto on_paper = [&](const Vec2& p) -> Vec2 {
    return box.centre() + k * Vec2(p.x(), p.y() - 0.5 * (low + high));
  };
  for (auto& [m, points] : parts) {
    for (Vec2& p : points) p = on_paper(p);
    const bool filled = m->part == member;
    group.items.emplace_back(Path{.points = points,
                                  .closed = true,
                                  .stroke = {filled ? Weight::medium : Weight::thin},
                                  .filled = filled});
    if (!filled || !mark) continue;
    const Vec3 end = m->tube.centreline.point(*mark == bike::End::end ? m->s_end : m->s_start);
    group.items.emplace_back(circle(on_paper({-end.y(), end.z()}), 3.2, {Weight::medium}));
  }
}

std::string capitals_of(bike::Side hand) {
  return hand == bike::Side::left ? "LEFT" : hand == bike::Side::right ? "RIGHT" : "";
}

}  // namespace

Box put_head(Group& group, const Box& card, const CardHead& head, const bike::Assembly& fork,
             const bike::Part& member, const bike::End* mark) {
  group.items.emplace_back(rectangle(card, {Weight::medium}));
  const bool right = head.hand == bike::Side::right;
  const double x = right ? card.max.x() - kCardAir : card.min.x() + kCardAir;
  const double far = right ? card.min.x() + kCardAir : card.max.x() - kCardAir;
  const Anchor outer = right ? Anchor::right : Anchor::left, inner = right ? Anchor::left : Anchor::right;
  double y = card.max.y() - kCardAir;
  group.items.emplace_back(
      Text{.at = {x, y - 5}, .text = head.verb, .height = 5, .anchor = outer, .bold = true});
  group.items.emplace_back(Text{.at = {far, y - 4.4},
                                .text = fmt::format("step {} of {}", head.step, head.of),
                                .height = 3.5,
                                .anchor = inner});
  y -= 7.5;
  // how far the work has come: a bar along the card
  const double long_bar = std::abs(far - x), done = long_bar * head.step / std::max(1, head.of);
  const Box bar{{card.min.x() + kCardAir, y - 1.6}, {card.max.x() - kCardAir, y}};
  Path fill = rectangle(right ? Box{{bar.max.x() - done, bar.min.y()}, bar.max}
                              : Box{bar.min, {bar.min.x() + done, bar.max.y()}});
  fill.filled = true;
  group.items.emplace_back(std::move(fill));
  group.items.emplace_back(rectangle(bar, {Weight::thin}));
  y -= 1.6 + kGap;
  if (head.hand != bike::Side::middle) {
    const double top = y;
    group.items.emplace_back(Text{.at = {x, y - kWord},
                                  .text = capitals_of(head.hand),
                                  .height = kWord,
                                  .anchor = outer,
                                  .bold = true});
    y -= kWord + 2.5;
    // on the outer edge a bar says the side once more, to whoever reads from afar
    Path edge = rectangle(right ? Box{{card.max.x(), y}, {card.max.x() + 2.2, card.max.y()}}
                                : Box{{card.min.x() - 2.2, y}, {card.min.x(), card.max.y()}});
    edge.filled = true;
    group.items.emplace_back(std::move(edge));
    const double width = 26, seen = 2.5;
    const Box small =
        right ? Box{{far, top - 19}, {far + width, top + 1}} : Box{{far - width, top - 19}, {far, top + 1}};
    put_fork(group, fork, small, member, mark);
    group.items.emplace_back(Text{.at = {small.centre().x(), small.min.y() - seen - 1},
                                  .text = "from the saddle",
                                  .height = seen,
                                  .anchor = Anchor::centre});
    const double room = card.width() - 2 * kCardAir - width - 2;
    for (const std::string& words : wrapped(head.title, 3.5, room, true)) {
      y -= 3.5;
      group.items.emplace_back(
          Text{.at = {x, y}, .text = words, .height = 3.5, .anchor = outer, .bold = true});
      y -= 1.8;
    }
    y = std::min(y, top - 19 - seen - 2.6);
  } else {
    group.items.emplace_back(Text{.at = {x, y - 5},
                                  .text = fitted(head.title, 5, card.width() - 2 * kCardAir, true),
                                  .height = 5,
                                  .bold = true});
    y -= 7.5;
  }
  put_rule(group, card, y);
  return {card.min + Vec2(kCardAir, kCardAir), {card.max.x() - kCardAir, y - 2}};
}

double put_reading(Group& group, const Box& box, const Reading& reading, double most) {
  double y = box.max.y();
  const auto put = [&](Block block, double gap) {
    add(group, std::move(block.items));
    y = block.bottom - gap;
  };
  put(paragraph({box.min.x(), y}, box.width(), reading.caption, {.height = kCaption, .leading = 1.45}), 0.4);
  const double per = text_width(reading.number, 1, true);
  const double high = std::min(most, box.width() / per);
  group.items.emplace_back(
      Text{.at = {box.min.x(), y - high}, .text = reading.number, .height = high, .bold = true});
  y -= high + std::max(1.8, 0.28 * high + 0.9);  // its plate reaches below the baseline
  if (!reading.note.empty())
    put(paragraph({box.min.x(), y}, box.width(), reading.note, {.height = kCaption, .leading = 1.45}), 0);
  return y;
}

void put_rule(Group& group, const Box& box, double y) {
  group.items.emplace_back(line({box.min.x(), y}, {box.max.x(), y}, {Weight::thin}));
}

std::vector<Box> beside(Paper paper) {
  const Vec2 size = size_of(paper);
  const Box all = content_box(size.x(), size.y());
  const double middle = 0.5 * size.x();
  return {{all.min + Vec2(2.2, 1), {middle - 1.5, all.max.y() - 1}},
          {{middle + 1.5, all.min.y() + 1}, all.max - Vec2(2.2, 1)}};
}

std::vector<Box> above(Paper paper) {
  const Vec2 size = size_of(paper);
  const Box all = content_box(size.x(), size.y());
  const double middle = all.centre().y();
  return {{{all.min.x() + 1, middle + 1.5}, all.max - Vec2(1, 1)},
          {all.min + Vec2(1, 1), {all.max.x() - 1, middle - 1.5}}};
}

}  // namespace halfround::sheet
