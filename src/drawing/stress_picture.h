// How hard the fork's members work, drawn along them. Frame P, mm; not to full size.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bike/assembly.h"
#include "drawing/on_paper.h"
#include "drawing/view.h"
#include "study/mitre.h"
#include "study/strength.h"

namespace halfround::drawing {

/// How much of its strength a member uses up at one place: the worst of all cases.
struct Utilisation {
  double s = 0;      ///< along the member, mm
  double share = 0;  ///< stress / strength, by yield or fatigue, whichever is more
};
/// Of one member over all cases, by rising s; empty where no case reaches it.
[[nodiscard]] std::vector<Utilisation> utilisation(const study::Strength& strength, const bike::Part& member);

/// The place with the least margin of all cases; nothing where none has one.
struct Weakest {
  study::WeakPlace place;
  std::string load;      ///< name of its case
  bool fatigue = false;  ///< else yield
};
[[nodiscard]] std::optional<Weakest> weakest(const study::Strength& strength);

/// The same bands beside the members of a view at full size, `whole` mm wide where all of the strength is
/// used up, and the weakest place.
void put_stress(Group& group, const bike::Assembly& assembly, const study::Strength& strength,
                const View& view, double whole);

/// The fork from ahead, laid on its side (axle left, steerer right). Beside each member a band as wide as its
/// stress is of what it may be; a chain line where it would be all of it. The weakest place has a leader with
/// its margin, the side, how far up the member it lies, and the load case. The wheel is left out.
[[nodiscard]] Group stress_picture(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres,
                                   const study::Strength& strength, const Box& box);

}  // namespace halfround::drawing
