// What every page carries: border, title block, a 100 mm check bar and a 50 mm square.
//
//      +--------------------------------+   border, 6 mm inside the paper
//      |                                |
//      |          content_box           |
//      |                                |
//      +--------+-----------------------+   strip, 54 mm
//      | 50 mm  |  100 mm check bar     |
//      | square |  title block          |   sits at the lower right on paper wider than A4
//      +--------+-----------------------+
#pragma once

#include <string>

#include "paper/display.h"

namespace halfround::paper {

/// What the title block says [fields in the spirit of ISO 7200, from memory].
struct TitleBlock {
  std::string job;            ///< "island post, fork 3"
  std::string sheet;          ///< "mitre template, left blade, upper end"
  std::string revision;       ///< hash of the job, short: "5e2c91aa"
  std::string scale = "1:1";  ///< "not to scale" where that is so
  std::string unit = "mm";
  int number = 1;    ///< sheet n ...
  int of = 1;        ///< ... of m
  std::string note;  ///< one line: "printer corrected x 1.002, y 0.998"
  std::string tool = "halfround";
};

/// From the edge of the paper to the border, and the height of the strip, mm.
inline constexpr double kMargin = 6;  // most desktop printers leave 4 to 6 mm blank [common practice]
inline constexpr double kStrip = 54;  // the 50 mm square and 2 mm of air above and below

/// The free rectangle for content on a page of this size, mm. Nothing of the furniture reaches into it.
/// A page too small to carry the furniture (below 205 x 90 mm) is our bug.
[[nodiscard]] Box content_box(double width, double height);

/// Adds the groups "frame" and "check" to the page.
void furnish(Page& page, const TitleBlock& title);

/// Is it one of the groups furnish() adds?
[[nodiscard]] bool is_furniture(const Group& group);

/// Stretches all that is drawn about the middle of the page, so that a printer that prints x wrong by 1 / fx
/// and y by 1 / fy brings out true sizes, the check bar included. The paper and the letters keep their size.
///   in   fx, fy  wanted length / printed length: 100 / 99.6 for a bar that came out at 99.6 mm
void correct_for_printer(Page& page, double fx, double fy);

}  // namespace halfround::paper
