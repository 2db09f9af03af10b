// One shop: what hangs on its walls and stands on its bench. Plain data, house units; names are for the
// cards. Frame: none.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace halfround::shop {

/// What is written on the thing; nothing is reckoned from it.
struct Tag {
  std::string lot, measured, note;
};

enum class CutterKind { hole_saw, end_mill };

struct Cutter {
  std::string name;  ///< as the builder calls it, else "hole saw 1 1/8 in"
  CutterKind kind = CutterKind::hole_saw;
  double diameter = 0;  ///< it cuts, mm
  double reach = 0;     ///< how deep it goes along its axis, mm; 0: deep enough for anything
  Tag tag{};
};

enum class FileKind { half_round, round, flat };

struct File {
  std::string name;
  FileKind kind = FileKind::half_round;
  double radius = 0;  ///< of its round side, mm; 0 for a flat one
  Tag tag{};
};

/// What an adjuster measures in the fork. Along and straight are the two axle-to-crown lengths of
/// docs/frames.md.
enum class Measures {
  axle_to_crown_straight,  ///< axle to the middle of the crown race seat
  axle_to_crown_along,     ///< the same along the steering axis
  offset,                  ///< from the steering axis to the axle, square to the axis
  offset_angle,            ///< at the seat, between the steering axis and the line to the axle
  over_locknut,            ///< width between the fork ends
  half_over_locknut,       ///< from the wheel's middle plane to one fork end
  crown_height,            ///< from the seat down to where the blades' middle lines meet the axis
  splay,                   ///< of a blade's lower run against the wheel's middle plane
  mount_face,              ///< brake mount: from the axle, square to its face
  mount_bolt,              ///< from the axle along the face up to the lower bolt
  mount_lean,              ///< of the face against the steering axis, > 0: its top forward
  mount_aside,             ///< from the wheel's middle plane out to the bolts
};
enum class ScaleUnit { mm, inch, degree };

/// One scale: reading = direction · (value - zero). Lengths in mm, angles in rad whatever the scale shows.
struct Adjuster {
  std::string name;
  Measures measures = Measures::offset;
  double zero = 0;       ///< what the fork has where the scale shows 0, mm or rad
  double direction = 1;  ///< +1: the reading grows with the value, -1: it falls
  ScaleUnit unit = ScaleUnit::mm;
  double step = 0;             ///< smallest step that can be set, mm or rad
  double least = 0, most = 0;  ///< range of the reading, mm or rad
};

struct DummyAxle {
  double over_locknut = 0;  ///< between its shoulders, mm
  double diameter = 0;      ///< of its ends, mm
  double end_length = 0;    ///< how far an end stands out of its shoulder, mm; 0: not measured
};

/// What grips the steerer: one diameter, or a range.
struct SteererClamp {
  double least = 0, most = 0;  ///< mm
};

struct Fixture {
  std::string name;
  std::vector<Adjuster> adjusters;
  std::vector<DummyAxle> dummy_axles;
  std::optional<double> race_stop;  ///< diameter of the bore that takes the crown race seat's tube, mm
  std::optional<SteererClamp> steerer_clamp;
  Tag tag{};
};

struct Rod {
  std::string name;
  std::string alloy;    ///< AWS classification as typed: "RBCuZn-C"
  double diameter = 0;  ///< mm
  Tag tag{};
};

enum class StockKind { tube, bar, plate };
[[nodiscard]] constexpr const char* word_of(StockKind k) {
  return k == StockKind::tube ? "tube" : k == StockKind::bar ? "bar" : "plate";
}

/// A length on the rack.
struct Stock {
  std::string name;  ///< as the builder calls it, else "bar 25 mm, 300 mm long"
  StockKind kind = StockKind::tube;
  double diameter = 0;  ///< outside, of a plate its width, mm
  double wall = 0;      ///< of a plate its thickness, mm; 0: not known, or a bar
  double length = 0;    ///< mm
  int count = 1;        ///< how many such lengths
  Tag tag{};
};

struct Printer {
  std::string name;
  double bar_x = 100, bar_y = 100;  ///< what the printed 100 mm bars measure, mm
  double paper_thickness = 0.1;     ///< mm
  Tag tag{};
};

/// What a machine that turns the tube holds (shop/rotary.h).
struct RotaryTool {
  double diameter =
      0;              ///< of an end mill pointing at the tube's axis, mm; 0: a scriber or pen that only marks
  double feed = 200;  ///< along the tube's surface, mm/min [our own, slow]
  double plunge_feed = 50;  ///< into and out of the wall, mm/min [our own, slow]
  double safe_height = 10;  ///< above the tube's widest place, mm
  double through = 0.5;     ///< how far a mill's tip reaches past the wall, mm
};

/// How the builder's own cutting machine wants one kind of line: nothing but layers and groups tells them apart
/// unless the shop says so.
struct CutLine {
  std::string colour = "#000000";  ///< of the SVG: "#rrggbb"
  double width = 0.1;              ///< of the SVG, mm
  int number = 7;                  ///< of the DXF layer: its colour index, 7 is the drawing's own
};
struct CutLines {
  CutLine cut, mark, check;
};

/// Where the vice or the tube blocks take hold at the machine: the wedge of a tapered tube is that of this
/// length.
struct Jaws {
  double length = 60;    ///< along the tube, mm
  double from_cut = 20;  ///< from the cut's deepest place to the jaws' nearer end, along the tube, mm
};

enum class Paper { a4, letter, both };

/// What this shop holds without being asked; mm or rad.
struct Tolerance {
  std::string of;  ///< as in the job: "offset"
  double plus_minus = 0;
};

struct Shop {
  std::string name, note;
  std::vector<Cutter> cutters;
  std::vector<File> files;
  std::vector<Fixture> fixtures;
  std::vector<Rod> rods;
  std::vector<Stock> stock;
  std::vector<Printer> printers;
  Jaws jaws;
  RotaryTool rotary;
  CutLines cut_lines;
  Paper paper = Paper::both;
  double gap = 0.1;        ///< the greatest gap a joint may keep before the file is taken up, mm
  double least_grip = 40;  ///< the shortest straight piece that the vice or tube block holds, mm
  std::vector<Tolerance> tolerances;
};

}  // namespace halfround::shop
