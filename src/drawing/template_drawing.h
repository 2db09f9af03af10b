// One wrap-round template as drawn: the flat paper of a mitre with everything the builder lines it up by.
// Frame P of shape/unroll.h: origin where the mark line crosses the scribe line, cut up, seen from outside.
#pragma once

#include <string>
#include <vector>

#include "bike/assembly.h"
#include "drawing/on_paper.h"
#include "study/mitre.h"

namespace halfround::drawing {

inline constexpr double kGlueFlap = 8;  ///< beyond the seam, mm
inline constexpr double kPaperLies =
    0.3;  ///< mm; a template off by more is seen on the tube [common practice]

/// The words on one template.
struct TemplateWords {
  std::string piece;     ///< "LEFT BLADE · upper end": stays on the paper when it is cut out
  std::string revision;  ///< of the job, printed on the piece
  std::string scribe;    ///< "SCRIBE LINE 132.0 mm from the upper end of the stock"
  std::string mark;      ///< "MARK LINE (outside of the blade)"
  std::string base;      ///< "this side toward the dropout"
  std::string waste;     ///< "this side is waste, toward the steerer"
  std::string target;    ///< "steerer"
};

struct TemplateDrawing {
  std::vector<Group> groups;  ///< "template" (lines to cut and to line up), "clock", "words"
  Box bounds;                 ///< of all of it, mm
};

/// Draws the template. The path of the cut is the study's own points, unchanged.
[[nodiscard]] TemplateDrawing draw_template(const study::Mitre& mitre, const bike::Member& member,
                                            const TemplateWords& words);

/// Foot and cut of the generator at a clock angle, frame P of the template.
struct Rib {
  Vec2 foot, edge;
  [[nodiscard]] Vec2 along() const { return (edge - foot).normalized(); }
};

/// in  u  clock angle, rad, -pi..pi; left_seam: which of the two ends when u is half a turn
[[nodiscard]] Rib rib_at(const study::Mitre& mitre, double u, bool left_seam = true);

}  // namespace halfround::drawing
