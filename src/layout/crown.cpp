#include "layout/crown.h"

namespace halfround::layout {

std::optional<CrownLine> crown_line(const Crown& crown) {
  if (const auto* s = std::get_if<SegmentedCrown>(&crown)) return CrownLine{s->height, s->angle, s->above};
  return std::nullopt;
}

std::string name_of(const Crown& crown) {
  return std::holds_alternative<SegmentedCrown>(crown) ? "segmented" : "unicrown";
}

}  // namespace halfround::layout
