// The tables of the studies.
#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/maths.h"
#include "exchange/csv_cells.h"
#include "exchange/csv_tables.h"
#include "solve/studies.h"

namespace halfround::exchange {
namespace {

using base::to_deg;
using Row = std::vector<std::string>;

constexpr double kGrams = 1000;  // per kg

CsvTable depths(const solve::Answer& a) {
  CsvTable t{"depths-by-clock",
             "depths of every mitre from its scribe line",
             {"member", "end", "onto", "scribe line from the stock's end (mm)",
              "the same on the bend's outside (mm)", "the same on its inside (mm)",
              "scribe line from the stock's other end (mm)",
              "the same on the bend's outside, from there (mm)", "the same on its inside, from there (mm)",
              "clock (deg)", "outer depth (mm)", "inner depth (mm)", "bevel (deg)", "meets"},
             {}};
  for (const study::Mitre& m : a.mitres) {
    for (const study::ClockDepth& c : m.clock)
      t.rows.push_back({bike::spoken(m.member), bike::end_name(m.member, m.end), bike::spoken(m.onto),
                        mm(m.scribe_from_end.centre), mm(m.scribe_from_end.outside),
                        mm(m.scribe_from_end.inside), mm(m.scribe_from_other.centre),
                        mm(m.scribe_from_other.outside), mm(m.scribe_from_other.inside), deg(c.u),
                        mm(c.outer), mm(c.inner), deg(c.bevel), yes(c.met)});
  }
  return t;
}

CsvTable joints(const solve::Answer& a) {
  CsvTable t{"joining-joints",
             "what each joint takes of each filler",
             {"member", "end", "onto", "joint length (mm)", "least angle (deg)", "greatest angle (deg)",
              "pass", "filler", "radius (mm)", "volume (mm3)", "mass (g)"},
             {}};
  for (const study::JointFill& j : a.joining.joints) {
    int pass = 0;
    for (const study::Fill& f : j.fills)
      t.rows.push_back({j.gap.empty() ? bike::spoken(j.member) : j.gap, bike::end_name(j.member, j.end),
                        j.gap.empty() ? bike::spoken(j.onto) : "", mm(j.length), deg(j.psi_least),
                        deg(j.psi_most), std::to_string(++pass), f.filler, mm(f.radius),
                        csv_number(f.volume, 1), csv_number(kGrams * f.mass, 2)});
  }
  return t;
}

CsvTable rods(const solve::Answer& a) {
  CsvTable t{
      "joining-rods",
      "rods to have ready, any one diameter of a filler",
      {"filler", "mass in the joints (g)", "on the rack", "rod diameter (mm)", "rod length with waste (mm)"},
      {}};
  for (const study::Shopping& s : a.joining.shopping) {
    for (const study::Rod& r : s.rods)
      t.rows.push_back({s.filler, csv_number(kGrams * s.mass, 2), yes(s.on_the_rack), mm(r.diameter),
                        csv_number(r.length, 0)});
  }
  return t;
}

CsvTable steps(const solve::Answer& a) {
  CsvTable t{
      "joining-steps", "order of joining, and its cautions", {"kind", "number", "what", "why", "source"}, {}};
  int n = 0;
  for (const study::Step& s : a.joining.steps)
    t.rows.push_back({"step", std::to_string(++n), s.what, s.why, s.source});
  n = 0;
  for (const study::Step& s : a.joining.cautions)
    t.rows.push_back({"caution", std::to_string(++n), s.what, s.why, s.source});
  return t;
}

CsvTable openings(const solve::Answer& a) {
  CsvTable t{
      "small-parts",
      "small parts, openings and vents in the order to make them",
      {"order", "name", "member", "along from the lower end (mm)", "clock (deg)", "size (mm)", "x (mm)",
       "y (mm)", "z (mm)", "from the nearest joint (mm)", "when", "why", "caution", "placed by rule"},
      {}};
  for (const study::Feature& f : a.features)
    t.rows.push_back({std::to_string(f.order), f.name, bike::spoken(f.member), mm(f.s), deg(f.u), mm(f.size),
                      mm(f.point.x()), mm(f.point.y()), mm(f.point.z()), mm(f.from_joint), f.when, f.why,
                      f.caution, f.placed});
  for (const study::Vent& v : a.joining.vents)
    t.rows.push_back({"", "vent hole of the joining plan", bike::spoken(v.member), mm(v.s), deg(v.u),
                      mm(v.diameter), mm(v.point.x()), mm(v.point.y()), mm(v.point.z()), "", "", v.why, "",
                      ""});
  return t;
}

CsvTable clearances(const solve::Answer& a) {
  CsvTable t{"clearances",
             "distances of the wheel's parts to every member, nearest first",
             {"body", "member", "distance (mm)", "proved at least (mm)", "allowance (mm)", "on member x (mm)",
              "on member y (mm)", "on member z (mm)", "on body x (mm)", "on body y (mm)", "on body z (mm)"},
             {}};
  for (const study::ClearanceItem& i : a.clearance.items)
    t.rows.push_back({bike::spoken(i.body), bike::spoken(i.member), mm(i.value), mm(i.at_least),
                      mm(i.allowance), mm(i.on_member.x()), mm(i.on_member.y()), mm(i.on_member.z()),
                      mm(i.on_body.x()), mm(i.on_body.y()), mm(i.on_body.z())});
  return t;
}

CsvTable strength(const solve::Answer& a) {
  CsvTable t{
      "strength",
      "every load: how far the axle moves, and the weakest place (estimates; a prototype is proof-tested)",
      {"load", "source", "force (N)", "cycles", "axle forward (mm)", "axle left (mm)", "axle up (mm)",
       "against", "member", "along (mm)", "clock (deg)", "stress (MPa)", "strength (MPa)", "margin",
       "permanent set (mm)", "note"},
      {}};
  for (const study::CaseResult& c : a.strength.cases) {
    const auto row = [&](const char* against, const std::optional<study::WeakPlace>& w) {
      Row r{c.load.name,          c.load.source,        csv_number(c.force, 1), csv_number(c.load.cycles, 0),
            mm(c.deflection.x()), mm(c.deflection.y()), mm(c.deflection.z()),   against};
      if (w) {
        r.insert(r.end(), {bike::spoken(w->member), csv_number(w->s, 1), csv_number(to_deg(w->u), 1),
                           csv_number(w->stress, 1), csv_number(w->strength, 1), csv_number(w->margin, 3)});
      } else {
        r.insert(r.end(), 6, "");
      }
      r.insert(r.end(), {csv_number(c.set, 2), c.note});
      t.rows.push_back(std::move(r));
    };
    if (c.yield) row("yield", c.yield);
    if (c.fatigue) row("fatigue", c.fatigue);
    if (!c.yield && !c.fatigue) row("unknown", {});
  }
  return t;
}

CsvTable spread(const solve::Answer& a) {
  CsvTable t{"tolerance",
             "how far the finished fork may be off, and which dimension does it",
             {"measure", "unit", "nominal", "mean", "standard deviation", "95 of 100 within", "worst case",
              "root sum square", "chance below", "chance above", "dimension", "plus or minus (mm or deg)",
              "effect", "share"},
             {}};
  if (!a.tolerance) return t;
  for (const study::MeasureResult& m : a.tolerance->measures) {
    const Row head{m.name,
                   m.unit,
                   csv_number(m.nominal, 4),
                   csv_number(m.mean, 4),
                   csv_number(m.sd, 4),
                   csv_number(m.spread95, 4),
                   csv_number(m.worst_case, 4),
                   csv_number(m.rss, 4),
                   m.limit ? csv_number(m.below, 6) : "",
                   m.limit ? csv_number(m.above, 6) : ""};
    for (const study::Contribution& c : m.contributions) {
      Row r = head;
      const auto of = std::ranges::find(a.chain.dimensions, c.of, &bike::Dimension::name);
      const bool angle = of != a.chain.dimensions.end() && of->angle;
      r.insert(r.end(), {c.of, csv_number(angle ? to_deg(c.plus_minus) : c.plus_minus, 4),
                         csv_number(c.effect, 6), csv_number(c.share, 4)});
      t.rows.push_back(std::move(r));
    }
  }
  return t;
}

CsvTable masses(const solve::Answer& a) {
  CsvTable t{"masses",
             "what every part weighs once it is cut, and where its weight stands",
             {"part", "mass (g)", "volume (mm3)", "centre x (mm)", "centre y (mm)", "centre z (mm)"},
             {}};
  const auto row = [&](const std::string& name, std::optional<double> kg, const std::string& volume,
                       const base::Vec3& c) {
    t.rows.push_back({name, kg ? csv_number(kGrams * *kg, 2) : "", volume, mm(c.x()), mm(c.y()), mm(c.z())});
  };
  for (const study::PartMass& p : a.mass.parts)
    row(p.part.empty() ? p.filler : bike::spoken(p.part), p.mass, csv_number(p.volume, 1), p.centre);
  row("all", a.mass.total, "", a.mass.centre);
  return t;
}

CsvTable limits(const solve::Answer& a) {
  CsvTable t{"limits",
             "which limits are met",
             {"study", "code", "what", "where", "value", "unit", "bound", "limit", "source", "standing",
              "note", "grade", "question"},
             {}};
  for (const bike::Verdict& v : a.verdicts) {
    t.rows.push_back({v.study, v.code, v.what, v.where, csv_number(v.value, 4), v.unit,
                      v.limit ? bike::word_of(v.limit->bound) : "",
                      v.limit ? csv_number(v.limit->value, 4) : "", v.limit ? v.limit->source : "",
                      bike::word_of(v.standing()), v.note, bike::word_of(v.grade()),
                      bike::word_of(v.question())});
  }
  return t;
}

CsvTable steering(const solve::Answer& a) {
  CsvTable t{"steering", "how the fork steers", {"what", "value", "unit"}, {}};
  const solve::Handling& h = a.handling;
  const auto row = [&](const char* what, double v, const char* unit) {
    t.rows.push_back({what, csv_number(v, 4), unit});
  };
  row("head angle", to_deg(h.head_angle), "deg"), row("offset", a.intent.offset, "mm");
  row("axle to crown, straight", h.axle_to_crown_straight, "mm");
  row("axle to crown, along the axis", h.axle_to_crown_along, "mm");
  row("wheel radius", h.wheel_radius, "mm"), row("trail", h.trail, "mm"), row("wheel flop", h.flop, "mm");
  if (h.loaded_trail) row("trail, rider on", *h.loaded_trail, "mm");
  return t;
}

/// The tables of one study.
std::vector<CsvTable> tables_of(const solve::Answer& a, solve::Study which) {
  switch (which) {
    case solve::Study::joining:
      return {joints(a), rods(a), steps(a)};
    case solve::Study::small_parts:
      return {openings(a)};
    case solve::Study::clearance:
      return {clearances(a)};
    case solve::Study::strength:
      return {strength(a)};
    case solve::Study::tolerance:
      return {spread(a)};
    case solve::Study::mass:
      return {masses(a)};
    case solve::Study::steering:
      return {steering(a)};
    case solve::Study::mount:
    case solve::Study::wheel:
    case solve::Study::edges:
    case solve::Study::stands:
      return {};  // their verdicts stand in the limits
  }
  return {};
}

}  // namespace

std::vector<CsvTable> answer_tables(const solve::Answer& a) {
  std::vector<CsvTable> all{depths(a), limits(a)};
  for (const solve::StudyRow& row : solve::studies())
    std::ranges::move(tables_of(a, row.value), std::back_inserter(all));
  std::erase_if(all, [](const CsvTable& t) { return t.rows.empty(); });
  return all;
}

}  // namespace halfround::exchange
