// The display list: everything a sheet shows, in millimetres on paper, before any file format.
// Frame P (paper): origin at the lower left corner of the sheet, +x right, +y up, mm. Backends turn y where
// they must. A sheet is data; PDF, SVG and (later) DXF draw the same thing from it.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/maths.h"

namespace halfround::paper {

using base::Vec2;

/// An upright rectangle on paper, mm, frame P.
struct Box {
  Vec2 min = Vec2::Zero();
  Vec2 max = Vec2::Zero();
  [[nodiscard]] double width() const { return max.x() - min.x(); }
  [[nodiscard]] double height() const { return max.y() - min.y(); }
  [[nodiscard]] Vec2 centre() const { return 0.5 * (min + max); }
};

/// Line weights of ISO 128 as we use them: outlines, dimension and thin lines, hatching. mm.
enum class Weight { thick, medium, thin };  // 0.5, 0.35, 0.18 mm
/// Line types (ISO 128-2 basic types 01, 02, 04, 05).
enum class Dash { solid, dashed, chain, double_chain };
/// What the ink says; backends map it to a colour. `hand`: what the builder's hand may move or must mark
/// (layout-fluid violet).
enum class Ink { graphite, faint, hand, warning };

struct Stroke {
  Weight weight = Weight::medium;
  Dash dash = Dash::solid;
  Ink ink = Ink::graphite;
};

/// Closed or open polyline; curves are given finely enough by the caller (chord error <= 0.01 mm).
struct Path {
  std::vector<Vec2> points;  ///< mm, frame P
  bool closed = false;
  Stroke stroke;
  bool filled = false;   ///< filled with the ink (arrow heads); the outline is then not stroked
  double dash_from = 0;  ///< mm already run of the dash pattern at the first point (a tile goes on where its
                         ///< neighbour stopped)
};

/// Fill of an area with hatching or with a light tone (share 0..1 of the ink), no outline. Tones cover what
/// was drawn before them: put them first.
struct Area {
  std::vector<std::vector<Vec2>> rings;  ///< even-odd rule
  enum class Fill { hatch, tone } fill = Fill::hatch;
  double tone = 0.08;    ///< share of ink for Fill::tone
  double spacing = 2.0;  ///< of hatch lines, mm
  Ink ink = Ink::graphite;
  double angle = base::kPi / 4;  ///< of the hatch lines, rad; 3*pi/4 for the neighbouring part
};

enum class Anchor { left, centre, right };
struct Text {
  Vec2 at = Vec2::Zero();  ///< baseline start / middle / end by `anchor`
  std::string text;        ///< UTF-8, one line
  double height = 3.5;     ///< cap height h of ISO 3098, mm: 2.5, 3.5, 5, 7
  double turn = 0;         ///< rad, counter-clockwise
  Anchor anchor = Anchor::left;
  Ink ink = Ink::graphite;
  bool bold = false;
  bool italic = false;  ///< assumed (not measured) values are italic everywhere
  bool backed = false;  ///< a paper-coloured plate behind, so that lines do not run through it
  std::string key{};    ///< of the job file, where this is the dimension that sets it; paper doesn't show it
};

using Item = std::variant<Path, Area, Text>;

/// Items drawn together under one name; a layer of the PDF, a labelled group of the SVG.
struct Group {
  std::string name;   ///< "outline", "dimensions", "template", "frame": stable, lower case
  std::string label;  ///< spoken: "left blade, front view"
  std::vector<Item> items;
  std::optional<Box> clip;  ///< nothing of the group shows outside, mm
};

struct Page {
  double width = 210;   ///< mm
  double height = 297;  ///< mm
  std::string name;     ///< "fork drawing, tile B2"
  std::vector<Group> groups;
};

/// One document: its file stem, title and pages (all drawn 1:1).
struct Sheet {
  std::string stem;   ///< file name without ending: "fork-drawing-a4"
  std::string title;  ///< document title
  std::vector<Page> pages;
};

/// Width in mm of `text` set at cap height `height` in the sheets' typeface.
[[nodiscard]] double text_width(const std::string& text, double height, bool bold = false,
                                bool italic = false);

/// The display list as text, 3 decimals, for goldens and for looking at differences.
[[nodiscard]] std::string to_text(const Sheet& sheet);

}  // namespace halfround::paper
