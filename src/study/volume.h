// A body's volume with its first and second moments: what the mass study adds up. Frame: the assembly's.
#pragma once

#include "base/maths.h"

namespace halfround::study {

struct Volume {
  double volume = 0;                       ///< mm3
  base::Vec3 moment = base::Vec3::Zero();  ///< of p, mm4
  base::Mat3 second = base::Mat3::Zero();  ///< of p p^T, mm5

  void add(double v, const base::Vec3& p) { volume += v, moment += v * p, second += v * p * p.transpose(); }
  [[nodiscard]] Volume plus(double sign, const Volume& o) const {
    return {volume + sign * o.volume, moment + sign * o.moment, second + sign * o.second};
  }
};

}  // namespace halfround::study
