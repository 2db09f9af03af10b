#include "layout/crown.h"

namespace halfround::layout {

std::optional<CrownLine> crown_line(const Crown& crown) {
  if (const auto* s = std::get_if<SegmentedCrown>(&crown)) return CrownLine{s->height, s->angle, s->above};
  if (const auto* p = std::get_if<PlateCrown>(&crown)) return CrownLine{p->height, base::kPi / 2, p->above};
  if (const auto* c = std::get_if<SocketCrown>(&crown))
    return CrownLine{c->height + c->thickness / 2, base::kPi / 2, c->reach};
  return std::nullopt;
}

double past_line(const Crown& crown) {
  const auto line = crown_line(crown);
  return line ? line->above : 0;
}

void set_past_line(Crown& crown, double past) {
  if (auto* segmented = std::get_if<SegmentedCrown>(&crown)) segmented->above = past;
  if (auto* plate = std::get_if<PlateCrown>(&crown)) plate->above = past;
  if (auto* socket = std::get_if<SocketCrown>(&crown)) socket->reach = past;
}

double least_past_line(const Crown& crown) {
  constexpr double kOfASocket = 0.75;  // of its reach
  if (const auto* segmented = std::get_if<SegmentedCrown>(&crown)) return segmented->diameter / 2 + 1;
  if (const auto* plate = std::get_if<PlateCrown>(&crown)) return plate->thickness / 2;
  return kOfASocket * past_line(crown);
}

std::string name_of(const Crown& crown) {
  if (std::holds_alternative<PlateCrown>(crown)) return "plate";
  if (std::holds_alternative<SocketCrown>(crown)) return "socket";
  return std::holds_alternative<SegmentedCrown>(crown) ? "segmented" : "unicrown";
}

}  // namespace halfround::layout
