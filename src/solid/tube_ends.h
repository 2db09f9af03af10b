// The two ends of a tube's wall: closed loops of edges on its outer and inner skin, and the faces between
// them. Private to this room. Frame: the assembly's.
#pragma once

#include <TopoDS_Shell.hxx>
#include <optional>

#include "bike/assembly.h"
#include "solid/edges.h"
#include "study/mitre.h"

namespace halfround::solid {

/// One wall's edge at one end, rising clock angle, from the mark line round to it again.
struct Loop {
  Chain pieces;
  TopoDS_Vertex seam;  ///< on the mark line
  double s_seam = 0;   ///< mm
};

/// A square end at s.
[[nodiscard]] Loop square_loop(const Skin& skin, double s);

/// A mitred one, through the points of the mitre study; `edge` is the outer or inner one of `mitre`.
///   fails  solid-unclosed
[[nodiscard]] base::Result<Loop> cut_loop(const Skin& skin, const Skin& onto, const study::Mitre& mitre,
                                          const std::vector<study::EdgePoint>& edge);

/// Both skins of a member; inner is empty for a solid bar.
struct Wall {
  const bike::Member* member = nullptr;
  std::optional<Skin> outer, inner;
};

/// What ends a member: the mitre with its target, or a slot, or neither.
struct Ending {
  bike::End end = bike::End::end;
  const study::Mitre* mitre = nullptr;
  const bike::Member* target = nullptr;
  const bike::Plate* slot = nullptr;
};

struct Ended {
  Loop outer, inner;
  std::vector<TopoDS_Face> cap;  ///< faces between the loops, facing out of the solid
};

/// Fails where a cut can't be closed: more than the outer wall passes by in an order that makes no ring.
[[nodiscard]] base::Result<Ended> end_of(const Wall& wall, const Ending& ending);
[[nodiscard]] base::Result<Ended> mitred_end(const Wall& wall, const Ending& ending);
[[nodiscard]] base::Result<Ended> slotted_end(const Wall& wall, const Ending& ending);

}  // namespace halfround::solid
