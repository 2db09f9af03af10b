#include "solve/ask.h"

#include <algorithm>
#include <cmath>

#include "bike/material.h"
#include "job/material.h"
#include "study/feature_rules.h"
#include "study/small_parts.h"

namespace halfround::solve {

using base::Vec3;

namespace {

/// The job's name of a material and its key, by member or plate.
struct NamedMaterial {
  const std::string& name;
  const char* key;
};
NamedMaterial material_name(const job::Job& job, bike::PartKind kind) {
  using K = bike::PartKind;
  const job::Materials& m = job.material;
  if (kind == K::steerer) return {m.steerer, "material.steerer"};
  const bool of_crown = kind == K::crown || kind == K::crown_tube || kind == K::crown_plate || kind == K::cap;
  if (of_crown && !m.crown.empty()) return {m.crown, "material.crown"};
  if (of_crown || kind == K::blade || kind == K::gusset) return {m.blades, "material.blades"};
  return {m.lower_end, "material.lower_end"};
}

bike::Material material_of(const job::Job& job, bike::PartKind kind) {
  return job::material_called(job.material, material_name(job, kind).name);
}

std::vector<bike::Part> parts_of(const bike::Assembly& assembly) {
  std::vector<bike::Part> out;
  for (const bike::Member& m : assembly.members) out.push_back(m.part);
  for (const bike::Plate& p : assembly.plates) out.push_back(p.part);
  return out;
}

bool disc(const job::Job& job) {
  return bike::is_disc(job.brake.mount);
}

Vec3 direction_of(job::LoadToward toward) {
  switch (toward) {
    case job::LoadToward::forward:
      return Vec3::UnitX();
    case job::LoadToward::left:
      return Vec3::UnitY();
    case job::LoadToward::right:
      return -Vec3::UnitY();
    case job::LoadToward::upward:
      return Vec3::UnitZ();
    case job::LoadToward::rearward:
      break;
  }
  return -Vec3::UnitX();
}

study::LoadCase load_of(const job::Load& load) {
  study::LoadCase out;
  out.name = load.name;
  out.force = load.force.value * direction_of(load.toward);
  if (load.cycles) out.cycle = study::Cycle::reversed, out.cycles = load.cycles->value;
  out.source = "the job";
  return out;
}

}  // namespace

study::ClearanceOptions clearance_of(const job::Job& job, const layout::Intent& intent, double wheel_radius) {
  study::ClearanceOptions out;
  const job::Checks& c = job.checks;
  out.type = c.type == job::BicycleType::racing ? study::BicycleType::racing : study::BicycleType::other;
  if (c.clearance) out.wish = c.clearance->value;
  out.over_locknut = job.hub.over_locknut.value, out.axle_diameter = job.hub.axle.value;
  out.slot_width = intent.lower_end.slot_width;
  study::Rim rim;
  rim.bead_seat = job.wheel.bead_seat.value, rim.inside_width = job.wheel.rim_width.value;
  out.rim = rim;
  if (disc(job) && job.brake.rotor) {
    study::Rotor rotor;
    rotor.diameter = job.brake.rotor->value;
    rotor.inner_face = job.hub.over_locknut.value / 2 - job.brake.rotor_from_hub.value;
    out.rotor = rotor;
    out.calliper = study::Calliper{};
  }
  if (job.mudguard) {
    const job::Mudguard& m = *job.mudguard;
    out.mudguard = study::Mudguard{m.half_width.value, m.gap.value, m.thickness.value, m.depth.value};
  }
  // a measured width may be off to either side: half of it lies toward the gap
  double unsure = 0;
  for (const job::Tolerance& t : job.tolerances) {
    if (t.of == "tyre_width" || t.of == "blade_width" || t.of == "blade_depth")
      unsure += t.plus_minus.value / 2;
  }
  out.allowances = {c.growth.value + unsure, c.out_of_true.value, c.hop.value, c.mud.value};
  if (!job.pedals) return out;
  const auto centre = front_centre_of(job, wheel_radius);
  if (!centre) return out;
  study::Pedals pedals;
  pedals.crank_length = job.pedals->crank_length.value;
  pedals.front_centre = centre->straight, pedals.bracket_drop = centre->drop;
  pedals.from_middle = job.pedals->from_middle.value;
  pedals.head_angle = job.steering.head_angle.value;
  pedals.foot_held = job.pedals->foot_held, pedals.young = c.type == job::BicycleType::young_adult;
  out.pedals = pedals;
  return out;
}

study::WheelHold wheel_hold_of(const job::Job& job) {
  const bool open = layout::row_of(job.lower_end.kind).axle == layout::AxleHold::slot;
  return {disc(job), open ? 2 : 0};
}

std::optional<study::MountOptions> mount_of(const job::Job& job) {
  if (!disc(job) || !job.brake.rotor) return std::nullopt;
  study::MountOptions out;
  out.kind = job.brake.mount;
  out.rotor = job.brake.rotor->value;
  out.over_locknut = job.hub.over_locknut.value;
  out.rotor_plane = job.hub.over_locknut.value / 2 - job.brake.rotor_from_hub.value;
  if (job.brake.bolts_from_rotor) out.bolts_from_rotor = job.brake.bolts_from_rotor->value;
  for (const job::Bolt& b : job.brake.bolts) out.bolts.emplace_back(b.face.value, b.along.value);
  if (job.brake.lean) out.turn = job.brake.lean->value;
  out.post = job.brake.post.value;
  return out;
}

std::vector<study::FeatureWish> features_of(const job::Job& job) {
  std::vector<study::FeatureWish> out;
  for (const job::Feature& f : job.features) {
    study::FeatureWish w{.kind = f.kind, .member = f.on};
    if (f.at) w.s = f.at->value;
    if (f.clock) w.u = f.clock->value;
    if (f.size) w.size = f.size->value;
    out.push_back(std::move(w));
  }
  return out;
}

std::string material_key(const job::Job& job, bike::PartKind kind) {
  return material_name(job, kind).key;
}

namespace {

/// What vents keep clear of: the mount's feet and all between them, and what the builder has placed by hand.
std::vector<study::KeepClear> keep_clear(const job::Job& job, const study::Mount* mount, double neck) {
  std::vector<study::KeepClear> out;
  if (mount != nullptr && !mount->feet.empty()) {
    const auto [low, high] = std::ranges::minmax(mount->feet, {}, &study::MountFoot::s);
    const double reach = job.brake.post.value / 2 + neck;
    out.push_back({mount->blade, low.s - reach, high.s + reach, "brake mount's feet"});
  }
  for (const study::FeatureWish& w : features_of(job)) {
    if (!w.s || w.kind == study::FeatureKind::vent) continue;
    const auto rule = study::rule_of(w.kind);
    const double size = w.size > 0 || !rule ? w.size : rule->size;
    const double reach = size / 2 + study::kBetweenParts;
    out.push_back({w.member, *w.s - reach, *w.s + reach, study::name_of(w.kind)});
  }
  return out;
}

}  // namespace

study::BrazeOptions joining_of(const job::Job& job, const bike::Assembly& assembly, const study::Mount* mount,
                               const shop::Shop* shop) {
  study::BrazeOptions out;
  for (const bike::Part& part : parts_of(assembly))
    out.materials.emplace_back(part, material_of(job, part.kind));
  out.keep_clear = keep_clear(job, mount, out.neck);
  const job::Joining& j = job.joining;
  if (!j.passes.empty()) out.passes.clear();
  for (const job::Pass& p : j.passes) out.passes.push_back({p.filler, p.radius.value});
  out.slot_filler = j.slot_filler, out.slot_gap = j.slot_gap.value;
  out.root_gap = j.root_gap.value, out.leg_least = j.leg_least.value, out.leg_most = j.leg_most.value;
  out.waste = j.waste.value;
  if (shop == nullptr) return out;
  for (const shop::Rod& r : shop->rods) out.on_the_rack.push_back({r.alloy, r.diameter});
  return out;
}

namespace {

/// Where the stress rises for fatigue. K_f of a hole: 3 by Kirsch, notch sensitivity 0.8 [from memory]; of a
/// pressed race and of what is brazed on as of a joint [common practice: 1.6 to 2].
std::vector<study::Notch> notches_of(const layout::Fork& fork, const job::StrengthRules& rules,
                                     const std::vector<study::Feature>& features) {
  constexpr double kHole = 2.6;
  std::vector<study::Notch> out;
  const bike::Member& steerer = *bike::find_member(fork.assembly, bike::part(bike::PartKind::steerer));
  out.push_back({.what = "crown race seat",
                 .member = steerer.part,
                 .s = steerer.tube.centreline.nearest(Vec3::Zero()),
                 .u = {},
                 .K_f = rules.notch_factor.value});
  for (const study::Feature& f : features) {
    using enum study::FeatureKind;
    study::Notch n{.what = f.name, .member = f.member, .s = f.s, .reach = f.size / 2, .u = f.u};
    switch (f.kind) {
      case vent:
        n.K_f = kHole;
        break;
      case wire_passage:
      case hose_passage:
        n.K_f = kHole, n.heat = true;
        break;
      case boss:
      case guide:
      case mudguard_eye:
      case rack_boss:
      case cage_bosses:
        n.K_f = rules.notch_factor.value, n.heat = true;
        break;
      case brake_mount:  // its feet are joints
      case axle_slot:    // in the fork end, which is not judged
      case pinch_lug:
      case dropout_slot:
        continue;
    }
    out.push_back(std::move(n));
  }
  return out;
}

/// Two feet from the real bolts, else as a post mount for that rotor stands.
study::Brake brake_of(const job::Job& job, double wheel_radius, const study::Mount* mount) {
  study::Brake out;
  out.arm = study::brake_arm(job.wheel.bead_seat.value, 2 * wheel_radius);
  if (job.brake.rotor) {
    const study::PostGeometry post = study::post_geometry(job.brake.rotor->value);
    out.along = (post.first + post.second) / 2, out.behind = post.face, out.pitch = post.second - post.first;
    out.pad_radius = job.brake.rotor->value / 2 - 10;
  }
  out.rotor_offset = job.hub.over_locknut.value / 2 - job.brake.rotor_from_hub.value;
  if (!mount || !mount->known || mount->feet.empty()) return out;
  out.member = mount->blade, out.behind = mount->face, out.along = 0;
  for (const study::MountFoot& f : mount->feet) {
    out.feet.push_back({f.s, job.brake.post.value / 2});
    out.along += f.along / static_cast<double>(mount->feet.size());
  }
  return out;
}

}  // namespace

study::StrengthOptions strength_of(const job::Job& job, const layout::Fork& fork, double wheel_radius,
                                   const study::Mount* mount, const std::vector<study::Feature>& features) {
  study::StrengthOptions out;
  const job::StrengthRules& r = job.strength;
  out.type = job.checks.type;
  for (const job::Load& load : r.loads) out.own.push_back(load_of(load));
  for (const job::LeftOut& load : r.left_out) out.left_out.push_back(load.load);
  out.material = material_of(job, bike::PartKind::steerer);
  for (const bike::Part& part : parts_of(fork.assembly))
    out.other_materials.emplace_back(part, material_of(job, part.kind));
  out.bearings.upper = r.upper_bearing.value;
  out.axle.diameter = job.hub.axle.value, out.axle.bore = r.axle_bore.value;
  out.axle.clamped = r.axle_clamped;
  if (disc(job)) out.brake = brake_of(job, wheel_radius, mount);
  out.notches = notches_of(fork, r, features);
  out.fatigue.edition = r.rule_edition;
  out.fatigue.endurance_ratio = r.endurance_ratio.value, out.fatigue.reliability = r.reliability.value;
  out.fatigue.surface_a = r.surface_a.value, out.fatigue.surface_b = r.surface_b.value;
  out.joint = {r.heat_reach.value, r.notch_reach.value, r.notch_factor.value};
  out.yield_margin = r.yield_margin.value, out.fatigue_margin = r.fatigue_margin.value;
  return out;
}

namespace {

/// The job's plus-minus of a dimension's key, else the shop's.
std::optional<double> given(const job::Job& job, const shop::Shop* shop, const std::string& key) {
  for (const job::Tolerance& t : job.tolerances)
    if (t.of == key) return t.plus_minus.value;
  if (shop == nullptr) return std::nullopt;
  for (const shop::Tolerance& t : shop->tolerances)
    if (t.of == key) return t.plus_minus;
  return std::nullopt;
}

/// Half a step of the fixture's scale, at the axle; nothing where no scale says it.
std::optional<double> by_scale(const shop::Shop* shop, const std::string& key, double drop) {
  using enum shop::Measures;
  if (shop == nullptr || shop->fixtures.empty()) return std::nullopt;
  for (const shop::Adjuster& a : shop->fixtures.front().adjusters) {
    if (key == "scale_height" && (a.measures == axle_to_crown_along || a.measures == axle_to_crown_straight))
      return a.step / 2;
    if (key == "scale_offset" && a.measures == offset) return a.step / 2;
    if (key == "scale_offset" && a.measures == offset_angle) return a.step / 2 * drop;
  }
  return std::nullopt;
}

/// "bend1.left" is held as "bend" is.
std::string plain_key(const std::string& dimension) {
  std::string out = dimension.substr(0, dimension.find('.'));
  while (!out.empty() && out.back() >= '0' && out.back() <= '9') out.pop_back();
  return out;
}

std::vector<study::Toleranced> toleranced(const job::Job& job, const shop::Shop* shop,
                                          const std::vector<bike::Dimension>& dimensions, double drop) {
  std::vector<study::Toleranced> out;
  bike::Chain of;
  of.dimensions = dimensions;
  for (const layout::ShopTolerance& usual : layout::shop_tolerances(of)) {
    const std::string key = plain_key(usual.of);
    const auto told = given(job, shop, key);
    study::Toleranced t;
    t.of = usual.of;
    t.plus_minus = told ? *told : by_scale(shop, key, drop).value_or(usual.plus_minus);
    t.spread = static_cast<study::Spread>(job.spread);
    out.push_back(t);
  }
  return out;
}

}  // namespace

study::Tolerances tolerances_of(const job::Job& job, const shop::Shop* shop, const bike::Chain& chain,
                                const layout::Intent& intent) {
  study::Tolerances out;
  out.dimensions = toleranced(job, shop, chain.dimensions, intent.drop);
  const auto within = [&](const char* of, double nominal, double pm, const char* source) {
    out.limits.push_back({of, nominal - pm, nominal + pm, source});
  };
  const double straight = std::hypot(intent.offset, intent.drop);
  if (const auto pm = given(job, shop, "offset")) within("offset", intent.offset, *pm, "the job's tolerance");
  if (const auto pm = given(job, shop, "axle_to_crown"))
    within("axle_to_crown", straight, *pm, "the job's tolerance");
  const auto source = [&](const char* key) {
    const bool assumed = std::ranges::find(job.assumed, key) != job.assumed.end();
    return assumed ? "a good builder's usual aim (common practice)" : "the job's limit";
  };
  within("centring", 0, job.limits.centring.value, source("limits.centring"));
  within("height", 0, job.limits.height.value, source("limits.height"));
  within("spacing", 0, job.limits.spacing.value, source("limits.spacing"));
  out.limits.push_back({"faces", std::nullopt, job.limits.faces.value, source("limits.faces")});
  return out;
}

study::Tolerances gap_tolerances_of(const job::Job& job, const shop::Shop* shop, const study::Formula& gaps) {
  constexpr double kBridged = 0.25;  // mm: what a fillet bridges without being seen [common practice]
  study::Tolerances out;
  out.dimensions = toleranced(job, shop, gaps.dimensions, 0);
  for (const auto& o : gaps.outputs)
    out.limits.push_back({o.key, std::nullopt, std::max(kBridged, job.joining.root_gap.value),
                          "a gap that the fillet bridges"});
  return out;
}

std::vector<study::ColdSet> cold_set_of(const job::Job& job) {
  const bike::Material blades = material_of(job, bike::PartKind::blade);
  if (!job.cold_set || blades.metal != bike::BaseMetal::steel) return {};
  // on a plate with a height gauge [common practice]: ends to 0.1 mm; at the tyre's top three times that
  std::vector<study::ColdSet> out{{"centring", 0.3}, {"spacing", 0.1}, {"faces", 0.15}, {"lead", 0.15}};
  // an end that stands too high is mended by filing the other's slot; a closed one stays
  if (layout::row_of(job.lower_end.kind).axle == layout::AxleHold::slot) out.push_back({"height", 0.1});
  return out;
}

study::MassOptions mass_of(const job::Job& job, const bike::Assembly& assembly) {
  study::MassOptions out;
  out.density_kg_m3 = material_of(job, bike::PartKind::steerer).density_kg_m3;
  for (const bike::Part& part : parts_of(assembly))
    out.other_densities.emplace_back(part, material_of(job, part.kind).density_kg_m3);
  return out;
}

std::optional<FrontCentre> front_centre_of(const job::Job& job, double wheel_radius) {
  FrontCentre out;
  if (job.bicycle && job.bicycle->chainstay && job.bicycle->bracket_drop) {
    const job::Bicycle& b = *job.bicycle;
    const double rear = b.rear_radius ? b.rear_radius->value : wheel_radius;
    const double stay = b.chainstay->value, below = b.bracket_drop->value;
    if (std::abs(below) >= stay) return std::nullopt;
    out.level = b.wheelbase.value - std::sqrt(stay * stay - below * below);
    out.drop = below + wheel_radius - rear;
    out.straight = std::hypot(out.level, out.drop);
  }
  if (job.pedals && job.pedals->front_centre) out.straight = job.pedals->front_centre->value;
  if (job.pedals && job.pedals->bracket_drop) out.drop = job.pedals->bracket_drop->value;
  if (out.straight <= std::abs(out.drop)) return std::nullopt;
  out.level = std::sqrt(out.straight * out.straight - out.drop * out.drop);
  return out;
}

}  // namespace halfround::solve
