#include "exchange/rotary_code.h"

#include <fmt/format.h>

#include <cmath>

#include "base/number.h"
#include "base/result.h"
#include "shop/set_up.h"
#include "solve/notes.h"

namespace halfround::exchange {
namespace {

using base::fixed;
using base::to_deg;
using shop::RotaryMove;

/// A comment: capitals, ASCII, no brackets inside.
std::string comment(const std::string& text) {
  std::string out = "(";
  for (const char c : text) {
    const auto u = static_cast<unsigned char>(c);
    if (u >= 0xc0)
      out += '?';
    else if (u < 0x80 && u >= 0x20)
      out += c == '(' || c == ')' ? '-' : static_cast<char>(c >= 'a' && c <= 'z' ? c - 32 : c);
  }
  return out + ")\r\n";
}

class Code {
 public:
  void say(const std::string& text) { out_ += comment(text); }
  void block(const std::string& words) {
    n_ += 10;
    out_ += fmt::format("N{} {}\r\n", n_, words);
  }
  void raw(const std::string& text) { out_ += text; }
  [[nodiscard]] std::string text() && { return std::move(out_); }

 private:
  int n_ = 0;
  std::string out_;
};

void preamble(Code& code, const solve::Answer& answer, const shop::RotaryPath& p) {
  const std::string end = bike::end_name(p.member, p.end);
  const auto mm = [](double v) { return fixed(v, 2) + " mm"; };
  code.say("Halfround: " + answer.name + ", revision " + answer.revision);
  code.say(bike::spoken(p.member, p.end) + ", onto the " + bike::spoken(p.onto));
  code.say("Millimetres, degrees, absolute");
  if (p.mills) {
    code.say("Tool: centre-cutting end mill of " + mm(p.tool.diameter) +
             " pointing at the tube's axis; its radius is taken into account here");
    code.say("X is the mill's axis, Z its tip");
  } else {
    code.say(
        "Tool of zero width, a scriber or pen pointing at the tube's axis: it marks the outer edge and cuts "
        "nothing");
    if (!p.why_marks.empty()) code.say("No milling: " + p.why_marks);
  }
  code.say("Zero X: on the scribe line, " + mm(p.scribe_from_end) + " from the " + end +
           " end of the stock; X grows toward that end");
  code.say("Zero A: the mark line under the tool; A grows as the clock angle under the tool grows");
  code.say("The clock angle runs clockwise seen from the tube's lower end, looking up it");
  code.say("Zero Z: on the axis the tube turns about; touch the tube and add its radius there");
  code.say("X " + mm(p.x_least) + " to " + mm(p.x_most) + ", Z " + mm(p.z_least) + " to " + mm(p.z_most) +
           ", A 0 to " + fixed(to_deg(p.moves.back().a), 0) + " degrees");
  code.say("Needs a swing of " + mm(2 * p.swing) + " diameter for the whole piece; the tube is " +
           mm(2 * p.radius) + " here");
  if (p.run_out > 0.02)
    code.say("The tube is not straight here: its middle leaves the axis by " + mm(p.run_out) +
             ", counted in the path");
  code.say("Feed " + fixed(p.tool.feed, 0) + " mm/min along the surface, " + fixed(p.tool.plunge_feed, 0) +
           " into the wall; safe height " + mm(p.tool.safe_height) + " above the tube");
  code.say(
      fmt::format("Dry run: steel that stays is cut into by {} mm; lowest Z {} mm above the axis; {} minutes",
                  fixed(p.dry.gouged, 3), fixed(p.dry.lowest, 2), fixed(p.dry.minutes, 1)));
  if (p.mills)
    code.say(fmt::format(
        "Left for the file: up to {} mm over the outer edge at {} degrees, {} mm over the inner at {}",
        fixed(p.dry.left_outer, 2), fixed(to_deg(p.dry.u_left_outer), 0), fixed(p.dry.left_inner, 2),
        fixed(to_deg(p.dry.u_left_inner), 0)));
  code.say(
      "Caution: machines differ. Read it, run it in the air, then on scrap. The waste end comes loose: keep "
      "clear");
}

double way(const RotaryMove& from, const RotaryMove& to) {
  const double round = 0.5 * (from.z + to.z) * (to.a - from.a);
  return std::sqrt(std::pow(to.x - from.x, 2) + round * round + std::pow(to.z - from.z, 2));
}

}  // namespace

CsvTable rotary_table(const shop::RotaryPath& p) {
  CsvTable t{
      "",
      p.mills ? "path of a mill: its axis and tip by the tube's turn" : "the outer edge by the tube's turn",
      {"move", "A (deg)", "X from the scribe line (mm)", "Z from the axis (mm)", "feed (mm/min)"},
      {}};
  for (const RotaryMove& m : p.moves)
    t.rows.push_back({m.rapid ? "rapid" : "feed", csv_number(to_deg(m.a), 3), csv_number(m.x, 4),
                      csv_number(m.z, 4), m.rapid ? "" : csv_number(m.feed, 0)});
  return t;
}

std::string rotary_code(const solve::Answer& answer, const shop::RotaryPath& p) {
  base::check(p.why_not().empty(), "a path that should not be run is not written");
  Code code;
  code.raw("%\r\n");
  preamble(code, answer, p);
  code.block("G21 G90 G94");
  bool inverse = false;
  for (std::size_t i = 0; i < p.moves.size(); ++i) {
    const RotaryMove& m = p.moves[i];
    const std::string x = "X" + fixed(m.x, 3), a = "A" + fixed(to_deg(m.a), 3), z = "Z" + fixed(m.z, 3);
    if (m.rapid) {
      // up first, then over the place
      code.block("G00 " + z), code.block("G00 " + x + " " + a);
      code.say(p.mills ? "Start the spindle by hand now, then go on" : "The tool comes down next");
      code.block("M00");
      continue;
    }
    const RotaryMove& from = p.moves[i - 1];
    if (from.a == m.a) {
      code.block(fmt::format("{}G01 {} {} F{}", inverse ? "G94 " : "", x, z, fixed(m.feed, 0)));
      inverse = false;
      continue;
    }
    code.block(
        fmt::format("{}G01 {} {} {} F{}", inverse ? "" : "G93 ", x, a, z, fixed(m.feed / way(from, m), 3)));
    inverse = true;
  }
  code.block("M05"), code.block("M30");
  code.raw("%\r\n");
  return std::move(code).text();
}

}  // namespace halfround::exchange
