// The card of a slot: how a blade's end is sawn for the plate of its dropout. Frame P; pictures, not
// drawings.
#include <fmt/format.h>

#include <algorithm>

#include "base/clock.h"
#include "base/number.h"
#include "drawing/card_pictures.h"
#include "paper/text_block.h"
#include "sheet/cards_parts.h"
#include "study/slot.h"

namespace halfround::sheet {
namespace {

using base::format_number;

constexpr TextStyle kWords{.height = 3, .leading = 1.45};

std::string mm(double v) {
  return format_number(v, 1) + " mm";
}

/// The blade's end, its mouth down, with the slot seen through both walls and the mark line where it stands.
Items end_picture(const bike::Member& m, const study::Slot& slot, const Box& box) {
  const double across = m.tube.profile.max_radius() * 2, high = slot.depth + 22;
  const double k = std::min(box.width() / (across + 16), box.height() / (high + 8));
  const Vec2 foot(box.centre().x(), box.min.y() + 3);
  const double half = k * m.tube.profile.width(m.s_start) / 2, top = k * high, gap = k * slot.width / 2;
  const auto at = [&](double x, double y) -> Vec2 { return foot + Vec2(x, y); };
  Items out;
  out.emplace_back(Path{.points = {at(-half, top), at(-half, 0), at(-gap, 0), at(-gap, k * slot.depth),
                                   at(gap, k * slot.depth), at(gap, 0), at(half, 0), at(half, top)},
                        .stroke = {Weight::thick}});
  out.emplace_back(line(at(0, -3), at(0, top + 2), {Weight::thin, Dash::chain}));
  for (Item& item : dimension_along(at(half, 0), at(half, k * slot.depth), {0, 1}, -7, mm(slot.depth),
                                    {.height = 3, .bold = true}))
    out.push_back(std::move(item));
  return out;
}

}  // namespace

Group slot_card(const CardTable& t, const bike::Joint& joint, const Box& card) {
  const bike::Assembly& fork = t.answer.fork.assembly;
  const bike::Member& m = *bike::find_member(fork, joint.member);
  const study::Slot slot = study::slot_of(m, joint.end, *bike::find_plate(fork, joint.onto));
  const bike::Side hand = joint.member.side;
  const bool right = hand == bike::Side::right;
  Group g{.name = "card", .label = "CUT card, slot, " + bike::spoken(joint.member), .items = {}, .clip = {}};
  const Box free =
      put_head(g, card,
               {"CUT", hand, "blade, lower end: slot for the dropout",
                step_with(t.order, slot_key(joint.member)).number, static_cast<int>(t.order.size())},
               fork, joint.member, &joint.end);
  const double column = 44;
  const auto split = [&](double y, double height) {
    Box picture{{right ? free.max.x() - column : free.min.x(), y - height},
                {right ? free.max.x() : free.min.x() + column, y}};
    Box words{{right ? free.min.x() : free.min.x() + column + 4, y - height},
              {right ? free.max.x() - column - 4 : free.max.x(), y}};
    return std::pair{picture, words};
  };
  double y = free.max.y();
  const auto [picture, deep] = split(y, 48);
  for (Item& item : end_picture(m, slot, picture)) g.items.push_back(std::move(item));
  double low = put_reading(g, deep, {"deep, from the square end", mm(slot.depth), ""}, 13);
  static_cast<void>(put_reading(g, {deep.min, {deep.max.x(), low - 3}},
                                {"wide: the dropout's plate", mm(slot.width), ""}, 9));
  y = picture.min.y() - 3;
  put_rule(g, card, y);
  y -= 3;
  const auto [clock, turned] = split(y, 58);
  add(g, drawing::tack_clock({slot.clock[0], slot.clock[1]}, clock.centre() - Vec2(0, 2), 13));
  low = put_reading(
      g, turned,
      {"the two saw cuts stand at clock",
       fmt::format("{} and {}", base::format_clock(slot.clock[0]), base::format_clock(slot.clock[1])),
       "seen from the lower end, 0° at the mark line"},
      9);
  if (std::abs(slot.offset) >= 0.05)
    static_cast<void>(
        put_reading(g, {turned.min, {turned.max.x(), low - 2}},
                    {slot.offset * (right ? -1 : 1) > 0 ? "plate's middle OUTWARD of the blade's"
                                                        : "plate's middle INWARD of the blade's",
                     mm(std::abs(slot.offset)), ""},
                    7));
  y = clock.min.y() - 3;
  put_rule(g, card, y);
  Block list{.items = {}, .bottom = y - 2};
  const std::string cuts[] = {
      fmt::format("Glue the strip cut/slot-… round the end, mark line on mark line, or strike both clocks "
                  "with a square across the mouth."),
      "Wooden blocks in the vice, the blade's end a hand's breadth out, the cut upright. Saw both walls in "
      "one pass, inside the lines.",
      fmt::format("File to the plate: it shall go in with the fingers and {} of air a side for {}. Round the "
                  "bottom's corners with a round file: a crack begins in a sharp one.",
                  format_number(t.job.joining.slot_gap.value, 2) + " mm", t.job.joining.slot_filler)};
  int n = 0;
  for (const std::string& c : cuts)
    add_to(list, marked_paragraph({free.min.x(), list.bottom - 0.9}, free.width(), std::to_string(++n), 5, c,
                                  kWords));
  add(g, std::move(list.items));
  return g;
}

}  // namespace halfround::sheet
