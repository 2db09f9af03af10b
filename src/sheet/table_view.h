// One view of a fork by itself, without border and title: what a screen shows while the fork is being laid
// out. The same display list as the printed sheets, 1:1. Frame P, mm.
#pragma once

#include <optional>

#include "drawing/view.h"
#include "job/job.h"
#include "sheet/on_paper.h"
#include "solve/solve.h"

namespace halfround::sheet {

enum class Show {
  front,          ///< from ahead, square to the left blade's plane
  side,           ///< from the rider's left
  template_left,  ///< wrap-round template of the left blade's upper end, else of the first mitre on that side
  template_right,  ///< the same on the right
  section          ///< across the left blade at a station
};

/// What may lie over the fork from ahead or from the side, each as a group of its own.
struct Over {
  bool stress = false;  ///< "over-stress": bands beside the members, as on the check sheet
  bool sweep = false;   ///< "over-sweep": what the tyre takes up grown, muddy and out of true
};

struct TableView {
  Page page;
  std::optional<drawing::View>
      view;  ///< where a point of F comes to lie on the page; nothing: the page shows no space
};

/// in   at  for Show::section: from the blade's tip along its middle line, mm; kept within the stock
/// out  an empty page where there is no such template
[[nodiscard]] TableView table_view(const job::Job& job, const solve::Answer& answer, Show show, double at = 0,
                                   const Over& over = {});

}  // namespace halfround::sheet
