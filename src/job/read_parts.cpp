// What lies on the bench: wheel, steerer, blades, crown, lower ends, brake, small parts.
#include <fmt/format.h>

#include "job/read_sections.h"
#include "study/feature_rules.h"

namespace halfround::job {

namespace {

bool either_or(TableReader& r, const Spot& a, const Spot& b) {
  if ((a.node != nullptr) != (b.node != nullptr)) return true;
  const bool both = a.node != nullptr;
  r.complain(both ? "both-given" : "key-missing", r.place(both ? b : a),
             both ? fmt::format("Both {} and {} are given.", a.key, b.key)
                  : fmt::format("Neither {} nor {} is given.", a.key, b.key),
             both ? "Keep the one you measured." : what_fits(*find_row(a.key)));
  return false;
}

}  // namespace

Wheel read_wheel(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "wheel");
  Wheel out;
  out.bead_seat = r.quantity(r.in(s, "bead_seat"));
  out.rim_width = r.quantity(r.in(s, "rim_width"));
  out.loaded_radius = r.maybe(r.in(s, "loaded_radius"));
  const Spot tyre = r.in(s, "tyre");
  if (tyre.node == nullptr || !tyre.node->is_table()) {
    out.tyre = r.text(tyre, true);
    return out;
  }
  out.outside_diameter = r.quantity(r.in(tyre, "outside_diameter"), true);
  for (const Spot& row : r.rows(r.in(tyre, "half_profile"), true)) {
    const auto c = r.cells(row, {"half_width", "below_top"});
    if (!c.empty()) out.half_profile.push_back({r.quantity(c[0]), r.quantity(c[1])});
  }
  return out;
}

Steering read_steering(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "steering");
  Steering out;
  out.head_angle = r.quantity(r.in(s, "head_angle"));
  out.offset = r.quantity(r.in(s, "offset"));
  out.axle_to_crown = r.quantity(r.in(s, "axle_to_crown"));
  out.axle_to_crown_is = static_cast<AxleToCrown>(r.choice(r.in(s, "axle_to_crown_is")).value_or(0));
  return out;
}

Steerer read_steerer(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "steerer");
  Steerer out;
  out.diameter = r.quantity(r.in(s, "diameter"));
  const Spot all = r.in(s, "diameter"), tapered = r.in(s, "diameters");
  if (either_or(r, all, tapered)) {
    if (all.node != nullptr) out.diameters.push_back({Quantity{0, "0", false}, r.quantity(all)});
    for (const Spot& row : r.rows(tapered)) {
      const auto c = r.cells(row, {"at", "diameter"});
      if (!c.empty()) out.diameters.push_back({r.quantity(c[0]), r.quantity(c[1])});
    }
    if (!out.diameters.empty()) out.diameter = out.diameters.front().diameter;
  }
  const Spot wall = r.in(s, "wall"), walls = r.in(s, "walls");
  if (either_or(r, wall, walls)) {
    if (wall.node != nullptr) out.walls.push_back({Quantity{0, "0", false}, r.quantity(wall)});
    for (const Spot& row : r.rows(walls)) {
      const auto c = r.cells(row, {"at", "wall"});
      if (!c.empty()) out.walls.push_back({r.quantity(c[0]), r.quantity(c[1])});
    }
  }
  out.length = r.quantity(r.in(s, "length"));
  out.below_seat = r.quantity(r.in(s, "below_seat"));
  out.crown_race = r.maybe(r.in(s, "crown_race"));
  return out;
}

namespace {

Station read_station(TableReader& r, const Spot& row) {
  const bool table = row.node->is_table();
  const Spot outline = table ? r.in(row, "outline") : Spot{};
  const bool measured = outline.node != nullptr;
  Station out;
  const auto c = measured ? r.cells(row, {"at", "wall"}) : r.cells(row, {"at", "width", "depth", "wall"});
  if (c.empty()) return out;
  out.at = r.quantity(c.front());
  out.wall = r.quantity(c.back());
  if (!measured) {
    out.width = r.quantity(c[1], true), out.depth = r.quantity(c[2], true);
    return out;
  }
  for (const std::string_view other : {"width", "depth"}) {
    if (const Spot spot = r.in(row, other); spot.node != nullptr) either_or(r, outline, spot);
  }
  for (const Spot& point : r.rows(outline)) {
    const auto p = r.cells(point, {"outward", "rearward"});
    if (!p.empty()) out.outline.push_back({r.quantity(p[0]), r.quantity(p[1])});
  }
  return out;
}

Run read_run(TableReader& r, const Spot& row) {
  Run out;
  if (!row.node->is_table()) {
    r.complain("table-expected", r.place(row),
               fmt::format("Found {} where a piece is wanted.", r.found(*row.node)),
               "Write {straight = 345} or {bend = 71, radius = 75, toward = \"inward\"}.");
    return out;
  }
  const Spot straight = r.in(row, "straight"), bend = r.in(row, "bend");
  if (!either_or(r, straight, bend)) return out;
  out.bend = bend.node != nullptr;
  const Spot radius = r.in(row, "radius"), toward = r.in(row, "toward");
  if (!out.bend) {
    out.straight = r.quantity(straight);
    for (const Spot& spot : {radius, toward}) {
      if (spot.node != nullptr) either_or(r, straight, spot);
    }
    return out;
  }
  out.angle = r.quantity(bend);
  out.radius = r.quantity(radius, true);
  static constexpr Toward kOrder[] = {Toward::inward, Toward::outward, Toward::forward, Toward::rearward};
  out.toward = kOrder[r.choice(toward, true).value_or(0)];
  return out;
}

/// A blade: each key from its own side's section, else from the one for both.
Blade read_blade(TableReader& r, const Spot& both, const Spot& side) {
  const auto pick = [&](std::string_view name) {
    const Spot own = r.in(side, name);
    if (own.node != nullptr) return own;
    const Spot common = r.in(both, name);
    return common.node != nullptr || side.node == nullptr ? common : own;
  };
  Blade out;
  for (const Spot& row : r.rows(pick("stations"))) out.stations.push_back(read_station(r, row));
  // a side's own shape of either sort stands instead of the common one of either sort
  Spot shape = pick("shape"), traced = pick("traced");
  if (r.in(side, "traced").node != nullptr && r.in(side, "shape").node == nullptr) shape.node = nullptr;
  if (r.in(side, "shape").node != nullptr && r.in(side, "traced").node == nullptr) traced.node = nullptr;
  if (either_or(r, shape, traced)) {
    for (const Spot& row : r.rows(shape)) out.shape.push_back(read_run(r, row));
    for (const Spot& row : r.rows(traced)) {
      const auto c = r.cells(row, {"along", "inward", "forward"});
      if (!c.empty()) out.traced.push_back({r.quantity(c[0]), r.quantity(c[1]), r.quantity(c[2])});
    }
  }
  out.between_rings = static_cast<BetweenRings>(r.choice(pick("between_rings")).value_or(0));
  out.rings_along = static_cast<RingsAlong>(r.choice(pick("rings_along")).value_or(0));
  out.stock_length = r.maybe(pick("stock_length"));
  out.below_shape = r.quantity(pick("below_shape"));
  out.measured_mass = r.maybe(pick("measured_mass"));
  return out;
}

}  // namespace

void read_blades(TableReader& r, const Spot& root, Job& job) {
  const Spot both = r.section(root, "blades");
  const Spot left = r.section(both, "left"), right = r.section(both, "right");
  job.left = read_blade(r, both, left);
  if (left.node != nullptr || right.node != nullptr) job.right = read_blade(r, both, right);
}

namespace {

/// Keys of another kind of crown are complained of: they would change nothing.
/// Forks that are built and that the layout does not know, by the names they go by.
bool beyond_the_layout(TableReader& r, const Spot& kind) {
  constexpr std::pair<std::string_view, const char*> kBeyond[] = {{"single-sided", "one blade"},
                                                                  {"one blade", "one blade"},
                                                                  {"one-sided", "one blade"},
                                                                  {"double crown", "two crowns"},
                                                                  {"two crowns", "two crowns"},
                                                                  {"two steerers", "two steerer tubes"},
                                                                  {"two steerer tubes", "two steerer tubes"},
                                                                  {"twin steerer", "two steerer tubes"}};
  const auto* word = kind.node != nullptr ? kind.node->as_string() : nullptr;
  if (word == nullptr) return false;
  for (const auto& [name, has] : kBeyond) {
    if (word->get() != name) continue;
    r.complain(
        "construction-beyond", r.place(kind),
        fmt::format(
            "A fork with {} can't be laid out: this one has two blades, one crown and one steerer tube.",
            has),
        "Nothing near it would be right either. What is left out stands in docs/constructions.md, section "
        "7.");
    return true;
  }
  return false;
}

}  // namespace

CrownPart read_crown(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "crown");
  CrownPart out;
  if (beyond_the_layout(r, r.in(s, "kind"))) return out;
  out.kind = static_cast<CrownKind>(r.choice(r.in(s, "kind")).value_or(0));
  const auto has = [keys = row_of(out.kind).keys](std::string_view key) {
    return keys.find(" " + std::string(key) + " ") != std::string_view::npos;
  };
  const auto unused = [&](const Spot& spot) {
    if (spot.node == nullptr) return;
    r.complain("crown-key-unused", r.place(spot), fmt::format("This kind of crown has no {}.", spot.key),
               "Say which kind of crown it is, or take the line out.");
  };
  const auto read = [&](std::string_view key, bool wanted) -> Quantity {
    const Spot spot = r.in(s, key);
    if (wanted) return r.quantity(spot, find_row(spot.key)->need != Need::assumed);
    unused(spot);
    return {};
  };
  const auto measure = [&](std::string_view key) { return read(key, has(key)); };
  if (const Spot plates = r.in(s, "plates"); !has("plates"))
    unused(plates);
  else if (plates.node != nullptr)
    out.plates = static_cast<int>(r.count(plates).value_or(1));
  out.diameter = measure("diameter"), out.wall = measure("wall");
  out.height = measure("height"), out.angle = measure("angle");
  out.thickness = measure("thickness"), out.between = read("between", has("between") && out.plates > 1);
  out.edge = measure("edge"), out.least = measure("least");
  out.above = measure("above"), out.cap = measure("cap");
  out.spacing = measure("spacing"), out.splay = measure("splay"), out.lean = measure("lean");
  out.ahead = measure("ahead"), out.socket_width = measure("socket_width");
  out.socket_reach = measure("socket_reach");
  const bool round = has("socket_depth") && r.in(s, "socket_depth").node == nullptr;
  out.socket_depth = round ? out.socket_width : measure("socket_depth");
  return out;
}

namespace {

/// The measures that each kind of fork end needs.
struct Wanted {
  LowerEndKind value;
  std::string_view keys;
};
constexpr std::array<Wanted, layout::kLowerEnds.size()> kWanted{
    {{LowerEndKind::insert, " diameter length bore "},
     {LowerEndKind::tab_dropout, " rise thickness slot_depth slot_width "},
     {LowerEndKind::hooded_dropout, " rise diameter length thickness slot_width "},
     {LowerEndKind::axle_block, " rise bore thickness socket_depth edge "}}};
static_assert(base::complete(kWanted));

bool wants(LowerEndKind kind, std::string_view key) {
  return base::word_of(kWanted, kind).keys.find(" " + std::string(key) + " ") != std::string_view::npos;
}

/// A lower end: each measure from its own side's section, else from the one for both.
LowerEnd read_lower_end(TableReader& r, const Spot& both, const Spot& side) {
  const auto pick = [&](std::string_view name) {
    const Spot own = r.in(side, name);
    if (own.node != nullptr) return own;
    const Spot common = r.in(both, name);
    return common.node != nullptr || side.node == nullptr ? common : own;
  };
  LowerEnd out;
  const auto kind = r.choice(r.in(both, "kind"));
  out.kind = static_cast<LowerEndKind>(kind.value_or(0));
  const auto measure = [&](std::string_view name) {
    const Spot spot = pick(name);
    const bool wanted = kind && wants(out.kind, name);
    if (!wanted && spot.node == nullptr) return Quantity{};  // nothing is assumed of another kind's measure
    return r.quantity(spot, wanted && find_row(spot.key)->need != Need::assumed);
  };
  out.blade_from_hub = r.quantity(pick("blade_from_hub"));
  out.rise = measure("rise");
  out.diameter = measure("diameter"), out.length = measure("length");
  out.bore = measure("bore");
  out.thickness = measure("thickness");
  out.slot_depth = measure("slot_depth"), out.slot_width = measure("slot_width");
  out.socket_depth = measure("socket_depth");
  out.edge = measure("edge");
  return out;
}

}  // namespace

void read_lower_ends(TableReader& r, const Spot& root, Job& job) {
  const Spot both = r.section(root, "lower_end");
  const Spot left = r.section(both, "left"), right = r.section(both, "right");
  for (const Spot& side : {left, right}) {
    const Spot kind = r.in(side, "kind");
    if (kind.node == nullptr) continue;
    r.complain("kind-of-one-side", r.place(kind), "One side's lower end can't be of another kind.",
               "Give the kind in lower_end, for both.");
  }
  job.lower_end = read_lower_end(r, both, left);
  if (left.node != nullptr || right.node != nullptr) job.right_lower_end = read_lower_end(r, both, right);
}

Brake read_brake(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "brake");
  Brake out;
  out.mount = static_cast<Mount>(r.choice(r.in(s, "mount")).value_or(0));
  const Spot rotor = r.in(s, "rotor");
  const bool disc = bike::is_disc(out.mount);
  if (disc || rotor.node != nullptr) {
    const Quantity q = r.quantity(rotor, disc);
    if (!q.typed.empty()) out.rotor = q;
  }
  out.rotor_from_hub = r.quantity(r.in(s, "rotor_from_hub"));
  out.bolts_from_rotor = r.maybe(r.in(s, "bolts_from_rotor"));
  for (const Spot& row : r.rows(r.in(s, "bolts"))) {
    const auto c = r.cells(row, {"face", "along"});
    if (!c.empty()) out.bolts.push_back({r.quantity(c[0]), r.quantity(c[1])});
  }
  out.lean = r.maybe(r.in(s, "lean"));
  out.post = r.quantity(r.in(s, "post"));
  return out;
}

std::vector<Feature> read_features(TableReader& r, const Spot& root) {
  using bike::PartKind, bike::Side;
  const bike::Part members[] = {bike::part(PartKind::steerer), bike::part(PartKind::blade, Side::left),
                                bike::part(PartKind::blade, Side::right),
                                bike::part(PartKind::insert, Side::left),
                                bike::part(PartKind::insert, Side::right)};  // as the row's choices
  std::vector<Feature> out;
  for (const Spot& row : r.rows(r.in(root, "features"))) {
    const auto c = r.cells(row, {"kind", "on", "at", "clock", "size"});
    if (c.empty()) continue;
    const auto kind = static_cast<FeatureKind>(r.choice(c[0], true).value_or(0));
    const bool rule = study::rule_of(kind).has_value();  // knows a place and a size by itself
    const auto read = [&](const Spot& spot) -> std::optional<Quantity> {
      return rule ? r.maybe(spot) : r.quantity(spot, true);
    };
    const bike::Part& on = members[r.choice(c[1], true).value_or(0)];
    out.push_back({kind, on, read(c[2]), r.maybe(c[3]), read(c[4])});
  }
  return out;
}

std::vector<Gusset> read_gussets(TableReader& r, const Spot& root) {
  using K = bike::PartKind;
  static constexpr std::pair<K, K> kBetween[] = {{K::blade, K::crown_tube},
                                                 {K::crown_tube, K::steerer},
                                                 {K::blade, K::steerer}};  // as the row's choices
  std::vector<Gusset> out;
  for (const Spot& row : r.rows(r.in(root, "gussets"))) {
    const auto c = r.cells(row, {"between", "side", "along_first", "along_second", "thickness", "hollow"});
    if (c.empty()) continue;
    const auto& [first, second] = kBetween[r.choice(c[0], true).value_or(0)];
    out.push_back({first, second, r.choice(c[1], true).value_or(0) == 1, r.quantity(c[2]), r.quantity(c[3]),
                   r.quantity(c[4]), r.maybe(c[5])});
  }
  return out;
}

}  // namespace halfround::job
