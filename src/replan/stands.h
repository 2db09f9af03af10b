// How the wheel stands when a finished blade stays as it is, each joint where it was planned. Frame F.
#pragma once

#include "base/maths.h"
#include "base/result.h"
#include "job/job.h"

namespace halfround::replan {

struct Stands {
  double centring = 0;                   ///< wheel beside the middle at the tyre's top, mm, > 0: left
  double height = 0;                     ///< left lower end above the right one, mm
  double offset = 0, axle_to_crown = 0;  ///< mm; axle-to-crown straight
  base::Vec3 left = base::Vec3::Zero(), right = base::Vec3::Zero();  ///< where the axle's ends come
};

///   within  the chain of layout/as_built.h: for some mm
///   fails   those of replan
[[nodiscard]] base::Result<Stands> stands_as_cut(const job::Job& job);

}  // namespace halfround::replan
