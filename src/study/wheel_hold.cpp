#include "study/wheel_hold.h"

namespace halfround::study {

std::vector<bike::Verdict> verdicts(const WheelHold& hold) {
  if (!hold.disc || hold.open_slots == 0) return {};
  bike::Verdict v;
  v.study = "wheel", v.code = "disc-open-slot";
  v.what = "disc brake: fork ends that let the axle out downward";
  v.value = hold.open_slots;
  v.limit = bike::Limit{0, bike::Bound::at_most, "common practice"};
  v.note = kOpenSlotWarning;
  return {v};
}

}  // namespace halfround::study
