// The tables of one shop: what is set, read, sawn and bought.
#include "base/maths.h"
#include "exchange/csv_cells.h"
#include "exchange/csv_tables.h"

namespace halfround::exchange {
namespace {

using base::to_deg;

CsvTable set_ups(const solve::ShopPlan& plan) {
  CsvTable t{"set-ups",
             "what the hand sets at the machine, a row a cutter; those that serve come first",
             {"member", "end", "onto", "angle between the axes (deg)", "from square (deg)", "clock up (deg)",
              "cutter", "diameter (mm)", "serves", "offset of the axes (mm)", "setting point aside (mm)",
              "stop from", "stop (mm)", "greatest gap (mm)", "at clock (deg)", "left uncut (deg)",
              "file over (deg)", "file takes off (mm)", "why not"},
             {}};
  for (const shop::MachineSetUp& s : plan.set_ups) {
    const std::vector<std::string> head{bike::spoken(s.member), bike::end_name(s.member, s.end),
                                        bike::spoken(s.onto),   deg(s.angle),
                                        deg(s.from_square),     deg(s.u_up)};
    for (const shop::CutterFit& c : s.cutters) {
      std::vector<std::string> r = head;
      const bool stop = !c.stops.empty();
      r.insert(r.end(), {c.name, mm(c.diameter), yes(c.serves), mm(c.offset), mm(c.aside),
                         stop ? c.stops[0].from : "", stop ? mm(c.stops[0].distance) : "", mm(c.greatest_gap),
                         deg(c.u_greatest), deg(c.uncut), deg(c.file_over), mm(c.file_depth), c.why_not});
      t.rows.push_back(std::move(r));
    }
  }
  return t;
}

CsvTable gaps(const solve::ShopPlan& plan) {
  CsvTable t{
      "gaps-by-clock",
      "the gap that each cutter leaves, round the joint",
      {"member", "end", "cutter", "diameter (mm)", "clock (deg)", "gap (mm)", "along the tube (mm)", "where"},
      {}};
  for (const shop::MachineSetUp& s : plan.set_ups) {
    for (const shop::CutterFit& c : s.cutters) {
      for (const shop::GapPoint& g : c.gaps)
        t.rows.push_back({bike::spoken(s.member), bike::end_name(s.member, s.end), c.name, mm(c.diameter),
                          deg(g.u), mm(g.gap), mm(g.along),
                          g.reached == shop::Reached::met      ? "met"
                          : g.reached == shop::Reached::beside ? "passes beside"
                                                               : "uncut"});
    }
  }
  return t;
}

CsvTable hands(const solve::ShopPlan& plan) {
  CsvTable t{"by-hand",
             "ends cut with hacksaw and file: what the file takes off the saw cut",
             {"member", "end", "onto", "clock (deg)", "saw line depth (mm)", "finished depth (mm)",
              "take off (mm)", "bevel (deg)", "meets"},
             {}};
  for (const shop::HandPlan& h : plan.by_hand) {
    for (std::size_t i = 0; i < h.rows.size(); ++i) {
      const shop::HandRow& r = h.rows[i];
      t.rows.push_back({bike::spoken(h.member), bike::end_name(h.member, h.end), bike::spoken(h.onto),
                        deg(r.u), mm(h.saw.depth[i]), mm(r.wanted), mm(r.take_off), deg(r.bevel),
                        yes(r.met)});
    }
  }
  return t;
}

CsvTable readings(const solve::ShopPlan& plan) {
  CsvTable t{"fixture-readings",
             "what every scale shows",
             {"fixture", "scale", "measures", "unit", "wanted", "scale exactly (mm or deg)",
              "set to (mm or deg)", "as marked", "error (mm or deg)", "moves the axle by (mm)", "in range"},
             {}};
  for (const shop::FixtureSheet& f : plan.fixtures) {
    for (const shop::Reading& r : f.readings) {
      const auto v = [&](double x) { return csv_number(r.angle ? to_deg(x) : x, 4); };
      t.rows.push_back({f.fixture, r.adjuster, r.what, r.angle ? "deg" : "mm", v(r.wanted), v(r.exact),
                        v(r.set), r.text, v(r.error), mm(r.error_at_axle), yes(r.in_range)});
    }
  }
  return t;
}

CsvTable pieces(const solve::ShopPlan& plan) {
  CsvTable t{"cut-list",
             "which length serves which piece",
             {"piece", "kind", "diameter (mm)", "wall (mm)", "saw off (mm)", "finished (mm)", "from",
              "length number", "begins at (mm)"},
             {}};
  for (const shop::Served& s : plan.cutting.pieces) {
    const bool have = s.stock.has_value();
    t.rows.push_back({s.piece.what, shop::word_of(s.piece.kind), mm(s.piece.diameter),
                      s.piece.wall > 0 ? mm(s.piece.wall) : "", mm(s.piece.length), mm(s.piece.finished),
                      have ? plan.stock[*s.stock].name : "to buy", have ? std::to_string(s.nth + 1) : "",
                      have ? mm(s.from) : ""});
  }
  return t;
}

CsvTable shopping(const solve::ShopPlan& plan) {
  CsvTable t{
      "to-buy", "what the rack lacks", {"kind", "diameter (mm)", "wall (mm)", "length (mm)", "for"}, {}};
  for (const shop::Buy& b : plan.cutting.buy) {
    std::string what;
    for (const std::string& p : b.pieces) what += (what.empty() ? "" : "; ") + p;
    t.rows.push_back(
        {shop::word_of(b.kind), mm(b.diameter), b.wall > 0 ? mm(b.wall) : "", mm(b.length), what});
  }
  return t;
}

CsvTable lengths(const solve::ShopPlan& plan) {
  CsvTable t{"length-checks",
             "lengths that prove the cuts",
             {"member", "from", "at clock (deg)", "to", "at clock (deg), far end", "length (mm)", "pair",
              "longer than the pair by (mm)"},
             {}};
  for (const shop::LengthCheck& c : plan.lengths)
    t.rows.push_back({bike::spoken(c.member), c.from, deg(c.u_from), c.to, deg(c.u_to), mm(c.length),
                      bike::spoken(c.pair), c.pair.empty() ? "" : mm(c.differs)});
  return t;
}

}  // namespace

std::vector<CsvTable> shop_tables(const solve::ShopPlan& plan) {
  std::vector<CsvTable> all{set_ups(plan), gaps(plan),     hands(plan),  readings(plan),
                            pieces(plan),  shopping(plan), lengths(plan)};
  std::vector<CsvTable> out;
  for (CsvTable& t : all) {
    if (!t.rows.empty()) out.push_back(std::move(t));
  }
  return out;
}

}  // namespace halfround::exchange
