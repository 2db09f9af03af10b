#include "layout/crown.h"

namespace halfround::layout {

std::optional<CrownLine> crown_line(const Crown& crown) {
  if (const auto* s = std::get_if<SegmentedCrown>(&crown)) return CrownLine{s->height, s->angle, s->above};
  if (const auto* p = std::get_if<PlateCrown>(&crown)) return CrownLine{p->height, base::kPi / 2, p->above};
  if (const auto* c = std::get_if<SocketCrown>(&crown))
    return CrownLine{c->height + c->thickness / 2, base::kPi / 2, c->reach};
  return std::nullopt;
}

std::string name_of(const Crown& crown) {
  if (std::holds_alternative<PlateCrown>(crown)) return "plate";
  if (std::holds_alternative<SocketCrown>(crown)) return "socket";
  return std::holds_alternative<SegmentedCrown>(crown) ? "segmented" : "unicrown";
}

}  // namespace halfround::layout
