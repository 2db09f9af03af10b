// The cards of fixture, torch and proof.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "drawing/card_pictures.h"
#include "paper/text_block.h"
#include "paper/wrapped_table.h"
#include "sheet/cards_parts.h"
#include "sheet/check_tables.h"
#include "sheet/plate_picture.h"
#include "study/socket_fit.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::to_deg;

constexpr TextStyle kWords{.height = 3, .leading = 1.45};

std::string mm(double v, int decimals) {
  return format_number(v, decimals) + " mm";
}

Group start(const CardTable& t, const std::string& verb, bike::Side hand, const std::string& title,
            const std::string& key, const Box& card, Box& free, const bike::Part& member = {}) {
  Group g{.name = "card", .label = verb + " card, " + title, .items = {}, .clip = {}};
  free =
      put_head(g, card, {verb, hand, title, step_with(t.order, key).number, static_cast<int>(t.order.size())},
               t.answer.fork.assembly, member);
  return g;
}

/// All rods of one joint's fills: "RBCuZn-C to 2.0 mm: 120 mm of 1.6".
std::string fill_words(const study::Fill& f) {
  std::string out = f.filler;
  out += f.radius > 0 ? fmt::format(", fillet to {}", mm(f.radius, 1)) : ", into the gap";
  std::string rods;
  for (const study::Rod& r : f.rods)
    rods += fmt::format("{}{} of ø{}", rods.empty() ? ": " : " or ", mm(r.length, 0),
                        format_number(r.diameter, 1));
  return out + rods;
}

/// Longest rod of all passes on a joint's first rod diameter: what to lay ready.
double rod_ready(const study::JointFill& j) {
  double out = 0;
  for (const study::Fill& f : j.fills)
    if (!f.rods.empty()) out += f.rods.front().length;
  return out;
}

}  // namespace

double put_scale(Group& g, const Box& row, const shop::Reading& r, double most) {
  const auto amount = [&](double v) { return r.angle ? format_number(to_deg(v), 2) + "°" : mm(v, 2); };
  const std::string lifted =
      std::abs(r.seen - r.wanted) < 1e-9 ? "" : fmt::format(", {} from the race stop", amount(r.seen));
  const std::string note = r.in_range ? fmt::format("for {} {}{}; rounding error {}", r.what,
                                                    amount(r.wanted), lifted, amount(r.error))
                                      : fmt::format("OUT OF RANGE by {}: {} {} can't be set",
                                                    amount(std::abs(r.out_by)), r.what, amount(r.wanted));
  return put_reading(g, row, {r.adjuster, r.in_range ? r.text : "—", note}, most);
}

Group join_card(const CardTable& t, const bike::Part& member, const Box& card) {
  Box free;
  const bike::Side hand = member.side;
  const bool blade = member.kind == bike::PartKind::blade;
  Group g = start(t, "JOIN", hand, blade ? "blade: tacks and passes" : "crown tube: tacks and passes", "join",
                  card, free, member);
  std::vector<const study::JointFill*> joints;
  for (const study::JointFill& j : t.answer.joining.joints)
    if (j.gap.empty() && j.member == member) joints.push_back(&j);
  const double each = (free.height() - 16) / static_cast<double>(std::max<std::size_t>(joints.size(), 1));
  double y = free.max.y();
  for (const study::JointFill* j : joints) {
    const double bottom = y - std::min(each, 78.0);
    const bool end = j->end == bike::End::end;
    const std::string end_name = blade ? (end ? "upper" : "lower") : (end ? "inner" : "outer");
    add(g, paragraph({free.min.x(), y}, free.width(),
                     fmt::format("{} end, onto the {}", end_name, bike::spoken(j->onto)),
                     {.height = 3.5, .bold = true})
               .items);
    const bool right = hand == bike::Side::right;
    const double radius = 11.5;
    const Vec2 c(right ? free.max.x() - radius - 7 : free.min.x() + radius + 7, y - 10 - radius - 4);
    add(g, drawing::tack_clock(j->tacks, c, radius));
    Box words{{free.min.x(), bottom}, {free.max.x(), y - 8}};
    if (right)
      words.max.x() = c.x() - radius - 10;
    else
      words.min.x() = c.x() + radius + 10;
    static_cast<void>(put_reading(g, words,
                                  {"rod to lay ready, all passes", mm(rod_ready(*j), 0),
                                   fmt::format("joint line {}", mm(j->length, 0))},
                                  10));
    Block list{.items = {}, .bottom = c.y() - radius - 8};
    int n = 0;
    for (const study::Fill& f : j->fills)
      add_to(list, marked_paragraph({free.min.x(), list.bottom - 0.8}, free.width(), std::to_string(++n), 5,
                                    fill_words(f), kWords));
    if (j->heavier > 1.3)
      add_to(list, paragraph({free.min.x(), list.bottom - 0.8}, free.width(),
                             fmt::format("Flame on the {}: its wall is {} times as thick.",
                                         bike::spoken(j->onto), format_number(j->heavier, 1)),
                             kWords));
    y = std::min(bottom, list.bottom) - 2;
    add(g, std::move(list.items));
    put_rule(g, card, y);
    y -= 2;
  }
  add(g,
      paragraph({free.min.x(), y}, free.width(),
                blade ? "Clock seen from the blade's lower end, 0° outside. Tack in the order of the figures."
                      : "Clock seen from the crown tube's outer end, 0° on top. Tack in the order of the "
                        "figures.",
                kWords)
          .items);
  return g;
}

Group length_card(const CardTable& t, const Box& card) {
  Box free;
  Group g = start(t, "PROVE", bike::Side::middle, "lengths of what was cut", "prove lengths", card, free);
  const std::size_t n = t.plan.lengths.size();
  const bool same = std::ranges::all_of(t.plan.lengths, [](const shop::LengthCheck& c) {
    return std::abs(c.differs) < 0.005 && !c.pair.empty();
  });
  if (same && n == 2) {
    const shop::LengthCheck& c = t.plan.lengths.front();
    const double low = put_reading(g, free,
                                   {"both blades the same length", mm(c.length, 2),
                                    fmt::format("{} to {}, straight through the air", c.from, c.to)},
                                   16);
    // two blades side by side between the jaws of a calliper
    const double x0 = free.min.x() + 14, x1 = free.max.x() - 14, y = low - 22;
    for (const double up : {5.0, -5.0}) {
      g.items.emplace_back(rectangle({{x0, y + up - 2.6}, {x1, y + up + 2.6}}, {Weight::thick}));
      g.items.emplace_back(Text{.at = {0.5 * (x0 + x1), y + up - 1.5},
                                .text = up > 0 ? "LEFT" : "RIGHT",
                                .height = 3,
                                .anchor = Anchor::centre,
                                .bold = true});
    }
    for (const double x : {x0, x1}) g.items.emplace_back(line({x, y - 11}, {x, y + 14}, {Weight::thin}));
    add(g, dimension_along({x0, y + 12}, {x1, y + 12}, {1, 0}, 0, format_number(c.length, 2),
                           {.height = 3.5, .arrow = 3}));
    return g;
  }
  double x = free.min.x();
  const double wide = free.width() / static_cast<double>(std::max<std::size_t>(n, 1));
  for (const shop::LengthCheck& c : t.plan.lengths) {
    const std::string more = c.pair.empty() || std::abs(c.differs) < 0.005
                                 ? ""
                                 : fmt::format("; {} against the {}", mm(c.differs, 2), bike::spoken(c.pair));
    static_cast<void>(put_reading(g, {{x, free.min.y()}, {x + wide - 4, free.max.y()}},
                                  {bike::spoken(c.member), mm(c.length, 2), c.from + " to " + c.to + more},
                                  12));
    x += wide;
  }
  return g;
}

Group fixture_card(const CardTable& t, const shop::FixtureSheet& f, const Box& card) {
  Box free;
  Group g = start(t, "SET", bike::Side::middle, f.fixture, "set " + f.fixture, card, free);
  // scales in two columns
  const double wide = 0.5 * free.width() - 2;
  double y = free.max.y();
  std::size_t i = 0;
  double low = y;
  for (const shop::Reading& r : f.readings) {
    if (shop::of_mount(r.measures)) continue;  // on the mount's own card
    const double x = free.min.x() + static_cast<double>(i % 2) * (wide + 4);
    if (i % 2 == 0 && i > 0) y = low - 1.5;
    low = std::min(low, put_scale(g, {{x, y - 26.5}, {x + wide, y}}, r, 8));
    ++i;
  }
  y = low - 1;
  std::vector<std::string> notes;
  if (f.as_set)
    notes.push_back(
        fmt::format("Set by {} and {}, the offset is {} ({} off) and the axle-to-crown {} ({} off).",
                    f.as_set->by[0], f.as_set->by[1], mm(f.as_set->offset, 2), mm(f.as_set->offset_error, 2),
                    mm(f.as_set->straight, 2), mm(f.as_set->straight_error, 2)));
  for (const shop::Disagreement& d : f.disagreements) notes.push_back(words_of(d));
  for (const shop::HolderCheck& h : f.holders)
    notes.push_back(h.fits ? fmt::format("{}: {}, fits", h.what, mm(h.wanted, 1)) : h.note);
  std::vector<std::string> idle;
  for (const std::string& scale : f.idle) idle.push_back(scale.substr(0, scale.find(": ")));
  if (!idle.empty()) notes.push_back(fmt::format("Not needed for this fork: {}.", fmt::join(idle, "; ")));
  for (const shop::Adapter& a : f.pieces)
    if (shop::for_hub(a.kind))
      notes.push_back(fmt::format("On the dummy axle goes: {} (sheet \"adapter\").", a.title));
  if (!f.adapter_problem.empty()) notes.push_back(f.adapter_problem);
  Block list{.items = {}, .bottom = y};
  for (const std::string& n : notes)
    add_to(list, marked_paragraph({free.min.x(), list.bottom - 0.6}, free.width(), "–", 4, n, kWords));
  add(g, std::move(list.items));
  return g;
}

namespace {

/// What the hand does to a socket before the blade goes in; "" where it was made for what stands in it.
std::string socket_words(const study::SocketFit& f) {
  std::string out = fmt::format("Air a side {} to {}. ", mm(f.gap_least, 2), mm(f.gap_most, 2));
  if (f.to_bore)
    out += fmt::format("Bore out to {} across, {} fore and aft. ", mm(f.bore_width, 2), mm(f.bore_depth, 2));
  if (std::abs(f.spread) >= 0.1 || std::abs(f.forward) >= 0.1) {
    out += fmt::format("Left to the socket, the lower end stands {} {} and {} {} of its place. ",
                       mm(std::abs(f.spread), 1), f.spread > 0 ? "inward" : "outward",
                       mm(std::abs(f.forward), 1), f.forward > 0 ? "behind" : "ahead");
  }
  return out;
}

}  // namespace

Group gap_card(const CardTable& t, const Box& card) {
  Box free;
  Group g = start(t, "JOIN", bike::Side::middle, "gaps that fill by themselves", "join", card, free);
  std::vector<const study::JointFill*> gaps;
  for (const study::JointFill& j : t.answer.joining.joints)
    if (!j.gap.empty()) gaps.push_back(&j);
  const auto fits = study::socket_fits(t.answer.fork.assembly);
  const double each = std::min(30.0, (free.height() - 12) / static_cast<double>(gaps.size()));
  double y = free.max.y();
  for (const study::JointFill* j : gaps) {
    const double words = 0.66 * free.width();
    Block list{.items = {}, .bottom = y};
    add_to(list, paragraph({free.min.x(), y}, words, j->gap, {.height = 3.5, .bold = true}));
    for (const study::SocketFit& f : fits)
      if (j->member == f.member && j->onto == f.plate)
        add_to(list, paragraph({free.min.x(), list.bottom - 0.6}, words, socket_words(f), kWords));
    for (const study::Fill& f : j->fills)
      add_to(list, paragraph({free.min.x(), list.bottom - 0.6}, words, fill_words(f), kWords));
    static_cast<void>(put_reading(g, {{free.min.x() + words + 4, y - each + 2}, {free.max.x(), y}},
                                  {"rod to lay ready", mm(rod_ready(*j), 0), ""}, 9));
    y = std::min(y - each, list.bottom - 3.5);
    add(g, std::move(list.items));
    put_rule(g, card, y + 1);
  }
  add(g, paragraph({free.min.x(), y - 0.5}, free.width(),
                   "Clean to bright steel inside and out, flux both, heat the thicker part and let the "
                   "filler run through; it must show all "
                   "round on the far side, or at a blind socket's mouth.",
                   kWords)
             .items);
  return g;
}

Group prove_card(const CardTable& t, const Box& card) {
  Box free;
  Group g = start(t, "PROVE", bike::Side::middle, "on the surface plate, before it is painted", "prove", card,
                  free);
  const drawing::Drawing d = drawing::drawing_of(t.job, t.answer);
  const std::vector<PlateMeasure> plan = measuring_plan(t.job, t.answer);
  const double words_high = 16, high = (free.height() - words_high) / 3;
  double y = free.max.y();
  const std::pair<Held, const char*> ways[] = {
      {Held::standing, "A"}, {Held::lying, "D"}, {Held::on_its_side, "F"}};
  for (const auto& [held, mark] : ways) {
    const auto m = std::ranges::find(plan, mark, &PlateMeasure::mark);
    const Box row{{free.min.x(), y - high + 3}, {free.max.x(), y}};
    add(g, plate_picture(d, held, {row.min, {row.min.x() + 0.58 * row.width(), row.max.y()}}).items);
    static_cast<void>(put_reading(g, {{row.min.x() + 0.62 * row.width(), row.min.y()}, row.max},
                                  {m->what, words(*m), m->limit.empty() ? "" : "within " + m->limit}, 10));
    y -= high;
    put_rule(g, card, y + 1.5);
  }
  add(g,
      paragraph(
          {free.min.x(), y - 0.5}, free.width(),
          "Left and right must read the same. The sheet \"measuring plan\" has every value and room for what "
          "you read. Cold set by little steps and measure again.",
          {.height = 3.5, .leading = 1.5})
          .items);
  return g;
}

namespace {

/// Windows of heat, the order of joining, the cautions, in letters of that height.
Block care_list(const CardTable& t, const Box& free, double letters) {
  const study::JoiningPlan& j = t.answer.joining;
  Block list{.items = {}, .bottom = free.max.y()};
  const TextStyle small{.height = letters, .leading = 1.45};
  for (const study::HeatWindow& w : j.windows)
    add_to(list, paragraph({free.min.x(), list.bottom}, free.width(), w.says,
                           {.height = 4.5, .leading = 1.4, .bold = true}));
  if (!j.windows.empty()) list.bottom -= 2;
  int n = step_with(t.order, "join").number;
  for (const WorkStep& s : t.order) {
    if (s.stage != Stage::join) continue;
    add_to(list, marked_paragraph({free.min.x(), list.bottom - 0.9}, free.width(), std::to_string(n++), 8,
                                  s.what, small));
  }
  list.bottom -= 2;
  add_to(list, heading({free.min.x(), list.bottom}, free.width(), "Cautions"));
  list.bottom -= 0.5;
  for (const study::Step& s : j.cautions)
    add_to(list, marked_paragraph({free.min.x(), list.bottom - 0.6}, free.width(), "!", 4, s.what, small));
  return list;
}

}  // namespace

Group care_card(const CardTable& t, const Box& card) {
  Box free;
  Group g = start(t, "JOIN", bike::Side::middle, "heat, order and care", "join", card, free);
  Block list;
  for (const double letters : {3.0, 2.75, 2.5}) {  // a long list in smaller letters, still read at the bench
    list = care_list(t, free, letters);
    if (list.bottom > card.min.y() + 1) break;
  }
  add(g, std::move(list.items));
  return g;
}

}  // namespace halfround::sheet
