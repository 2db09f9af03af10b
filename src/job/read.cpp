// Section by section in the order of the schema; what the numbers mean together is looked at in verify.cpp.
#include "job/read.h"

#include <fmt/format.h>

#include "bike/material.h"
#include "job/report_read.h"
#include "job/table_reader.h"
#include "job/text_door.h"
#include "job/verify.h"

namespace halfround::job {

using base::Problems;

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

Wheel read_wheel(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "wheel");
  Wheel out;
  out.bead_seat = r.quantity(r.in(s, "bead_seat"));
  out.rim_width = r.quantity(r.in(s, "rim_width"));
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
  out.stock_length = r.maybe(pick("stock_length"));
  return out;
}

void read_blades(TableReader& r, const Spot& root, Job& job) {
  const Spot both = r.section(root, "blades");
  const Spot left = r.section(both, "left"), right = r.section(both, "right");
  job.left = read_blade(r, both, left);
  if (left.node != nullptr || right.node != nullptr) job.right = read_blade(r, both, right);
}

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

CrownPart read_crown(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "crown");
  CrownPart out;
  if (beyond_the_layout(r, r.in(s, "kind"))) return out;
  out.kind = static_cast<CrownKind>(r.choice(r.in(s, "kind")).value_or(0));
  const bool segmented = out.kind == CrownKind::segmented, plate = out.kind == CrownKind::plate;
  const auto unused = [&](const Spot& spot) {
    if (spot.node == nullptr) return;
    r.complain("crown-key-unused", r.place(spot), fmt::format("This kind of crown has no {}.", spot.key),
               "Say which kind of crown it is, or take the line out.");
  };
  const auto read = [&](std::string_view key, bool has) -> Quantity {
    const Spot spot = r.in(s, key);
    if (has) return r.quantity(spot, find_row(spot.key)->need != Need::assumed);
    unused(spot);
    return {};
  };
  const bool socket = out.kind == CrownKind::socket;
  out.diameter = read("diameter", segmented), out.wall = read("wall", segmented);
  out.height = read("height", segmented || plate || socket), out.angle = read("angle", segmented);
  if (const Spot plates = r.in(s, "plates"); !plate)
    unused(plates);
  else if (plates.node != nullptr)
    out.plates = static_cast<int>(r.count(plates).value_or(1));
  out.thickness = read("thickness", plate || socket), out.between = read("between", plate && out.plates > 1);
  out.edge = read("edge", plate || socket), out.least = read("least", plate);
  out.above = read("above", segmented || plate), out.cap = read("cap", segmented || plate);
  out.spacing = read("spacing", socket), out.splay = read("splay", socket), out.lean = read("lean", socket);
  out.ahead = read("ahead", socket), out.socket_width = read("socket_width", socket);
  out.socket_reach = read("socket_reach", socket);
  const Spot oval = r.in(s, "socket_depth");
  out.socket_depth = socket && oval.node == nullptr ? out.socket_width : read("socket_depth", socket);
  return out;
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
  const bool insert = kind && out.kind == LowerEndKind::insert,
             tab = kind && out.kind == LowerEndKind::tab_dropout,
             hooded = kind && out.kind == LowerEndKind::hooded_dropout,
             block = kind && out.kind == LowerEndKind::axle_block;
  out.blade_from_hub = r.quantity(pick("blade_from_hub"));
  out.rise = r.quantity(pick("rise"), tab || hooded || block);
  out.diameter = r.quantity(pick("diameter"), insert || hooded);
  out.length = r.quantity(pick("length"), insert || hooded);
  out.bore = r.quantity(pick("bore"), insert || block);
  out.thickness = r.quantity(pick("thickness"), tab || hooded || block);
  out.slot_depth = r.quantity(pick("slot_depth"), tab);
  out.slot_width = r.quantity(pick("slot_width"), tab || hooded);
  out.socket_depth = r.quantity(pick("socket_depth"), block);
  if (block) out.edge = r.quantity(pick("edge"));
  return out;
}

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
  const bool disc = out.mount != Mount::none && out.mount != Mount::rim;
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
  static constexpr const char* kMembers[] = {"steerer", "blade.left", "blade.right", "insert.left",
                                             "insert.right"};  // as the row's choices
  std::vector<Feature> out;
  for (const Spot& row : r.rows(r.in(root, "features"))) {
    const auto c = r.cells(row, {"kind", "on", "at", "clock", "size"});
    if (c.empty()) continue;
    const auto kind = static_cast<FeatureKind>(r.choice(c[0], true).value_or(0));
    const bool rule = kind >= FeatureKind::wire_passage;  // knows a place and a size by itself
    const auto read = [&](const Spot& spot) -> std::optional<Quantity> {
      return rule ? r.maybe(spot) : r.quantity(spot, true);
    };
    const std::string on = kMembers[r.choice(c[1], true).value_or(0)];
    out.push_back({kind, on, read(c[2]), r.maybe(c[3]), read(c[4])});
  }
  return out;
}

std::vector<Gusset> read_gussets(TableReader& r, const Spot& root) {
  static constexpr std::pair<const char*, const char*> kBetween[] = {
      {"blade", "crown"}, {"crown", "steerer"}, {"blade", "steerer"}};  // as the row's choices
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

Shares read_shares(TableReader& r, const Spot& root, Job& job) {
  const Spot s = r.section(root, "shares");
  Shares out;
  const auto read = [&](Share share, std::string_view name) {
    const Spot spot = r.in(s, name);
    bool remainder = false;
    auto given = r.share(spot, remainder);
    if (remainder && out.remainder) {
      r.complain("remainder-twice", r.place(spot),
                 fmt::format("A second share, {}, takes the remainder.", spot.key),
                 "Let one share take the remainder and give the others a length.");
    } else if (remainder) {
      out.remainder = share;
    }
    return given;
  };
  out.tilt = read(Share::tilt, "tilt");
  out.mitre_offset = read(Share::mitre_offset, "mitre_offset");
  static_cast<void>(read(Share::rake, "rake"));
  out.dropout_lead = read(Share::dropout_lead, "dropout_lead");
  const auto assume = [&](Share share, std::string_view key, std::optional<Quantity>& given) {
    if (job.lines.contains(std::string(key))) return;
    if (share != Share::mitre_offset || job.crown.kind != CrownKind::socket) job.assumed.emplace_back(key);
    if (share == Share::tilt && !out.remainder) {
      out.remainder = share;
    } else {
      given = Quantity{0, "0", false};
    }
  };
  assume(Share::tilt, "shares.tilt", out.tilt);
  assume(Share::mitre_offset, "shares.mitre_offset", out.mitre_offset);
  assume(Share::dropout_lead, "shares.dropout_lead", out.dropout_lead);
  return out;
}

/// Two wishes of one section; a socket crown has the spacing of its sockets and leaves one.
std::vector<Wished> read_two(TableReader& r, const Spot& s, const std::string& key, bool socket) {
  static constexpr std::string_view kNames[] = {"clearance",  "crown_height", "top_angle", "splay",
                                                "lower_trim", "upper_trim",   "spacing"};
  std::vector<Wished> out;
  std::string named;
  int n = 0;
  for (std::size_t i = 0; i < std::size(kNames); ++i) {
    const Spot spot = r.in(s, kNames[i]);
    if (spot.node == nullptr) continue;
    ++n;
    named += fmt::format("{}{}", named.empty() ? "" : ", ", kNames[i]);
    out.push_back({static_cast<Wish>(i), r.quantity(spot)});
  }
  if (socket && n != 1) {
    r.complain(
        "wishes-not-two", {r.place(s).file, r.place(s).line, r.place(s).column, key},
        fmt::format("Found {} wish{}{}{}.", n == 0 ? "no" : fmt::format("{}", n), n == 1 ? "" : "es",
                    n == 0 ? "" : ": ", named),
        "A socket crown gives where the blades stand and leaves one length open: wish for one of lower_trim, "
        "upper_trim, clearance, splay, top_angle.");
  } else if (!socket && n != 2) {
    r.complain("wishes-not-two", {r.place(s).file, r.place(s).line, r.place(s).column, key},
               fmt::format("Found {} wish{}{}{}.", n == 0 ? "no" : fmt::format("{}", n), n == 1 ? "" : "es",
                           n == 0 ? "" : ": ", named),
               "A blade leaves two lengths open: wish for exactly two of clearance, crown_height, top_angle, "
               "splay, lower_trim, upper_trim, spacing.");
  }
  return out;
}

/// A side with a section of its own has both its wishes there.
Wishes read_wishes(TableReader& r, const Spot& root, bool socket) {
  const Spot s = r.section(root, "wishes");
  const Spot left = r.section(s, "left"), right = r.section(s, "right");
  Wishes out;
  out.two =
      left.node != nullptr ? read_two(r, left, "wishes.left", socket) : read_two(r, s, "wishes", socket);
  if (right.node != nullptr) {
    out.right = read_two(r, right, "wishes.right", socket);
  } else if (left.node != nullptr) {
    out.right = read_two(r, s, "wishes", socket);
  }
  out.lean_to = r.quantity(r.in(s, "lean_to"));
  return out;
}

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

Materials read_material(TableReader& r, const Spot& root) {
  const Spot s = r.section(root, "material");
  const auto name = [&](std::string_view part) {
    const auto i = r.choice(r.in(s, part));
    return std::string(i ? bike::materials()[*i].name : "");
  };
  return {name("steerer"), name("blades"), name("lower_end"), name("crown")};
}

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
  const Spot limits = r.section(root, "limits");
  job.limits = {r.quantity(r.in(limits, "centring")), r.quantity(r.in(limits, "faces")),
                r.quantity(r.in(limits, "height")), r.quantity(r.in(limits, "spacing"))};
}

/// A file whose version isn't known is not read further: its keys may mean something else.
bool read_all(TableReader& r, const toml::table& table, Job& job) {
  const Spot root = r.root(table);
  const Spot version = r.in(root, "version");
  const auto number = r.count(version);
  if (!number && version.node != nullptr) return false;
  const Spot head = r.section(root, "job");
  job.name = r.text(r.in(head, "name"));
  if (const Spot note = r.in(head, "note"); note.node != nullptr) job.note = r.text(note);
  job.wheel = read_wheel(r, root);
  const Spot hub = r.section(root, "hub");
  job.hub = {r.quantity(r.in(hub, "over_locknut")), r.quantity(r.in(hub, "axle"))};
  job.steering = read_steering(r, root);
  job.steerer = read_steerer(r, root);
  read_blades(r, root, job);
  job.crown = read_crown(r, root);
  read_lower_ends(r, root, job);
  job.brake = read_brake(r, root);
  job.features = read_features(r, root);
  job.gussets = read_gussets(r, root);
  job.shares = read_shares(r, root, job);
  job.wishes = read_wishes(r, root, job.crown.kind == CrownKind::socket);
  job.bicycle = read_bicycle(r, root, job);
  job.pedals = read_pedals(r, root);
  job.mudguard = read_mudguard(r, root);
  job.checks = read_checks(r, root);
  job.material = read_material(r, root);
  job.strength = read_strength(r, root);
  job.joining = read_joining(r, root);
  read_shop(r, root, job);
  read_done(r, root, job);
  r.refuse_unknown(table, "");
  return true;
}

}  // namespace

base::Result<Job, Problems> read_job(std::string_view text, const std::string& file) {
  if (auto problem = stopped_at_door(text, file)) return tl::unexpected(Problems{std::move(*problem)});
  Job job;
  job.file = file;
  Problems problems;
  try {
    const toml::table table = toml::parse(text, std::string{file});
    TableReader reader(text, job, problems);
    if (read_all(reader, table, job)) {
      verify(job, problems);
      verify_done(job, problems);
    }
  } catch (const toml::parse_error& error) {
    return tl::unexpected(Problems{grammar_problem(error, file)});
  }
  if (problems.empty()) return job;
  return tl::unexpected(in_file_order(std::move(problems)));
}

}  // namespace halfround::job
