#include "speak/shop_text.h"

#include <fmt/format.h>

#include <cmath>

#include "base/clock.h"
#include "solve/notes.h"

namespace halfround::speak {

namespace {

using base::format_number;
using base::to_deg;

std::string mm(double v, int decimals = 1) {
  return format_number(v, decimals) + " mm";
}
std::string deg(double v, int decimals = 1) {
  return format_number(to_deg(v), decimals) + "°";
}

void cutter(std::string& out, const shop::CutterFit& c) {
  if (!c.serves) {
    out += fmt::format("    {}: doesn't serve; {}\n", c.name, c.why_not);
    return;
  }
  out += fmt::format(
      "    {}: its axis {} {} the tube's; greatest gap {} at {}; the file works over {} of the clock and "
      "takes "
      "{} at most\n",
      c.name, mm(std::abs(c.offset), 2), c.offset >= 0 ? "above" : "below", mm(c.greatest_gap, 2),
      base::format_clock(c.u_greatest), deg(c.file_over, 0), mm(c.file_depth, 2));
  for (const shop::Stop& s : c.stops)
    out += fmt::format("      stop: {} from the {}\n", mm(s.distance), s.from);
}

void hand_plan(std::string& out, const shop::HandPlan& plan) {
  for (const shop::SawPlane& p : plan.saw.planes)
    out += fmt::format("    saw line: leans {} from square, farthest toward the joint at {}\n", deg(p.lean),
                       base::format_clock(p.u_longest));
  out += fmt::format("    left to file at most: {}{}\n", mm(plan.saw.most),
                     plan.saw.planes.size() > 1
                         ? fmt::format("; one saw line would leave {}", mm(plan.saw.most_by_one))
                         : std::string());
  int n = 0;
  for (const shop::FilingStep& s : plan.steps)
    out += fmt::format("      {}. {}{}{}\n", ++n, s.what, s.file.empty() ? "" : " [" + s.file + "]",
                       s.after_mill ? " (after milling too)" : "");
}

void set_up(std::string& out, const solve::ShopPlan& plan, const shop::MachineSetUp& s) {
  constexpr std::size_t kShown = 3;  // cutters worth reading
  out += fmt::format("  {}\n    tube axis to cutter axis {} ({} from square); clock angle {} faces up\n",
                     s.title, deg(s.angle), deg(s.from_square), base::format_clock(s.u_up));
  out += fmt::format(
      "    held by {}; in the jaws {}: wedge {} between the sides, cutter {} to the left flank, {} to the "
      "right\n",
      s.held.straight ? fmt::format("the straight piece from {} to {}", mm(s.held.from, 0), mm(s.held.to, 0))
                      : std::string("the tangent at the scribe line: there is no straight piece"),
      fmt::format("from {} to {}", mm(s.held.jaw_from, 0), mm(s.held.jaw_to, 0)),
      deg(s.flanks.wedge_sides, 2), deg(s.flanks.cutter_to_left), deg(s.flanks.cutter_to_right));
  for (std::size_t i = 0; i < std::min(kShown, s.cutters.size()); ++i) cutter(out, s.cutters[i]);
  if (!s.by_hand) return;
  out += "    by hand: " + s.why_by_hand + "\n";
  if (const shop::HandPlan* hand = solve::by_hand(plan, s)) hand_plan(out, *hand);
}

void reading(std::string& out, const shop::Reading& r) {
  out += fmt::format("    {}: set {} for {}", r.adjuster, r.text, r.what);
  if (r.in_range) {
    out += fmt::format("; rounding error {}\n", r.angle ? deg(r.error, 2) : mm(r.error, 2));
  } else {
    out += fmt::format("; OUT OF RANGE by {}\n",
                       r.angle ? deg(std::abs(r.out_by), 2) : mm(std::abs(r.out_by), 2));
  }
}

void turned(std::string& out, const shop::Adapter& a) {
  out += fmt::format("    turn {}: ", a.title);
  if (a.over_shoulders > 0) out += fmt::format("{} over its shoulders, ", mm(a.over_shoulders, 2));
  if (a.shoulder > 0)
    out += fmt::format("shoulder {} thick, {} across, ", mm(a.shoulder, 2), mm(a.shoulder_diameter, 1));
  if (a.spigot > 0) out += fmt::format("spigot {} long, ", mm(a.spigot, 1));
  out += fmt::format("chamfers {} by 45°\n", mm(a.chamfer, 1));
  for (const std::string& n : a.notes) out += "      " + n + "\n";
}

void fixture(std::string& out, const shop::FixtureSheet& f) {
  out += fmt::format("  fixture {}\n", f.fixture);
  for (const shop::Reading& r : f.readings) reading(out, r);
  if (f.as_set)
    out +=
        fmt::format("    set by {} and {}, the offset is {} ({} off) and the axle-to-crown {} ({} off)\n",
                    f.as_set->by[0], f.as_set->by[1], mm(f.as_set->offset, 2), mm(f.as_set->offset_error, 2),
                    mm(f.as_set->straight, 2), mm(f.as_set->straight_error, 2));
  for (const shop::Disagreement& d : f.disagreements) out += "    " + shop::words_of(d) + "\n";
  if (f.mount) {
    out += fmt::format(
        "    so set, the brake mount's bolts come {} off their place and {} aside; {} to hold ± {}\n",
        mm(f.mount->off, 2), mm(f.mount->aside, 2), f.mount->holds() ? "good enough" : "TOO COARSE",
        mm(f.mount->tolerance));
  }
  for (const std::string& i : f.idle)
    out += fmt::format("    {}: nothing to set, this fork has none that is known\n", i);
  for (const shop::HolderCheck& h : f.holders) {
    if (!h.fits) out += fmt::format("    {}: {}\n", h.what, h.note);
  }
  for (const shop::Adapter& a : f.pieces) turned(out, a);
  if (!f.adapter_problem.empty()) out += "    " + f.adapter_problem + "\n";
}

std::string size_of(shop::StockKind kind, double diameter, double wall) {
  if (kind == shop::StockKind::plate) return fmt::format("plate {} thick, {} wide", mm(wall), mm(diameter));
  const std::string across = mm(diameter) + (kind == shop::StockKind::bar ? " bar" : " tube");
  return wall > 0 ? across + ", wall " + mm(wall) : across;
}

void cutting(std::string& out, const shop::CutList& list, const shop::Shop& shop) {
  for (const shop::Served& s : list.pieces) {
    out += fmt::format("  {}: saw {} of {}", s.piece.what, mm(s.piece.length),
                       size_of(s.piece.kind, s.piece.diameter, s.piece.wall));
    if (s.stock) {
      out += fmt::format(" from {}, {} from its end", shop.stock[*s.stock].name, mm(s.from));
    } else {
      out += "; to buy";
    }
    out += "\n";
  }
  for (const shop::OffCut& o : list.off_cuts)
    out += fmt::format("  left of {}: {}\n", shop.stock[o.stock].name, mm(o.length));
  for (const shop::Buy& b : list.buy)
    out += fmt::format("  buy {}: {} or more\n", size_of(b.kind, b.diameter, b.wall), mm(b.length, 0));
}

}  // namespace

std::string shop_text(const solve::ShopPlan& plan, const shop::Shop& shop) {
  std::string out = "At the machine\n";
  for (const shop::MachineSetUp& s : plan.set_ups) set_up(out, plan, s);
  out += "\nLengths that prove the cuts\n";
  for (const shop::LengthCheck& c : plan.lengths) {
    out += fmt::format("  {}: {} from {} to {}", bike::spoken(c.member), mm(c.length, 2), c.from, c.to);
    if (!c.pair.empty()) out += fmt::format("; {} from the {}", mm(c.differs, 2), bike::spoken(c.pair));
    out += "\n";
  }
  out += "\nAt the fixture\n";
  for (const shop::FixtureSheet& f : plan.fixtures) fixture(out, f);
  out += "\nAt the saw\n";
  cutting(out, plan.cutting, shop);
  return out;
}

}  // namespace halfround::speak
