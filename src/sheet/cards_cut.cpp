// The cards of a mitred end: machine, saw and file.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/clock.h"
#include "base/number.h"
#include "drawing/card_pictures.h"
#include "paper/text_block.h"
#include "paper/wrapped_table.h"
#include "sheet/cards_parts.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::to_deg;

constexpr double kLevel = 0.05 * base::kPi / 180;  // rad; a lean that no level shows

std::string mm(double v, int decimals) {
  return format_number(v, decimals) + " mm";
}
std::string deg(double v, int decimals) {
  return format_number(to_deg(v), decimals) + "°";
}

Group start(const CardTable& t, const shop::MachineSetUp& s, const std::string& verb, const std::string& key,
            const Box& card, Box& free) {
  const WorkStep& step = step_with(t.order, key);
  Group g{.name = "card", .label = verb + " card, " + s.title, .items = {}, .clip = {}};
  free = put_head(g, card,
                  {verb, s.member.side, shop::cut_title(s.member, s.end, s.onto), step.number,
                   static_cast<int>(t.order.size())},
                  t.answer.fork.assembly, s.member, &s.end);
  return g;
}

/// Picture on the outer side, words on the inner one.
struct Halves {
  Box picture, words;
};
Halves halves(const Box& free, double top, double height, double picture, bool right) {
  const Box row{{free.min.x(), top - height}, {free.max.x(), top}};
  Halves h{row, row};
  if (right) {
    h.picture.min.x() = row.max.x() - picture, h.words.max.x() = h.picture.min.x() - 3;
  } else {
    h.picture.max.x() = row.min.x() + picture, h.words.min.x() = h.picture.max.x() + 3;
  }
  return h;
}

/// The stop a finger finds best: the shortest way, forward rather than back.
const shop::Stop* best_stop(const shop::CutterFit& c) {
  const shop::Stop* best = nullptr;
  for (const shop::Stop& s : c.stops) {
    if (!best || (s.distance >= 0 && best->distance < 0) ||
        ((s.distance >= 0) == (best->distance >= 0) && std::abs(s.distance) < std::abs(best->distance)))
      best = &s;
  }
  return best;
}

/// Where the jaws take hold, the wedge of what lies in them, and what goes under a piece that rests on its
/// lower flank instead.
std::string taper_words(const CardTable& t, const shop::MachineSetUp& s) {
  const shop::Flanks& f = s.flanks;
  const shop::Held& h = s.held;
  std::string out = fmt::format("Jaws {} long", mm(h.jaw_to - h.jaw_from, 0));
  const auto m = std::ranges::find_if(
      t.answer.mitres, [&](const study::Mitre& x) { return x.member == s.member && x.end == s.end; });
  if (m != t.answer.mitres.end()) {
    const bool upper = s.end == bike::End::end;
    const double near = upper ? m->s_scribe - h.jaw_to : h.jaw_from - m->s_scribe;
    const double far = upper ? m->s_scribe - h.jaw_from : h.jaw_to - m->s_scribe;
    out += near >= 0 ? fmt::format(", {} to {} behind the scribe line", format_number(near, 0), mm(far, 0))
                     : fmt::format(", {} before to {} behind the scribe line", mm(-near, 0), mm(far, 0));
  }
  if (std::abs(f.wedge_sides) > kLevel)
    out += fmt::format(": wedge {}, cutter to the left flank {}, to the right {}", deg(f.wedge_sides, 2),
                       deg(f.cutter_to_left, 1), deg(f.cutter_to_right, 1));
  const shop::Shim shim = shop::shim_under(h, f.down);
  if (std::abs(f.down) > kLevel)
    out += fmt::format(". Or on its lower flank: shim {} under the end {} the cut", mm(shim.height, 2),
                       shim.toward_cut ? "toward" : "away from");
  return out + ".";
}

}  // namespace

Group cut_card(const CardTable& t, const shop::MachineSetUp& s, const Box& card) {
  Box free;
  Group g = start(t, s, "CUT", cut_key(s.member, s.end), card, free);
  const bool right = s.member.side == bike::Side::right;
  const shop::CutterFit& c = s.cutters.front();
  double y = free.max.y();
  // the one big number, with what is seen from above
  const Halves a = halves(free, y, 52, 46, right);
  add(g, drawing::seen_from_above(t.answer.fork.assembly, t.answer.mitres, s, a.picture));
  double low = put_reading(g, a.words, {"cutter to tube, seen from above", deg(s.angle, 1), ""}, 14);
  static_cast<void>(put_reading(g, {{a.words.min.x(), a.words.min.y()}, {a.words.max.x(), low - 2}},
                                {"swivel marked 0 at square", deg(s.from_square, 1), ""}, 8));
  y = a.picture.min.y() - 2;
  put_rule(g, card, y);
  y -= 2;
  const Halves b = halves(free, y, 36, 46, right);
  add(g, drawing::seen_along(t.answer.fork.assembly, s, b.picture));
  low = put_reading(g, b.words, {"this clock angle faces up", base::format_clock(s.u_up), ""}, 7);
  const std::string where = c.offset == 0  ? "cutter and tube axes level"
                            : c.offset > 0 ? "cutter axis ABOVE the tube's"
                                           : "cutter axis BELOW the tube's";
  static_cast<void>(
      put_reading(g, {b.words.min, {b.words.max.x(), low - 2}}, {where, mm(std::abs(c.offset), 2), ""}, 7));
  y = b.picture.min.y() - 2;
  put_rule(g, card, y);
  y -= 2;
  if (const shop::Stop* stop = best_stop(c)) {
    const Halves d = halves(free, y, 23, 46, right);
    add(g, drawing::stop_picture(*stop, !right, d.picture));
    static_cast<void>(put_reading(g, d.words,
                                  {stop->distance < 0 ? "stop: BACK from" : "stop: from",
                                   mm(std::abs(stop->distance), 1), "the " + stop->from},
                                  7));
    y = d.picture.min.y() - 1;
  }
  put_rule(g, card, y);
  y -= 2;
  Block words =
      paragraph({free.min.x(), y}, free.width(), c.name, {.height = 4, .leading = 1.3, .bold = true});
  add_to(words,
         paragraph({free.min.x(), words.bottom - 0.8}, free.width(),
                   c.greatest_gap < 0.005 ? "It leaves no gap."
                                          : fmt::format("It leaves {} at {} at most.", mm(c.greatest_gap, 2),
                                                        base::format_clock(c.u_greatest)),
                   {.height = 3, .leading = 1.45}));
  if (c.file_over > 0)
    add_to(words, paragraph({free.min.x(), words.bottom - 0.3}, free.width(),
                            fmt::format("Stop {} short, then file over {} of the clock.", mm(c.file_depth, 2),
                                        deg(c.file_over, 0)),
                            {.height = 3, .leading = 1.45}));
  if (s.by_hand)
    add_to(words, paragraph({free.min.x(), words.bottom - 0.3}, free.width(), s.why_by_hand,
                            {.height = 3, .leading = 1.45}));
  if (std::abs(s.flanks.wedge_sides) > kLevel || std::abs(s.flanks.down) > kLevel)
    add_to(words, paragraph({free.min.x(), words.bottom - 0.3}, free.width(), taper_words(t, s),
                            {.height = 3, .leading = 1.45}));
  add(g, std::move(words.items));
  const double room = words.bottom - 1 - free.min.y();
  if (room > 22)
    add(g, drawing::gap_map(
               c, {{free.min.x(), free.min.y()}, {free.max.x(), free.min.y() + std::min(room, 34.0)}}));
  return g;
}

namespace {

/// The saw's leans, one or two, beside their picture.
void put_saw(Group& g, const shop::RoughCut& saw, const Box& box) {
  const bool two = saw.planes.size() > 1;
  double y = box.max.y();
  int n = 0;
  for (const shop::SawPlane& p : saw.planes)
    y = put_reading(g, {box.min, {box.max.x(), y}},
                    {two ? fmt::format("saw line {} leans", ++n) : "saw line leans from square",
                     deg(p.lean, 1), fmt::format("longest at clock {}", base::format_clock(p.u_longest))},
                    two ? 8 : 14) -
        1;
}

/// in  again  a step that is needed after the mill too is named, not said again
void put_steps(Block& words, const std::vector<const shop::FilingStep*>& steps, bool again, const Box& free,
               const TextStyle& style) {
  TextStyle bold = style;
  bold.bold = true;
  int n = 0;
  for (const shop::FilingStep* step : steps) {
    add_to(words, marked_paragraph(
                      {free.min.x(), words.bottom - 1.2}, free.width(), std::to_string(++n), 6,
                      again && step->after_mill ? "File the flats as after milling." : step->what, style));
    if (!step->file.empty())
      add_to(words, paragraph({free.min.x() + 6, words.bottom - 0.3}, free.width() - 6, step->file, bold));
  }
}

/// What is left after the mill, then the whole end by hand: under a heading each.
Block file_words(const shop::MachineSetUp& s, const shop::HandPlan& hand, const Box& free, double top,
                 double height) {
  const TextStyle style{.height = height, .leading = 1.45};
  TextStyle head = style;
  head.height = height + 0.6, head.bold = true;
  const bool machine = !s.cutters.empty() && s.cutters.front().serves;
  std::vector<const shop::FilingStep*> all, after;
  for (const shop::FilingStep& step : hand.steps) {
    all.push_back(&step);
    if (step.after_mill) after.push_back(&step);
  }
  Block words{.items = {}, .bottom = top};
  if (machine) {
    add_to(words, paragraph({free.min.x(), words.bottom}, free.width(), "After milling", head));
    put_steps(words, after, false, free, style);
    words.bottom -= 2;
  }
  add_to(words, paragraph({free.min.x(), words.bottom}, free.width(),
                          machine ? "All by hand, without the mill" : "All by hand", head));
  if (!machine)
    add_to(words, paragraph({free.min.x(), words.bottom - 0.6}, free.width(), s.why_by_hand, style));
  put_steps(words, all, machine, free, style);
  return words;
}

}  // namespace

Group file_card(const CardTable& t, const shop::MachineSetUp& s, const shop::HandPlan& hand,
                const Box& card) {
  Box free;
  Group g = start(t, s, "FILE", file_key(s.member, s.end), card, free);
  const bool right = s.member.side == bike::Side::right, upper = s.end == bike::End::end;
  const Halves a = halves(free, free.max.y(), hand.saw.planes.size() > 1 ? 44 : 38, 36, right);
  add(g, drawing::saw_picture(hand.saw, upper, right, a.picture));
  put_saw(g, hand.saw, a.words);
  double y = a.picture.min.y() - 2;
  put_rule(g, card, y);
  y -= 2;
  // as large as the card allows
  Block words;
  for (const double height : {3.2, 3.0, 2.8, 2.6, 2.5}) {
    words = file_words(s, hand, free, y, height);
    if (words.bottom >= free.min.y()) break;
  }
  add(g, std::move(words.items));
  return g;
}

Group depth_card(const CardTable& t, const shop::MachineSetUp& s, const shop::HandPlan& hand,
                 const Box& card) {
  Box free;
  Group g = start(t, s, "FILE", file_key(s.member, s.end), card, free);
  Block words = paragraph({free.min.x(), free.max.y()}, free.width(),
                          "Depths from the scribe line toward the joint, mm.", {.height = 3});
  Table table;
  table.columns = {{"clock", 15}, {"saw", 18}, {"finished", 21}, {"take off", 20}, {"bevel", 15}};
  const double row = std::min(6.4, (words.bottom - 8 - free.min.y()) / 25.5);
  table.row = row, table.height = std::min(3.2, 0.55 * row), table.rule_every = 3;
  for (std::size_t i = 0; i < hand.rows.size(); ++i) {
    const shop::HandRow& r = hand.rows[i];
    const double saw = i < hand.saw.depth.size() ? hand.saw.depth[i] : r.wanted + r.take_off;
    table.rows.push_back({{base::format_clock(r.u), true},
                          {format_number(saw, 1)},
                          {format_number(r.wanted, 1), true, !r.met},
                          {format_number(r.take_off, 1)},
                          {deg(r.bevel, 0)}});
  }
  add_to(words, wrapped_table({free.min.x(), words.bottom - 1}, table));
  if (std::ranges::any_of(hand.rows, [](const shop::HandRow& r) { return !r.met; }))
    add_to(words, paragraph({free.min.x(), words.bottom - 1}, free.width(),
                            "Slanted: runs past the other tube, ends at the plane through its axis.",
                            {.height = 2.8, .leading = 1.4, .italic = true}));
  add(g, std::move(words.items));
  return g;
}

}  // namespace halfround::sheet
