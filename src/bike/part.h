// What a member or a plate is: its kind, its side, which of its kind, and the key it is told by in answers. A
// part is known by these, never by its key: studies ask `part.kind`, texts say `spoken(part)`. Frame: none.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace halfround::bike {

enum class Side { left, right, middle };
enum class End { start, end };

enum class PartKind {
  none,  ///< no part at all: what an empty reference says
  steerer,
  blade,
  crown_tube,   ///< of a segmented crown
  crown_plate,  ///< number 1 is the upper one
  crown,        ///< one piece with sockets
  cap,
  insert,
  dropout,
  block,
  gusset,
  // of the wheel and the brake
  tyre,
  rim,
  mudguard,
  rotor,
  calliper,
  axle_end,
  // what goes into a bore and is no part of the assembly
  axle,
  bolt
};
inline constexpr std::size_t kPartKinds = static_cast<std::size_t>(PartKind::bolt) + 1;

struct Part {
  PartKind kind = PartKind::none;
  Side side = Side::middle;
  int number = 1;    ///< which of its kind on its side
  std::string name;  ///< stable key in answers and files: "blade.left", "crown.upper"; nobody reads it back

  [[nodiscard]] bool empty() const { return kind == PartKind::none; }
  /// The key takes no part: two assemblies that differ in keys only are alike.
  friend bool operator==(const Part& a, const Part& b) {
    return a.kind == b.kind && a.side == b.side && a.number == b.number;
  }
  friend bool operator<(const Part& a, const Part& b) {
    if (a.kind != b.kind) return a.kind < b.kind;
    return a.side != b.side ? a.side < b.side : a.number < b.number;
  }
};

/// A part with the key of its kind.
[[nodiscard]] Part part(PartKind kind, Side side = Side::middle, int number = 1);
/// The part with this key among those of a fork, as a job file and the page write it; empty where none has
/// it.
[[nodiscard]] Part part_called(std::string_view name);

[[nodiscard]] constexpr Side side_of(bool left) {
  return left ? Side::left : Side::right;
}
[[nodiscard]] constexpr Side other(Side side) {
  return side == Side::left ? Side::right : side == Side::right ? Side::left : Side::middle;
}
[[nodiscard]] const char* word_of(Side side);  ///< "left", "right", ""

/// The part on the other side; empty for one in the middle.
[[nodiscard]] Part other_side(const Part& part);
/// As a builder says it: "left blade", "upper crown plate"; "" for no part.
[[nodiscard]] std::string spoken(const Part& part);
/// What the kind is called, without a side: "blade".
[[nodiscard]] std::string_view noun_of(PartKind kind);
/// An end by its own name: "upper", "lower".
[[nodiscard]] const char* end_name(const Part& part, End end);
/// "left blade, upper end"
[[nodiscard]] std::string spoken(const Part& part, End end);

}  // namespace halfround::bike
