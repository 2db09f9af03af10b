#include "bike/part.h"

#include <fmt/format.h>

#include "base/words.h"

namespace halfround::bike {

namespace {

constexpr std::array<base::Word<PartKind>, kPartKinds> kRows{{{PartKind::none, "", ""},
                                                              {PartKind::steerer, "steerer", "steerer"},
                                                              {PartKind::blade, "blade", "blade"},
                                                              {PartKind::crown_tube, "crown", "crown"},
                                                              {PartKind::crown_plate, "crown", "crown plate"},
                                                              {PartKind::crown, "crown", "crown"},
                                                              {PartKind::cap, "cap", "cap"},
                                                              {PartKind::insert, "insert", "insert"},
                                                              {PartKind::dropout, "dropout", "dropout"},
                                                              {PartKind::block, "block", "block"},
                                                              {PartKind::gusset, "gusset", "gusset"},
                                                              {PartKind::tyre, "tyre", "tyre"},
                                                              {PartKind::rim, "rim", "rim"},
                                                              {PartKind::mudguard, "mudguard", "mudguard"},
                                                              {PartKind::rotor, "rotor", "rotor"},
                                                              {PartKind::calliper, "calliper", "calliper"},
                                                              {PartKind::axle_end, "axle end", "axle end"},
                                                              {PartKind::axle, "axle", "axle"},
                                                              {PartKind::bolt, "bolt", "bolt"}}};
static_assert(base::complete(kRows));

const base::Word<PartKind>& row_of(PartKind kind) {
  return base::word_of(kRows, kind);
}

/// Crown plates are told apart by their height, whatever their side.
bool stacked(PartKind kind) {
  return kind == PartKind::crown_plate;
}
const char* height_of(const Part& p) {
  return p.number == 1 ? "upper" : "lower";
}

std::string key_of(const Part& p) {
  std::string out(row_of(p.kind).key);
  if (stacked(p.kind)) return out + "." + height_of(p);
  if (p.number > 1) out += fmt::format("{}", p.number);
  return p.side == Side::middle ? out : out + "." + word_of(p.side);
}

}  // namespace

const char* word_of(Side side) {
  return side == Side::left ? "left" : side == Side::right ? "right" : "";
}

Part part(PartKind kind, Side side, int number) {
  Part out{kind, side, number, {}};
  out.name = key_of(out);
  return out;
}

Part part_called(std::string_view name) {
  constexpr PartKind kSingle[] = {PartKind::steerer, PartKind::crown};
  constexpr PartKind kPaired[] = {PartKind::blade,   PartKind::crown_tube, PartKind::cap,   PartKind::insert,
                                  PartKind::dropout, PartKind::block,      PartKind::gusset};
  constexpr int kMost = 9;  // of one kind on one side
  for (const PartKind kind : kSingle) {
    if (Part p = part(kind); p.name == name) return p;
  }
  for (int number = 1; number <= kMost; ++number) {
    if (Part p = part(PartKind::crown_plate, Side::middle, number); number <= 2 && p.name == name) return p;
    for (const PartKind kind : kPaired) {
      for (const Side side : {Side::left, Side::right}) {
        if (Part p = part(kind, side, number); p.name == name) return p;
      }
    }
  }
  return {};
}

Part other_side(const Part& p) {
  if (p.side == Side::middle) return {};
  return part(p.kind, other(p.side), p.number);
}

std::string_view noun_of(PartKind kind) {
  return row_of(kind).words;
}

std::string spoken(const Part& p) {
  std::string out(noun_of(p.kind));
  if (stacked(p.kind)) return std::string(height_of(p)) + " " + out;
  if (p.number > 1) out += fmt::format(" {}", p.number);
  return p.side == Side::middle ? out : std::string(word_of(p.side)) + " " + out;
}

const char* end_name(const Part& /*part*/, End end) {
  return end == End::end ? "upper" : "lower";
}

std::string spoken(const Part& p, End end) {
  return fmt::format("{}, {} end", spoken(p), end_name(p, end));
}

}  // namespace halfround::bike
