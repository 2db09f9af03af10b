// Section by section in the order of the shop's schema, with what the numbers of one row mean together.
#include "job/shop_read.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "base/number.h"
#include "job/shop_schema.h"
#include "job/table_reader.h"
#include "job/text_door.h"

namespace halfround::job {

using base::Problems;

namespace {

/// "hole saw 1 1/8 in": what it is and its size as typed.
std::string sized(std::string_view what, const Quantity& size, std::string_view head = "") {
  const bool bare = base::read_number(size.typed).has_value();
  return fmt::format("{} {}{}{}", what, head, size.typed, bare ? " mm" : "");
}

std::string name_or(std::string given, std::string made) {
  return given.empty() ? std::move(made) : std::move(given);
}

double value_or(const std::optional<Quantity>& q, double otherwise) {
  return q && !q->typed.empty() ? q->value : otherwise;
}

shop::Tag read_tag(TableReader& r, const Spot& row) {
  return {r.text(r.in(row, "lot")), r.text(r.in(row, "measured")), r.text(r.in(row, "note"))};
}

/// So that cards and cut list say which one to take.
std::string with_lot(const std::string& name, const shop::Tag& tag) {
  return tag.lot.empty() ? name : fmt::format("{}, lot {}", name, tag.lot);
}

shop::Cutter read_cutter(TableReader& r, const Spot& row) {
  shop::Cutter out;
  const std::string name = r.text(r.in(row, "name"));
  out.kind = static_cast<shop::CutterKind>(r.choice(r.in(row, "kind")).value_or(0));
  const Quantity diameter = r.quantity(r.in(row, "diameter"));
  out.diameter = diameter.value;
  out.name = name_or(name, sized(out.kind == shop::CutterKind::hole_saw ? "hole saw" : "end mill", diameter));
  out.reach = value_or(r.maybe(r.in(row, "reach")), 0);
  out.tag = read_tag(r, row);
  return out;
}

shop::File read_file(TableReader& r, const Spot& row) {
  shop::File out;
  const std::string name = r.text(r.in(row, "name"));
  out.kind = static_cast<shop::FileKind>(r.choice(r.in(row, "kind")).value_or(0));
  const bool flat = out.kind == shop::FileKind::flat;
  const Spot radius = r.in(row, "radius");
  if (flat && radius.node != nullptr) {
    r.complain("file-radius", r.place(radius), "A flat file has no radius.", "Leave the key out.");
  }
  const Quantity q = flat ? Quantity{} : r.quantity(radius, true);
  out.radius = q.value;
  const char* kinds[] = {"half-round file", "round file", "flat file"};
  const char* kind = kinds[static_cast<std::size_t>(out.kind)];
  out.tag = read_tag(r, row);
  out.name = name_or(name, flat ? std::string(kind) : sized(kind, q, "of radius "));
  return out;
}

bool is_angle(shop::Measures measures) {
  return measures == shop::Measures::offset_angle || measures == shop::Measures::splay ||
         measures == shop::Measures::mount_lean;
}

/// A bare number on a scale in inches would be taken for millimetres: it is asked after.
double on_scale(TableReader& r, const Spot& spot, base::Kind kind, shop::ScaleUnit unit) {
  const auto q = r.either(spot, kind);
  if (!q || q->typed.empty()) return 0;
  if (unit == shop::ScaleUnit::inch && q->value != 0 && base::read_number(q->typed)) {
    r.complain(
        "scale-unit-missing", r.place(spot),
        fmt::format("Found {} on a scale in inches; without a unit it would be millimetres.", q->typed),
        fmt::format("Write \"{} in\" or \"{} mm\".", q->typed, q->typed));
  }
  return q->value;
}

shop::Adjuster read_adjuster(TableReader& r, const Spot& row) {
  shop::Adjuster out;
  out.name = r.text(r.in(row, "name"));
  const auto measures = r.choice(r.in(row, "measures"));
  out.measures = static_cast<shop::Measures>(measures.value_or(0));
  out.direction = r.choice(r.in(row, "direction")).value_or(0) == 0 ? 1 : -1;
  const Spot unit = r.in(row, "unit");
  const auto unit_read = r.choice(unit);
  out.unit = static_cast<shop::ScaleUnit>(unit_read.value_or(0));
  const bool angle = is_angle(out.measures);
  if (measures && unit_read && angle != (out.unit == shop::ScaleUnit::degree)) {
    r.complain("scale-unit-differs", r.place(unit),
               angle ? "The scale measures an angle but is marked as a length."
                     : "The scale measures a length but is marked in degrees.",
               angle ? "Give \"deg\", or say what else it measures." : "Give \"mm\" or \"in\".");
    return out;
  }
  const base::Kind kind = angle ? base::Kind::angle : base::Kind::length;
  const auto read = [&](std::string_view name) { return on_scale(r, r.in(row, name), kind, out.unit); };
  out.zero = read("zero"), out.step = read("step"), out.least = read("least");
  const Spot most = r.in(row, "most");
  out.most = on_scale(r, most, kind, out.unit);
  if (most.node != nullptr && r.in(row, "least").node != nullptr && !(out.least < out.most)) {
    r.complain("range-turned", r.place(most), "The scale ends where it begins, or before.",
               "Give the smaller reading as least, the greater as most.");
  }
  return out;
}

shop::DummyAxle read_dummy_axle(TableReader& r, const Spot& row) {
  return {r.quantity(r.in(row, "over_locknut")).value, r.quantity(r.in(row, "axle")).value,
          value_or(r.maybe(r.in(row, "end_length")), 0)};
}

/// The rows of an optional list that are tables; any other row is complained of.
std::vector<Spot> tables(TableReader& r, const Spot& list) {
  std::vector<Spot> out;
  for (Spot& row : r.rows(list)) {
    if (row.node->is_table()) {
      out.push_back(std::move(row));
    } else {
      r.complain("table-expected", r.place(row),
                 fmt::format("Found {} where a piece in braces is wanted.", r.found(*row.node)),
                 "Write {key = value, ...}.");
    }
  }
  return out;
}

shop::Fixture read_fixture(TableReader& r, const Spot& row) {
  shop::Fixture out;
  out.name = r.text(r.in(row, "name"));
  out.tag = read_tag(r, row);
  for (const Spot& a : tables(r, r.in(row, "adjusters"))) out.adjusters.push_back(read_adjuster(r, a));
  for (const Spot& a : tables(r, r.in(row, "dummy_axles"))) out.dummy_axles.push_back(read_dummy_axle(r, a));
  if (const auto q = r.maybe(r.in(row, "race_stop"))) out.race_stop = q->value;
  const Spot clamp = r.section(row, "steerer_clamp");
  if (clamp.node == nullptr) return out;
  const Quantity least = r.quantity(r.in(clamp, "least"));
  const Spot end = r.in(clamp, "most");
  const Quantity most = r.quantity(end);
  out.steerer_clamp = shop::SteererClamp{least.value, most.value};
  if (!least.typed.empty() && !most.typed.empty() && least.value > most.value) {
    r.complain("range-turned", r.place(end), "The thickest steerer is thinner than the thinnest.",
               "Give the smaller diameter as least, the greater as most.");
  }
  return out;
}

shop::Stock read_stock(TableReader& r, const Spot& row) {
  shop::Stock out;
  const std::string name = r.text(r.in(row, "name"));
  const Spot kind = r.in(row, "kind");
  out.kind = static_cast<shop::StockKind>(r.choice(kind).value_or(0));
  const Quantity diameter = r.quantity(r.in(row, "diameter")), length = r.quantity(r.in(row, "length"));
  out.diameter = diameter.value, out.length = length.value;
  out.wall = value_or(r.maybe(r.in(row, "wall")), 0);
  out.count = r.count(r.in(row, "count")).value_or(1);
  static constexpr const char* kNames[] = {"tube", "bar", "plate"};
  out.tag = read_tag(r, row);
  const std::string size = sized(kNames[static_cast<int>(out.kind)], diameter);
  out.name = with_lot(name_or(name, fmt::format("{}, {} long", size, length.typed)), out.tag);
  return out;
}

shop::CutLine read_cut_line(TableReader& r, const Spot& files, const std::string& name) {
  shop::CutLine out;
  const Spot colour = r.in(files, name + "_colour");
  if (const std::string given = r.text(colour); !given.empty()) out.colour = given;
  const auto hex = [](unsigned char c) { return std::isxdigit(c) != 0; };
  if (out.colour.size() == 7 &&
      !(out.colour[0] == '#' && std::all_of(out.colour.begin() + 1, out.colour.end(), hex)))
    r.complain("colour-unknown", r.place(colour), fmt::format("Found \"{}\".", out.colour),
               "Give a colour as \"#rrggbb\", e.g. \"#000000\".");
  out.width = value_or(r.maybe(r.in(files, name + "_width")), out.width);
  out.number = r.count(r.in(files, name + "_number")).value_or(out.number);
  return out;
}

shop::CutLines read_cut_lines(TableReader& r, const Spot& files) {
  return {read_cut_line(r, files, "cut"), read_cut_line(r, files, "mark"), read_cut_line(r, files, "check")};
}

void read_consumables(TableReader& r, const Spot& root, shop::Shop& out) {
  for (const Spot& row : tables(r, r.in(root, "rods"))) {
    const std::string name = r.text(r.in(row, "name"));
    const std::string alloy = r.text(r.in(row, "alloy"));
    const Quantity diameter = r.quantity(r.in(row, "diameter"));
    const shop::Tag tag = read_tag(r, row);
    out.rods.push_back({with_lot(name_or(name, sized(alloy, diameter)), tag), alloy, diameter.value, tag});
  }
  for (const Spot& row : tables(r, r.in(root, "stock"))) out.stock.push_back(read_stock(r, row));
  for (const Spot& row : tables(r, r.in(root, "printers"))) {
    out.printers.push_back({r.text(r.in(row, "name")), r.quantity(r.in(row, "bar_x")).value,
                            r.quantity(r.in(row, "bar_y")).value,
                            r.quantity(r.in(row, "paper_thickness")).value, read_tag(r, row)});
  }
  const Spot rotary = r.section(root, "rotary");
  const auto of_rotary = [&](std::string_view key) { return r.quantity(r.in(rotary, key)).value; };
  out.rotary = {of_rotary("tool"), of_rotary("feed"), of_rotary("plunge_feed"), of_rotary("safe_height"),
                of_rotary("through")};
  out.cut_lines = read_cut_lines(r, r.section(root, "cut_files"));
  const auto paper = r.choice(r.in(r.section(root, "sheets"), "paper"));
  out.paper = static_cast<shop::Paper>(paper.value_or(2));
  const Spot tolerances = r.section(root, "tolerances");
  constexpr std::string_view kHead = "tolerances.";
  for (const Row& row : shop_schema()) {
    if (!row.key.starts_with(kHead)) continue;
    const std::string_view name = row.key.substr(kHead.size());
    if (const auto q = r.maybe(r.in(tolerances, name)))
      out.tolerances.push_back({std::string(name), q->value});
  }
}

/// A file whose version isn't known is not read further: its keys may mean something else.
void read_all(TableReader& r, const toml::table& table, shop::Shop& out) {
  const Spot root = r.root(table);
  const Spot version = r.in(root, "version");
  if (!r.count(version) && version.node != nullptr) return;
  const Spot head = r.section(root, "shop");
  out.name = r.text(r.in(head, "name")), out.note = r.text(r.in(head, "note"));
  out.gap = r.quantity(r.in(head, "gap")).value;
  out.least_grip = r.quantity(r.in(head, "least_grip")).value;
  const Spot jaws = r.section(root, "jaws");
  out.jaws = {r.quantity(r.in(jaws, "length")).value, r.quantity(r.in(jaws, "from_cut")).value};
  bool anything = false;
  for (const char* list : {"cutters", "files", "fixtures", "rods", "stock", "printers"}) {
    anything = anything || r.in(root, list).node != nullptr;
  }
  if (!anything) {
    r.complain(
        "shop-empty", {r.place(root).file, 1, 1, ""},
        "The shop is empty: it has no cutters, no files, no fixtures, no rods, no stock and no printers.",
        "Give at least one, e.g. cutters = [{kind = \"hole saw\", diameter = \"1 1/8 in\"}].");
  }
  for (const Spot& row : tables(r, r.in(root, "cutters"))) out.cutters.push_back(read_cutter(r, row));
  for (const Spot& row : tables(r, r.in(root, "files"))) out.files.push_back(read_file(r, row));
  for (const Spot& row : tables(r, r.in(root, "fixtures"))) out.fixtures.push_back(read_fixture(r, row));
  read_consumables(r, root, out);
  r.refuse_unknown(table, "");
}

}  // namespace

base::Result<ShopFile, Problems> read_shop(std::string_view text, const std::string& file) {
  if (auto problem = stopped_at_door(text, file)) {
    if (problem->code == "job-empty")
      problem->fits = "A shop needs a name and what is in it: see docs/shop-file.md.";
    return tl::unexpected(Problems{std::move(*problem)});
  }
  ShopFile out;
  Problems problems;
  std::map<std::string, Line> lines;
  try {
    const toml::table table = toml::parse(text, std::string{file});
    TableReader reader(text, {shop_schema(), "docs/shop-file.md"}, {file, lines, out.assumed}, problems);
    read_all(reader, table, out.shop);
  } catch (const toml::parse_error& error) {
    return tl::unexpected(Problems{grammar_problem(error, file)});
  }
  if (problems.empty()) return out;
  return tl::unexpected(in_file_order(std::move(problems)));
}

}  // namespace halfround::job
