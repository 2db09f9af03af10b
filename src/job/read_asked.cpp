// What is asked of the fork, and how the shop works: handling, checks, strength, joining, sheets, tolerances.
#include "bike/material.h"
#include "job/read_sections.h"

namespace halfround::job {

/// Nothing without its section: then nobody asks.
std::optional<Bicycle> read_bicycle(TableReader& r, const Spot& root, Job& job) {
  const Spot s = r.section(root, "bicycle");
  if (s.node == nullptr) return std::nullopt;
  const auto read = [&](std::string_view name) { return r.quantity(r.in(s, name)); };
  Bicycle out;
  out.wheelbase = read("wheelbase");
  out.rear_radius = r.maybe(r.in(s, "rear_radius"));
  if (!job.lines.contains("bicycle.rear_radius")) job.assumed.emplace_back("bicycle.rear_radius");
  out.rider_mass = read("rider_mass"), out.rider_ahead = read("rider_ahead");
  out.rider_height = read("rider_height");
  out.frame_mass = read("frame_mass"), out.frame_ahead = read("frame_ahead");
  out.frame_height = read("frame_height");
  out.front_mass = read("front_mass"), out.front_behind = read("front_behind");
  out.front_height = read("front_height");
  out.rear_wheel_mass = read("rear_wheel_mass"), out.front_wheel_mass = read("front_wheel_mass");
  out.chainstay = r.maybe(r.in(s, "chainstay")), out.bracket_drop = r.maybe(r.in(s, "bracket_drop"));
  return out;
}

std::optional<Pedals> read_pedals(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "pedals");
  if (s.node == nullptr) return std::nullopt;
  Pedals out;
  out.crank_length = r.quantity(r.in(s, "crank_length"));
  out.front_centre = r.maybe(r.in(s, "front_centre"));
  out.bracket_drop = r.maybe(r.in(s, "bracket_drop"));
  out.from_middle = r.quantity(r.in(s, "from_middle"));
  out.foot_held = r.choice(r.in(s, "foot_held")).value_or(0) == 1;
  return out;
}

std::optional<Mudguard> read_mudguard(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "mudguard");
  if (s.node == nullptr) return std::nullopt;
  const auto read = [&](std::string_view name) { return r.quantity(r.in(s, name)); };
  return Mudguard{read("half_width"), read("gap"), read("thickness"), read("depth")};
}

Checks read_checks(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "checks");
  Checks out;
  out.type = static_cast<BicycleType>(r.choice(r.in(s, "type")).value_or(0));
  out.clearance = r.maybe(r.in(s, "clearance"));
  out.growth = r.quantity(r.in(s, "growth"));
  out.out_of_true = r.quantity(r.in(s, "out_of_true"));
  out.hop = r.quantity(r.in(s, "hop"));
  out.mud = r.quantity(r.in(s, "mud"));
  return out;
}

namespace {

OwnMaterial read_own(TableReader& r, const Spot& s) {
  const auto wanted = [&](std::string_view key) { return r.quantity(r.in(s, key), true); };
  const auto may = [&](std::string_view key) { return r.maybe(r.in(s, key)).value_or(Quantity{}); };
  OwnMaterial out;
  out.metal = static_cast<bike::BaseMetal>(r.choice(r.in(s, "metal")).value_or(0));
  out.yield = wanted("yield"), out.ultimate = wanted("ultimate");
  out.joined_yield = may("joined_yield"), out.joined_ultimate = may("joined_ultimate");
  out.density = may("density");
  out.source = r.text(r.in(s, "source"), true);
  return out;
}

}  // namespace

Materials read_material(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "material");
  const auto name = [&](std::string_view part) {
    const auto i = r.choice(r.in(s, part));
    if (!i) return std::string();
    return std::string(*i < bike::materials().size() ? bike::materials()[*i].name : kOwnMaterial);
  };
  Materials out{name("steerer"), name("blades"), name("lower_end"), name("crown")};
  const Spot own = r.in(s, "own");
  const bool asked =
      std::ranges::count(std::array{out.steerer, out.blades, out.lower_end, out.crown}, kOwnMaterial) > 0;
  if (own.node != nullptr || asked) out.own = read_own(r, r.section(s, "own"));
  return out;
}

namespace {

Load read_load(TableReader& r, const Spot& row) {
  Load out;
  const auto c = r.cells(row, {"name", "force", "toward", "cycles"});
  if (c.empty()) return out;
  out.name = r.text(c[0]);
  out.force = r.quantity(c[1]);
  out.toward = static_cast<LoadToward>(r.choice(c[2], true).value_or(0));
  out.cycles = r.maybe(c[3]);
  return out;
}

}  // namespace

StrengthRules read_strength(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "strength");
  const auto read = [&](std::string_view name) { return r.quantity(r.in(s, name)); };
  StrengthRules out;
  out.upper_bearing = read("upper_bearing");
  out.axle_clamped = r.choice(r.in(s, "axle_held")).value_or(0) == 0;
  out.axle_bore = read("axle_bore"), out.heat_reach = read("heat_reach");
  out.notch_factor = read("notch_factor"), out.notch_reach = read("notch_reach");
  out.endurance_ratio = read("endurance_ratio"), out.reliability = read("reliability");
  out.surface_a = read("surface_a"), out.surface_b = read("surface_b");
  out.rule_edition = r.text(r.in(s, "rule_edition"));
  out.yield_margin = read("yield_margin"), out.fatigue_margin = read("fatigue_margin");
  for (const Spot& row : r.rows(r.in(s, "loads"))) out.loads.push_back(read_load(r, row));
  for (const Spot& row : r.rows(r.in(s, "leave_out"))) {
    const auto c = r.cells(row, {"load", "reason"});
    if (c.empty()) continue;
    const auto load = static_cast<study::PublishedLoad>(r.choice(c[0], true).value_or(0));
    out.left_out.push_back({load, r.text(c[1], true)});
  }
  return out;
}

Joining read_joining(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "joining");
  Joining out;
  for (const Spot& row : r.rows(r.in(s, "passes"))) {
    const auto c = r.cells(row, {"filler", "radius"});
    if (!c.empty()) out.passes.push_back({r.text(c[0], true), r.quantity(c[1])});
  }
  out.slot_filler = r.text(r.in(s, "slot_filler"));
  const auto read = [&](std::string_view name) { return r.quantity(r.in(s, name)); };
  out.slot_gap = read("slot_gap"), out.root_gap = read("root_gap");
  out.leg_least = read("leg_least"), out.leg_most = read("leg_most"), out.waste = read("waste");
  return out;
}

void read_shop(TableReader& r, const Spot& root, Job& job) {
  const Spot sheets = r.section(root, "sheets");
  const auto paper = r.choice(r.in(sheets, "paper"));
  job.sheets.paper = static_cast<Paper>(paper.value_or(2));
  job.sheets.scribe_gap = r.quantity(r.in(sheets, "scribe_gap"));
  const Spot printer = r.section(root, "printer");
  job.printer.bar_x = r.quantity(r.in(printer, "bar_x"));
  job.printer.bar_y = r.quantity(r.in(printer, "bar_y"));
  job.printer.paper_thickness = r.quantity(r.in(printer, "paper_thickness"));
  const Spot tolerances = r.section(root, "tolerances");
  constexpr std::string_view kHead = "tolerances.";
  for (const Row& row : schema()) {
    if (!row.key.starts_with(kHead) || row.need != Need::optional) continue;
    const std::string_view name = row.key.substr(kHead.size());
    if (const auto q = r.maybe(r.in(tolerances, name))) job.tolerances.push_back({std::string(name), *q});
  }
  job.spread = static_cast<ErrorSpread>(r.choice(r.in(tolerances, "spread")).value_or(0));
  job.accepted = r.quantity(r.in(tolerances, "accepted"));
  job.held = static_cast<Held>(r.choice(r.in(tolerances, "held")).value_or(0));
  job.cold_set = r.choice(r.in(tolerances, "cold_set")).value_or(0) == 0;
  job.spare = r.quantity(r.in(tolerances, "spare"));
  const Spot limits = r.section(root, "limits");
  job.limits = {r.quantity(r.in(limits, "centring")), r.quantity(r.in(limits, "faces")),
                r.quantity(r.in(limits, "height")), r.quantity(r.in(limits, "spacing"))};
}

}  // namespace halfround::job
