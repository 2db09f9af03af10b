// The tightest place at the wheel, cut through. Frame P, mm; not to full size, and it says so.
#pragma once

#include "bike/assembly.h"
#include "sheet/on_paper.h"
#include "study/clearance.h"

namespace halfround::sheet {

/// A section through the axle where tyre, rim or mudguard come nearest to the fork (anything else, where
/// there is none of these): bodies toned, members hatched, the gap dimensioned; what growth, mud and an
/// untrue wheel take of it is dashed round the tyre.
[[nodiscard]] Group clearance_picture(const bike::Assembly& assembly, const study::Clearance& clearance,
                                      const Box& box);

}  // namespace halfround::sheet
