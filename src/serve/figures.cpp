#include "serve/figures.h"

#include <cmath>

namespace halfround::serve {

using base::to_deg;

namespace {

void blade(std::vector<Figure>& out, const layout::Placed& p, const std::string& side) {
  const auto put = [&](const char* name, const char* words, const char* unit, double value) {
    out.push_back({std::string(name) + "_" + side, side + " blade, " + words, unit, value});
  };
  put("splay", "splay", "deg", to_deg(p.splay));
  put("lower_trim", "cut from its tip", "mm", p.lower_trim);
  put("length_used", "between its design points", "mm", p.s_top - p.lower_trim);
  put("crown_height", "below the crown race seat", "mm", p.crown_height);
  put("top_angle", "to the steering axis at the top", "deg", to_deg(p.top_angle));
  put("tilt", "tilted forward", "deg", to_deg(p.tilt_angle));
  put("clearance", "to the tyre", "mm", p.clearance.value);
}

}  // namespace

std::vector<Figure> figures_of(const solve::Answer& a) {
  const solve::Handling& h = a.handling;
  std::vector<Figure> out = {
      {"head_angle", "head angle", "deg", to_deg(h.head_angle)},
      {"offset", "offset", "mm", a.intent.offset},
      {"trail", "trail", "mm", h.trail},
      {"normal_trail", "trail, square to the steering axis", "mm", h.normal_trail},
      {"flop", "wheel flop", "mm", h.flop},
      {"axle_to_crown_straight", "axle-to-crown, straight", "mm", h.axle_to_crown_straight},
      {"axle_to_crown_along", "axle-to-crown, along the axis", "mm", h.axle_to_crown_along},
      {"wheel_radius", "wheel's radius", "mm", h.wheel_radius},
      {"crown_gap", "tyre to steerer", "mm", a.crown_gap},
      {"seat_gap", "crown race seat to joint", "mm", a.seat_gap}};
  if (h.loaded_trail) out.push_back({"loaded_trail", "trail, rider on", "mm", *h.loaded_trail});
  if (a.mass.total) out.push_back({"mass", "mass", "kg", *a.mass.total});
  blade(out, a.fork.left, "left");
  blade(out, a.fork.right, "right");
  if (a.strength.unknown.empty()) {
    out.push_back({"stiffness_fore_aft", "stiffness fore and aft", "N/mm", a.strength.fore_aft});
    out.push_back({"stiffness_lateral", "stiffness sideways", "N/mm", a.strength.lateral});
  }
  if (a.front_centre) out.push_back({"front_centre", "front centre", "mm", a.front_centre->straight});
  std::erase_if(out, [](const Figure& f) { return !std::isfinite(f.value); });
  return out;
}

}  // namespace halfround::serve
