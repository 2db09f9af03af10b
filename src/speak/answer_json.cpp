#include "speak/answer_json.h"

#include <cmath>

#include "solve/notes.h"
#include "solve/studies.h"
#include "speak/shop_json.h"
#include "study/stock_use.h"

namespace halfround::speak {

namespace {

using base::to_deg;
using base::Vec2;
using base::Vec3;

constexpr double kStationStep = 1.0;  // mm, the farthest apart stations stand
constexpr int kOutlinePoints = 72;

Json point(const Vec3& p) {
  return Json::array({p.x(), p.y(), p.z()});
}
Json point(const Vec2& p) {
  return Json::array({p.x(), p.y()});
}

Json outline_at(const shape::Profile& profile, double s) {
  Json o;
  const double wall = profile.wall(s);
  switch (profile.kind(s)) {
    case shape::OutlineKind::round:
      o["kind"] = "round";
      break;
    case shape::OutlineKind::ellipse:
      o["kind"] = "ellipse";
      break;
    case shape::OutlineKind::measured:
      o["kind"] = "measured";
      break;
  }
  o["width"] = profile.width(s);
  o["depth"] = profile.depth(s);
  if (profile.kind(s) == shape::OutlineKind::measured) {
    for (int i = 0; i < kOutlinePoints; ++i) {
      const Vec2 e = base::unit_at(2 * base::kPi * i / kOutlinePoints);
      o["points"].push_back(point(Vec2(profile.at(e, s).r * e)));
    }
  }
  o["wall"] = wall > 0 ? Json(wall) : Json(nullptr);
  return o;
}

Json member_json(const bike::Member& m, const std::vector<study::Mitre>& mitres) {
  // the stock, and as much beyond it as a cut reaches
  double from = 0, to = m.stock_length;
  for (const study::Mitre& cut : mitres) {
    if (cut.member == m.part) from = std::min(from, cut.s_least), to = std::max(to, cut.s_most);
  }
  from = std::min(from, m.s_start), to = std::max(to, m.s_end);
  Json j;
  j["name"] = m.part.name;
  j["spoken"] = bike::spoken(m.part);
  j["stock_length"] = m.stock_length;
  j["s_start"] = m.s_start;
  j["s_end"] = m.s_end;
  const study::StockUse use = study::stock_use(m, mitres);
  j["off_start"] = use.off_start, j["used"] = use.used, j["off_end"] = use.off_end;
  const int n = std::max(1, static_cast<int>(std::ceil((to - from) / kStationStep)));
  for (int i = 0; i <= n; ++i) {
    const double s = from + (to - from) * i / n;
    const shape::Frame f = m.tube.centreline.at(s);
    j["stations"].push_back({{"s", s},
                             {"centre", point(f.c)},
                             {"tangent", point(f.t)},
                             {"mark", point(f.m)},
                             {"outline", outline_at(m.tube.profile, s)}});
  }
  return j;
}

Json edge_json(const std::vector<study::EdgePoint>& edge) {
  Json out = Json::array();
  for (const study::EdgePoint& q : edge) {
    out.push_back({{"clock_deg", to_deg(q.u)},
                   {"point", point(q.point)},
                   {"s", q.s},
                   {"depth", q.depth},
                   {"met", q.met}});
  }
  return out;
}

const char* name_of(bike::End end) {
  return end == bike::End::end ? "end" : "start";
}
const char* name_of(bike::JointKind kind) {
  switch (kind) {
    case bike::JointKind::mitred:
      return "mitred";
    case bike::JointKind::slotted:
      return "slotted";
    case bike::JointKind::socketed:
      return "socketed";
    case bike::JointKind::bored:
      return "bored";
    case bike::JointKind::one_piece:
      return "one piece";
    case bike::JointKind::butted:
      return "butted";
  }
  return "";
}

Json tape_json(const shape::Tape& t) {
  return {{"centreline", t.centre},
          {"outside", t.bent ? Json(t.outside) : Json(nullptr)},
          {"inside", t.bent ? Json(t.inside) : Json(nullptr)},
          {"outside_clock_deg", t.bent ? Json(to_deg(t.clock_outside)) : Json(nullptr)}};
}

Json mitre_json(const study::Mitre& m) {
  Json j;
  j["member"] = m.member.name;
  j["end"] = name_of(m.end);
  j["onto"] = m.onto.name;
  j["scribe_s"] = m.s_scribe;
  j["scribe_from_end"] = tape_json(m.scribe_from_end);
  j["scribe_from_other"] = tape_json(m.scribe_from_other);
  j["joint_length"] = m.joint_length;
  j["passed_by_deg"] = to_deg(m.passed_by);
  j["passing_deg"] = Json::array();
  for (const study::Passing& p : m.passing) j["passing_deg"].push_back({to_deg(p.from), to_deg(p.to)});
  j["meets"] = m.meets.empty() ? Json(nullptr) : Json(m.meets.name);
  j["lowest"] = {{"depth", m.lowest}, {"clock_deg", to_deg(m.u_lowest)}};
  j["highest"] = {{"depth", m.highest}, {"clock_deg", to_deg(m.u_highest)}};
  j["clock"] = Json::array();
  for (const study::ClockDepth& c : m.clock) {
    j["clock"].push_back({{"clock_deg", to_deg(c.u)},
                          {"outer", c.outer},
                          {"inner", std::isnan(c.inner) ? Json(nullptr) : Json(c.inner)},
                          {"bevel_deg", to_deg(c.bevel)},
                          {"met", c.met}});
  }
  j["outer"] = edge_json(m.outer);
  j["inner"] = edge_json(m.inner);
  j["template_error"] = m.template_.error;
  j["template_clock_grows"] = m.paper_turn > 0 ? "right" : "left";
  j["template"] = Json::array();
  j["template_clock_deg"] = Json::array();
  j["template_scribe"] = Json::array();
  for (std::size_t i = 0; i < m.template_.edge.size(); ++i) {
    j["template"].push_back(point(m.template_.edge[i]));
    j["template_scribe"].push_back(point(m.template_.ring[i]));
    j["template_clock_deg"].push_back(to_deg(m.template_.u[i]));
  }
  return j;
}

Json blade_json(const layout::Placed& p, bool left) {
  Json j;
  const auto own = [&](Vec3 v) {
    if (!left) v.y() = -v.y();
    return point(v);
  };
  j["splay_deg"] = to_deg(p.splay);
  j["lower_trim"] = p.lower_trim;
  j["crown_height"] = p.crown_height;
  j["top_angle_deg"] = to_deg(p.top_angle);
  j["tilt_deg"] = to_deg(p.tilt_angle);
  j["rake_scale"] = p.rake_scale;
  j["length_used"] = p.s_top - p.lower_trim;
  j["shares"] = {{"tilt", p.shares.tilt},
                 {"mitre_offset", p.shares.mitre_offset},
                 {"rake", p.shares.rake},
                 {"dropout_lead", p.shares.dropout_lead}};
  j["clearance"] = {{"value", p.clearance.value},
                    {"on_blade", own(p.clearance.on_tube)},
                    {"on_tyre", own(p.clearance.on_body)}};
  return j;
}

Json or_null(const std::optional<double>& v) {
  return v ? Json(*v) : Json(nullptr);
}

Json mass_json(const study::Mass& m) {
  Json j;
  j["density_kg_m3"] = m.density_kg_m3;
  j["total"] = or_null(m.total);
  j["centre"] = point(m.centre);
  j["parts"] = Json::array();
  for (const study::PartMass& p : m.parts)
    j["parts"].push_back({{"name", p.part.empty() ? p.filler : p.part.name},
                          {"spoken", p.part.empty() ? p.filler : bike::spoken(p.part)},
                          {"mass", or_null(p.mass)},
                          {"centre", point(p.centre)}});
  j["inertia_kg_mm2"] = Json::array();
  for (int i = 0; i < 3; ++i) j["inertia_kg_mm2"].push_back(point(Vec3(m.inertia.row(i))));
  j["about_steering_kg_mm2"] = m.about_steering;
  return j;
}

Json steadiness_json(const study::Steadiness& s) {
  Json j{{"offset", s.offset},
         {"trail", s.trail},
         {"wheelbase", s.wheelbase},
         {"weave_m_s", or_null(s.weave_m_s)},
         {"capsize_m_s", or_null(s.capsize_m_s)},
         {"steady_m_s", nullptr}};
  if (s.steady) j["steady_m_s"] = {{"from", s.steady->from_m_s}, {"to", or_null(s.steady->to_m_s)}};
  return j;
}

Json bicycle_json(const study::Handling& b) {
  Json j;
  j["mass"] = b.mass;
  j["centre_ahead"] = b.centre_ahead;
  j["centre_height"] = b.centre_height;
  j["drawn"] = steadiness_json(b.drawn);
  j["by_guesses"] = {{"weave_m_s", or_null(b.by_guesses.weave_m_s)},
                     {"capsize_m_s", or_null(b.by_guesses.capsize_m_s)}};
  for (const study::Steadiness& s : b.by_offset) j["by_offset"].push_back(steadiness_json(s));
  for (const study::SpeedRow& row : b.by_speed) {
    Json roots = Json::array();
    for (const auto& x : row.per_s) roots.push_back(Json::array({x.real(), x.imag()}));
    j["by_speed"].push_back({{"speed_m_s", row.speed_m_s}, {"eigenvalues_per_s", std::move(roots)}});
  }
  return j;
}

Json clearance_json(const study::Clearance& c) {
  Json j;
  j["pairs"] = Json::array();
  for (const study::ClearanceItem& i : c.items) {
    j["pairs"].push_back({{"body", i.body.name},
                          {"member", i.member.name},
                          {"value", i.value},
                          {"at_least", i.at_least},
                          {"allowance", i.allowance},
                          {"on_member", point(i.on_member)},
                          {"on_body", point(i.on_body)}});
  }
  j["not_checked"] = c.not_checked;
  j["toe"] = nullptr;
  if (c.toe) {
    j["toe"] = {{"value", c.toe->value}, {"limit", c.toe->limit}, {"steered_deg", to_deg(c.toe->steered)}};
  }
  j["removal"] = {{"slotted", c.removal.slotted},
                  {"slot_spare", or_null(c.removal.slot_spare)},
                  {"tyre_at_least", c.removal.tyre_at_least},
                  {"tyre_member", c.removal.tyre_member.name},
                  {"tyre_travel", c.removal.tyre_travel}};
  return j;
}

/// Infinite margins (nothing pulls there) have no number.
Json finite(double v) {
  return std::isfinite(v) ? Json(v) : Json(nullptr);
}

Json weak_json(const std::optional<study::WeakPlace>& w) {
  if (!w) return nullptr;
  return {{"member", w->member.name},    {"s", w->s},
          {"clock_deg", to_deg(w->u)},   {"point", point(w->point)},
          {"stress", w->stress},         {"strength", w->strength},
          {"margin", finite(w->margin)}, {"beside_joint", w->beside_joint}};
}

Json case_json(const study::CaseResult& c) {
  Json j{{"name", c.load.name},
         {"source", c.load.source},
         {"force", c.force},
         {"cycles", c.load.cycles},
         {"deflection", point(c.deflection)},
         {"yield", weak_json(c.yield)},
         {"fatigue", weak_json(c.fatigue)},
         {"set", or_null(c.set)},
         {"note", c.note}};
  j["members"] = Json::array();
  for (const study::MemberStress& m : c.members) {
    Json rows = Json::array();
    for (const study::StressStation& s : m.stations) {
      rows.push_back({{"s", s.s},
                      {"point", point(s.point)},
                      {"clock_deg", to_deg(s.u)},
                      {"von_mises", s.von_mises},
                      {"margin", finite(s.margin)}});
    }
    j["members"].push_back({{"member", m.member.name}, {"stations", std::move(rows)}});
  }
  return j;
}

Json strength_json(const study::Strength& s, const std::vector<study::Change>& changes) {
  Json j;
  j["unknown"] = s.unknown;
  j["caution"] = study::kStrengthCaution;
  j["cases"] = Json::array(), j["changes"] = Json::array();
  if (!s.unknown.empty()) return j;
  j["stiffness"] = {
      {"fore_aft_n_mm", s.fore_aft}, {"lateral_n_mm", s.lateral}, {"torsional_n_mm_rad", s.torsional}};
  j["deflection_ratio"] = s.deflection_ratio;
  j["rule"] = {{"edition", s.options.fatigue.edition},
               {"notch_factor", s.options.joint.K_f},
               {"heat_reach", s.options.joint.heat_reach},
               {"reliability", s.options.fatigue.reliability}};
  for (const study::CaseResult& c : s.cases) j["cases"].push_back(case_json(c));
  for (const study::Change& c : changes) {
    j["changes"].push_back({{"what", c.what},
                            {"yield_before", or_null(c.yield_before)},
                            {"yield_after", or_null(c.yield_after)},
                            {"fatigue_before", or_null(c.fatigue_before)},
                            {"fatigue_after", or_null(c.fatigue_after)},
                            {"fore_aft_before", c.fore_aft_before},
                            {"fore_aft_after", c.fore_aft_after},
                            {"mass_change", c.mass_change},
                            {"weakest_after", c.weakest_after}});
  }
  return j;
}

Json measure_json(const study::MeasureResult& m) {
  Json j{{"key", m.key},
         {"name", m.name},
         {"unit", m.unit},
         {"nominal", m.nominal},
         {"mean", m.mean},
         {"sd", m.sd},
         {"percentiles", {{"1", m.p1}, {"5", m.p5}, {"50", m.p50}, {"95", m.p95}, {"99", m.p99}}},
         {"spread95", m.spread95},
         {"worst_case", m.worst_case},
         {"rss", m.rss},
         {"limit", nullptr},
         {"histogram", {{"start", m.bin_start}, {"width", m.bin_width}, {"counts", m.bins}}}};
  if (m.limit) {
    j["limit"] = {{"low", or_null(m.limit->low)}, {"high", or_null(m.limit->high)},
                  {"source", m.limit->source},    {"chance_below", m.below},
                  {"chance_above", m.above},      {"chance_error", m.chance_error}};
  }
  j["contributions"] = Json::array();
  for (const study::Contribution& c : m.contributions) {
    j["contributions"].push_back({{"dimension", c.of},
                                  {"plus_minus", c.plus_minus},
                                  {"effect", c.effect},
                                  {"linear_share", c.linear_share},
                                  {"share", or_null(c.share)},
                                  {"held_spread", or_null(c.held_spread)}});
  }
  return j;
}

Json tolerance_json(const solve::Answer& a) {
  Json j{{"draws", a.tolerance->draws}, {"seed", a.tolerance->seed}, {"measures", Json::array()}};
  for (const study::MeasureResult& m : a.tolerance->measures) {
    Json q = measure_json(m);
    q["advice"] = study::advice(m, a.chain.dimensions);
    j["measures"].push_back(std::move(q));
  }
  return j;
}

Json joining_json(const study::JoiningPlan& p) {
  Json j;
  j["filler_kg"] = p.mass;
  j["waste"] = p.waste;
  j["joints"] = Json::array(), j["rods"] = Json::array(), j["vents"] = Json::array();
  for (const study::JointFill& q : p.joints) {
    Json fills = Json::array();
    for (const study::Fill& f : q.fills)
      fills.push_back({{"filler", f.filler}, {"volume", f.volume}, {"mass", f.mass}});
    j["joints"].push_back({{"member", q.gap.empty() ? q.member.name : q.gap},
                           {"end", name_of(q.end)},
                           {"onto", q.gap.empty() ? q.onto.name : ""},
                           {"length", q.length},
                           {"angle_least_deg", to_deg(q.psi_least)},
                           {"angle_most_deg", to_deg(q.psi_most)},
                           {"passes", std::move(fills)}});
  }
  for (const study::Shopping& s : p.shopping) {
    Json rods = Json::array();
    for (const auto& r : s.rods) rods.push_back({{"diameter", r.diameter}, {"length", r.length}});
    j["rods"].push_back(
        {{"filler", s.filler}, {"mass", s.mass}, {"on_the_rack", s.on_the_rack}, {"rods", std::move(rods)}});
  }
  for (const study::Vent& v : p.vents) {
    j["vents"].push_back({{"member", v.member.name},
                          {"s", v.s},
                          {"clock_deg", to_deg(v.u)},
                          {"diameter", v.diameter},
                          {"why", v.why}});
  }
  const auto steps = [](const std::vector<study::Step>& all) {
    Json out = Json::array();
    for (const study::Step& s : all) out.push_back(s.what);
    return out;
  };
  j["steps"] = steps(p.steps), j["cautions"] = steps(p.cautions);
  if (p.refused)
    j["refused"] = {{"code", p.refused->code}, {"what", p.refused->what}, {"fits", p.refused->fits}};
  return j;
}

Json verdict_json(const bike::Verdict& v) {
  Json j{{"study", v.study}, {"code", v.code},
         {"what", v.what},   {"where", v.where},
         {"unit", v.unit},   {"value", or_null(v.value)},
         {"limit", nullptr}, {"standing", bike::word_of(v.standing())},
         {"note", v.note},   {"grade", bike::word_of(v.grade())},
         {"load", v.load},   {"question", bike::word_of(v.question())},
         {"place", nullptr}, {"not_counted", v.not_counted},
         {"fix", nullptr}};
  if (v.at) {
    const Json clock = v.at->u ? Json(to_deg(*v.at->u)) : Json(nullptr);
    j["place"] = {{"member", v.at->member.name}, {"s", v.at->s}, {"clock_deg", clock}};
  }
  if (v.fix) j["fix"] = {{"key", v.fix->key}, {"value", v.fix->value}, {"what", v.fix->what}};
  if (v.limit) {
    j["limit"] = {
        {"value", v.limit->value}, {"bound", bike::word_of(v.limit->bound)}, {"source", v.limit->source}};
  }
  return j;
}

const char* name_of(solve::Note::Kind kind) {
  return kind == solve::Note::Kind::warning ? "warning"
         : kind == solve::Note::Kind::moved ? "moved"
                                            : "assumed";
}

Json stands_json(const replan::Stands& s) {
  return {{"centring", s.centring},
          {"height", s.height},
          {"offset", s.offset},
          {"axle_to_crown_straight", s.axle_to_crown},
          {"axle_ends", {point(s.left), point(s.right)}}};
}

/// What one study found, under its own key; what has no answer leaves its key out.
void add_study(Json& j, const solve::Answer& a, solve::Study which) {
  switch (which) {
    case solve::Study::mount:
      if (a.mount) j["mount"] = mount_json(*a.mount);
      return;
    case solve::Study::joining:
      j["joining"] = joining_json(a.joining);
      return;
    case solve::Study::small_parts:
      j["features"] = features_json(a.features);
      return;
    case solve::Study::mass:
      j["mass"] = mass_json(a.mass);
      return;
    case solve::Study::steering:
      if (a.bicycle) j["bicycle"] = bicycle_json(*a.bicycle);
      if (const auto& f = a.front_centre)
        j["front_centre"] = {{"straight", f->straight}, {"level", f->level}, {"drop", f->drop}};
      return;
    case solve::Study::clearance:
      j["clearance"] = clearance_json(a.clearance);
      return;
    case solve::Study::strength:
      j["strength"] = strength_json(a.strength, a.changes);
      return;
    case solve::Study::tolerance:
      if (a.tolerance) j["tolerance"] = tolerance_json(a);
      return;
    case solve::Study::stands:
      if (a.stands) j["stands_as_cut"] = stands_json(*a.stands);
      return;
    case solve::Study::wheel:
    case solve::Study::edges:
      return;  // all is in their verdicts
  }
}

}  // namespace

std::string to_json(const solve::Answer& a, const solve::ShopPlan* plan) {
  Json j;
  j["halfround"] = 1;
  j["frame"] = a.fork.assembly.frame;
  j["job"] = a.name;
  j["revision"] = a.revision;
  j["units"] = {{"length", "mm"}, {"angle", "deg"}};
  j["steering"] = {{"head_angle_deg", to_deg(a.handling.head_angle)},
                   {"offset", a.intent.offset},
                   {"axle_to_crown_straight", a.handling.axle_to_crown_straight},
                   {"axle_to_crown_along", a.handling.axle_to_crown_along},
                   {"wheel_radius", a.handling.wheel_radius},
                   {"trail", a.handling.trail},
                   {"normal_trail", a.handling.normal_trail},
                   {"flop", a.handling.flop}};
  if (a.handling.loaded_trail)
    j["steering"]["loaded"] = {{"wheel_radius", *a.handling.loaded_radius},
                               {"trail", *a.handling.loaded_trail}};
  j["axle"] = point(a.fork.assembly.axle);
  j["mirrored"] = a.fork.mirrored;
  j["blades"] = {{"left", blade_json(a.fork.left, true)}, {"right", blade_json(a.fork.right, false)}};
  j["crown_gap"] = a.crown_gap;
  j["seat_gap"] = a.seat_gap;
  j["other_solutions"] = Json::array();
  for (const auto& o : a.fork.others)
    j["other_solutions"].push_back({{"splay_deg", to_deg(o.splay)}, {"lower_trim", o.lower_trim}});
  for (const bike::Member& m : a.fork.assembly.members) j["members"].push_back(member_json(m, a.mitres));
  j["plates"] = Json::array();
  for (const bike::Plate& p : a.fork.assembly.plates) {
    Json q{{"name", p.part.name},
           {"spoken", bike::spoken(p.part)},
           {"thickness", p.thickness},
           {"normal", point(p.normal)},
           {"outline", Json::array()}};
    for (const Vec3& v : p.outline) q["outline"].push_back(point(v));
    q["bores"] = Json::array();
    for (const bike::Bore& b : p.bores) {
      q["bores"].push_back({{"takes", b.takes.name},
                            {"mouth", point(Vec3(p.X_FP * bike::bore_mouth(p, b)))},
                            {"axis", point(Vec3(p.X_FP.linear() * b.axis))},
                            {"diameter", b.diameter},
                            {"across", b.across > 0 ? b.across : b.diameter},
                            {"length", bike::bore_length(p, b)},
                            {"blind", b.depth > 0}});
    }
    j["plates"].push_back(std::move(q));
  }
  for (const bike::Joint& q : a.fork.assembly.joints) {
    j["joints"].push_back({{"member", q.member.name},
                           {"end", name_of(q.end)},
                           {"onto", q.onto.name},
                           {"kind", name_of(q.kind)}});
  }
  j["mitres"] = Json::array();
  for (const study::Mitre& m : a.mitres) j["mitres"].push_back(mitre_json(m));
  for (const solve::StudyRow& row : solve::studies()) add_study(j, a, row.value);
  if (plan != nullptr) j["shop"] = shop_json(*plan);
  j["verdicts"] = Json::array();
  for (const bike::Verdict& v : a.verdicts) j["verdicts"].push_back(verdict_json(v));
  j["notes"] = Json::array();
  for (const solve::Note& n : a.notes)
    j["notes"].push_back({{"kind", name_of(n.kind)}, {"code", n.code}, {"where", n.where}, {"what", n.what}});
  j["cautions"] = solve::cautions();
  return j.dump(1) + "\n";
}

std::string to_json(const base::Problems& problems) {
  Json j;
  j["problems"] = Json::array();
  for (const base::Problem& p : problems) {
    j["problems"].push_back({{"code", p.code},
                             {"file", p.where.file},
                             {"line", p.where.line},
                             {"column", p.where.column},
                             {"key", p.where.key},
                             {"what", p.what},
                             {"fits", p.fits},
                             {"sentence", base::sentence(p)}});
    for (const base::Offer& o : p.offers)
      j["problems"].back()["offers"].push_back({{"key", o.key}, {"typed", o.typed}, {"label", o.label}});
  }
  return j.dump(1) + "\n";
}

}  // namespace halfround::speak
