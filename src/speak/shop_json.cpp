#include "speak/shop_json.h"

#include <cmath>

namespace halfround::speak {

namespace {

using base::to_deg;

Json number_or_null(double v) {
  return std::isfinite(v) ? Json(v) : Json(nullptr);
}
const char* name_of(bike::End end) {
  return end == bike::End::end ? "end" : "start";
}
const char* name_of(shop::Reached r) {
  return r == shop::Reached::met ? "met" : r == shop::Reached::beside ? "beside" : "uncut";
}

const char* name_of(shop::RoughShape shape) {
  switch (shape) {
    case shop::RoughShape::square_off:
      return "one plane";
    case shop::RoughShape::notch:
      return "notch";
    case shop::RoughShape::roof:
      return "roof";
  }
  return "";
}

Json cutter_json(const shop::CutterFit& c) {
  Json j{{"name", c.name}, {"diameter", c.diameter}, {"serves", c.serves}};
  if (!c.serves) {
    j["why_not"] = c.why_not;
    return j;
  }
  j["offset"] = c.offset, j["aside"] = c.aside;
  j["greatest_gap"] = c.greatest_gap, j["greatest_gap_clock_deg"] = to_deg(c.u_greatest);
  j["file_over_deg"] = to_deg(c.file_over), j["file_depth"] = c.file_depth;
  j["stops"] = Json::array(), j["gaps"] = Json::array();
  for (const shop::Stop& s : c.stops)
    j["stops"].push_back({{"from", s.from}, {"s", s.s}, {"distance", s.distance}});
  for (const shop::GapPoint& g : c.gaps)
    j["gaps"].push_back({to_deg(g.u), number_or_null(g.gap), name_of(g.reached)});
  return j;
}

Json hand_json(const shop::HandPlan& p) {
  Json planes = Json::array();
  for (const shop::SawPlane& s : p.saw.planes)
    planes.push_back({{"lean_deg", to_deg(s.lean)}, {"longest_clock_deg", to_deg(s.u_longest)}});
  Json j{{"saw",
          {{"shape", name_of(p.saw.shape)},
           {"planes", std::move(planes)},
           {"most", p.saw.most},
           {"most_by_one", p.saw.most_by_one}}},
         {"rows", Json::array()},
         {"steps", Json::array()}};
  for (const shop::HandRow& r : p.rows) {
    j["rows"].push_back({{"clock_deg", to_deg(r.u)},
                         {"wanted", r.wanted},
                         {"take_off", r.take_off},
                         {"bevel_deg", to_deg(r.bevel)},
                         {"met", r.met}});
  }
  for (const shop::FilingStep& s : p.steps)
    j["steps"].push_back({{"what", s.what}, {"file", s.file}, {"after_mill", s.after_mill}});
  return j;
}

Json set_up_json(const solve::ShopPlan& plan, const shop::MachineSetUp& s) {
  Json j{{"title", s.title},
         {"member", s.member.name},
         {"end", name_of(s.end)},
         {"onto", s.onto.name},
         {"angle_deg", to_deg(s.angle)},
         {"from_square_deg", to_deg(s.from_square)},
         {"clock_up_deg", to_deg(s.u_up)},
         {"held",
          {{"from", s.held.from},
           {"to", s.held.to},
           {"straight", s.held.straight},
           {"jaw_from", s.held.jaw_from},
           {"jaw_to", s.held.jaw_to}}},
         {"flanks",
          {{"wedge_sides_deg", to_deg(s.flanks.wedge_sides)},
           {"wedge_up_down_deg", to_deg(s.flanks.wedge_up_down)},
           {"down_deg", to_deg(s.flanks.down)},
           {"shim_down", shop::shim_under(s.held, s.flanks.down).height},
           {"cutter_to_left_deg", to_deg(s.flanks.cutter_to_left)},
           {"cutter_to_right_deg", to_deg(s.flanks.cutter_to_right)}}},
         {"cutters", Json::array()}};
  for (const shop::CutterFit& c : s.cutters) j["cutters"].push_back(cutter_json(c));
  if (const shop::HandPlan* hand = solve::by_hand(plan, s)) {
    j["by_hand"] = hand_json(*hand);
    j["by_hand"]["why"] = s.why_by_hand;
  }
  return j;
}

Json reading_json(const shop::Reading& r) {
  const auto v = [&](double x) { return r.angle ? to_deg(x) : x; };
  return {{"adjuster", r.adjuster},
          {"what", r.what},
          {"unit", r.angle ? "deg" : "mm"},
          {"wanted", v(r.wanted)},
          {"set", v(r.set)},
          {"text", r.text},
          {"error", v(r.error)},
          {"in_range", r.in_range},
          {"out_by", v(r.out_by)},
          {"error_at_axle", r.error_at_axle}};
}

Json fit_json(const shop::FitLimits& f) {
  return {{"class", f.tolerance_class}, {"nominal", f.nominal}, {"lower", f.lower}, {"upper", f.upper}};
}

Json adapter_json(const shop::Adapter& a) {
  Json j{{"title", a.title},       {"pieces", a.pieces},
         {"shoulder", a.shoulder}, {"shoulder_diameter", a.shoulder_diameter},
         {"spigot", a.spigot},     {"chamfer", a.chamfer},
         {"relief", a.relief},     {"play", a.play},
         {"notes", a.notes}};
  if (a.spigot_fit) j["spigot_fit"] = fit_json(*a.spigot_fit);
  if (a.bore_fit) j["bore_fit"] = fit_json(*a.bore_fit);
  if (a.over_shoulders > 0) j["over_shoulders"] = a.over_shoulders;
  return j;
}

Json fixture_json(const shop::FixtureSheet& f) {
  Json j{{"fixture", f.fixture}, {"readings", Json::array()}, {"holders", Json::array()}};
  for (const shop::Reading& r : f.readings) j["readings"].push_back(reading_json(r));
  for (const shop::HolderCheck& h : f.holders) {
    j["holders"].push_back(
        {{"what", h.what}, {"has", h.has}, {"wanted", h.wanted}, {"fits", h.fits}, {"note", h.note}});
  }
  if (f.mount) {
    j["mount_as_set"] = {{"off", f.mount->off},
                         {"aside", f.mount->aside},
                         {"tolerance", f.mount->tolerance},
                         {"holds", f.mount->holds()}};
  }
  if (!f.idle.empty()) j["idle"] = f.idle;
  if (f.lift > 0) j["lift"] = f.lift;
  if (f.as_set) {
    j["as_set"] = {{"by", f.as_set->by},
                   {"offset", f.as_set->offset},
                   {"axle_to_crown", f.as_set->straight},
                   {"offset_error", f.as_set->offset_error},
                   {"axle_to_crown_error", f.as_set->straight_error}};
  }
  for (const shop::Disagreement& d : f.disagreements) {
    j["disagreements"].push_back({{"scale", d.scale},
                                  {"others", d.others},
                                  {"what", d.what},
                                  {"unit", d.angle ? "deg" : "mm"},
                                  {"by", d.angle ? to_deg(d.by) : d.by},
                                  {"at_axle", d.at_axle}});
  }
  for (const shop::Adapter& a : f.pieces) j["pieces"].push_back(adapter_json(a));
  if (!f.adapter_problem.empty()) j["adapter_problem"] = f.adapter_problem;
  return j;
}

Json cutting_json(const shop::CutList& list) {
  Json j{{"pieces", Json::array()}, {"off_cuts", Json::array()}, {"buy", Json::array()}};
  for (const shop::Served& s : list.pieces) {
    j["pieces"].push_back({{"what", s.piece.what},
                           {"kind", shop::word_of(s.piece.kind)},
                           {"diameter", s.piece.diameter},
                           {"wall", s.piece.wall},
                           {"length", s.piece.length},
                           {"finished", s.piece.finished},
                           {"stock", s.stock ? Json(*s.stock) : Json(nullptr)},
                           {"nth", s.nth},
                           {"from", s.from}});
  }
  for (const shop::OffCut& o : list.off_cuts)
    j["off_cuts"].push_back({{"stock", o.stock}, {"nth", o.nth}, {"length", o.length}});
  for (const shop::Buy& b : list.buy) {
    j["buy"].push_back({{"kind", shop::word_of(b.kind)},
                        {"diameter", b.diameter},
                        {"wall", b.wall},
                        {"length", b.length},
                        {"pieces", b.pieces}});
  }
  return j;
}

}  // namespace

Json shop_json(const solve::ShopPlan& plan) {
  Json j{{"name", plan.shop},
         {"set_ups", Json::array()},
         {"lengths", Json::array()},
         {"fixtures", Json::array()},
         {"cutting", cutting_json(plan.cutting)}};
  for (const shop::MachineSetUp& s : plan.set_ups) j["set_ups"].push_back(set_up_json(plan, s));
  for (const shop::LengthCheck& c : plan.lengths) {
    j["lengths"].push_back({{"member", c.member.name},
                            {"from", c.from},
                            {"to", c.to},
                            {"length", c.length},
                            {"pair", c.pair.name},
                            {"differs", c.differs}});
  }
  for (const shop::FixtureSheet& f : plan.fixtures) j["fixtures"].push_back(fixture_json(f));
  return j;
}

Json mount_json(const study::Mount& m) {
  static constexpr const char* kKinds[] = {"post", "flat", "tab"};
  Json j{{"kind", kKinds[static_cast<int>(m.kind)]},
         {"blade", m.blade.name},
         {"known", m.known},
         {"lean_deg", to_deg(m.turn)},
         {"rotor_plane", m.rotor_plane},
         {"lateral", m.lateral},
         {"face", m.face},
         {"tolerance", m.tolerance},
         {"feet", Json::array()},
         {"notes", m.notes}};
  for (const study::MountFoot& f : m.feet) {
    Json depths = Json::array();
    for (const base::Vec2& d : f.depths) depths.push_back({to_deg(d.x()), d.y()});
    j["feet"].push_back({{"face", {f.face.x(), f.face.y(), f.face.z()}},
                         {"along", f.along},
                         {"foot", {f.foot.x(), f.foot.y(), f.foot.z()}},
                         {"meets", f.meets},
                         {"standing", f.standing},
                         {"nearest", f.nearest},
                         {"s", f.s},
                         {"clock_deg", to_deg(f.u)},
                         {"depths", std::move(depths)}});
  }
  return j;
}

Json features_json(const std::vector<study::Feature>& features) {
  Json j = Json::array();
  for (const study::Feature& f : features) {
    j.push_back({{"name", f.name},
                 {"member", f.member.name},
                 {"s", f.s},
                 {"clock_deg", to_deg(f.u)},
                 {"size", f.size},
                 {"point", {f.point.x(), f.point.y(), f.point.z()}},
                 {"order", f.order},
                 {"when", f.when},
                 {"why", f.why},
                 {"from_joint", number_or_null(f.from_joint)},
                 {"caution", f.caution},
                 {"by_rule", f.placed}});
  }
  return j;
}

}  // namespace halfround::speak
