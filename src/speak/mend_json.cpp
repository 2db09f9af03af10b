// The mended plan and a fit-up as JSON. Lengths mm, angles degrees (keys end in _deg). Schemas:
// docs/replan.schema.json, docs/fitup.schema.json
#include <cmath>

#include "replan/replan.h"
#include "solve/fit_up.h"
#include "speak/fit_up_text.h"
#include "speak/replan_text.h"
#include "speak/shop_json.h"

namespace halfround::speak {

namespace {

using base::to_deg;

const char* name_of(replan::Fate fate) {
  static constexpr const char* kNames[] = {"kept", "file", "cut again", "to cut", "scrap"};
  return kNames[static_cast<int>(fate)];
}

Json move_json(const replan::Move& m) {
  const auto v = [&](double x) { return m.angle ? to_deg(x) : x; };
  return {{"key", m.key},
          {"what", m.what},
          {"unit", m.angle ? "deg" : "mm"},
          {"was", v(m.was)},
          {"is", v(m.is)},
          {"difference", v(m.difference())},
          {"freedom", v(m.freedom)},
          {"only_a_loss_counts", m.only_less}};
}

Json piece_json(const replan::Piece& p) {
  return {{"member", p.member.name},
          {"fate", name_of(p.fate)},
          {"why", p.why},
          {"length", {{"was", p.length_was}, {"is", p.length}}},
          {"lower_trim", {{"was", p.lower_trim_was}, {"is", p.lower_trim}}},
          {"top", {{"was", p.top_was}, {"is", p.top}}},
          {"template_change", {{"lower", p.lower_change}, {"upper", p.upper_change}}},
          {"old_cut_gapes", {{"lower", p.lower_gap}, {"upper", p.upper_gap}}}};
}

Json way_json(const replan::Alternative& a) {
  Json j{{"title", a.title},
         {"cost", std::isfinite(a.cost) ? Json(a.cost) : Json(nullptr)},
         {"scrapped", a.scrapped},
         {"cut_again", a.cut_again}};
  j["moves"] = Json::array(), j["pieces"] = Json::array(), j["set"] = Json::array();
  for (const replan::Move& m : a.moves) j["moves"].push_back(move_json(m));
  for (const replan::Piece& p : a.pieces) j["pieces"].push_back(piece_json(p));
  for (const replan::Setting& s : a.set) j["set"].push_back({{"key", s.key}, {"value", s.value}});
  j["take_out"] = a.drop;
  j["not_met"] = a.broken;
  return j;
}

Json estimate_json(const study::Estimate& e, bool angle) {
  return {{"value", angle ? to_deg(e.value) : e.value},
          {"sd", e.sd ? Json(angle ? to_deg(*e.sd) : *e.sd) : Json(nullptr)}};
}

Json offers_json(const std::vector<base::Offer>& offers) {
  Json out = Json::array();
  for (const base::Offer& o : offers) out.push_back({{"key", o.key}, {"typed", o.typed}, {"label", o.label}});
  return out;
}

}  // namespace

std::string replan_json(const replan::Replan& plan) {
  Json j{{"halfround", 1}, {"job", plan.name}};
  j["planned_length"] = {{"left", plan.length_left}, {"right", plan.length_right}};
  j["notes"] = Json::array();
  for (const replan::Reading& n : plan.notes)
    j["notes"].push_back({{"words", n.words}, {"offers", offers_json(n.offers)}});
  j["ways"] = Json::array(), j["outside"] = Json::array();
  for (const replan::Alternative& a : plan.ways) j["ways"].push_back(way_json(a));
  for (const replan::Alternative& a : plan.outside) j["outside"].push_back(way_json(a));
  return j.dump(2) + "\n";
}

std::string fit_up_json(const solve::FitUpAnswer& a) {
  const study::FitUp& f = a.found;
  Json j{{"halfround", 1},
         {"job", a.job},
         {"title", a.title},
         {"member", f.member.name},
         {"end", f.end == bike::End::end ? "end" : "start"},
         {"onto", f.onto.name},
         {"told", f.told}};
  j["angle_deg"] = estimate_json(f.angle, true), j["side_deg"] = estimate_json(f.side, true);
  j["height"] = estimate_json(f.height, false);
  j["lean_deg"] = to_deg(f.lean), j["high_clock_deg"] = to_deg(f.u_high), j["rms"] = f.rms;
  j["advance"] = f.advance, j["worst_left"] = f.worst_left;
  j["residuals"] = Json::array(), j["table"] = Json::array();
  for (const study::Residual& r : f.residuals)
    j["residuals"].push_back({{"clock_deg", to_deg(r.u)}, {"gap", r.gap}, {"left", r.left}});
  for (const study::TakeOff& t : f.table) {
    Json row{{"clock_deg", to_deg(t.u)}, {"met", t.met}, {"no_touch", t.no_touch}, {"grazing", t.grazing}};
    row["gap"] = t.met ? Json(t.gap) : Json(nullptr),
    row["take_off"] = t.met ? Json(t.take_off) : Json(nullptr);
    row["gap_left"] = t.met ? Json(t.left) : Json(nullptr);
    j["table"].push_back(std::move(row));
  }
  j["notes"] = f.notes;
  return j.dump(2) + "\n";
}

}  // namespace halfround::speak
