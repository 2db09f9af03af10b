#include "drawing/adapter_profile.h"

#include <algorithm>
#include <optional>

namespace halfround::drawing {
namespace {

double middle(const std::optional<shop::FitLimits>& fit) {
  return fit ? fit->nominal / 2 : 0;
}

}  // namespace

Turned turned(const shop::Adapter& a) {
  Turned t;
  const double c = a.chamfer, big = a.shoulder_diameter / 2, r = middle(a.spigot_fit);
  t.bore = middle(a.bore_fit);
  if (a.kind == shop::AdapterKind::dummy_axle) {
    const double e = a.spigot, w = a.over_shoulders, d = a.relief;
    t.length = 2 * e + w, t.radius = big;
    t.half = {{0, 0},
              {0, r - c},
              {c, r},
              {e - 2 * d, r},
              {e - 2 * d, r - d},
              {e, r - d},
              {e, big},
              {e + w, big},
              {e + w, r - d},
              {e + w + 2 * d, r - d},
              {e + w + 2 * d, r},
              {t.length - c, r},
              {t.length, r - c},
              {t.length, 0}};
    return t;
  }
  t.length = a.shoulder + a.spigot, t.radius = std::max(big, r);
  if (a.shoulder > 0)
    t.half = {{0, big}, {a.shoulder, big}};
  else
    t.half = {{0, r - c}, {c, r}};
  if (a.spigot > 0) {
    const double x = a.shoulder, d = a.relief;
    if (d > 0)
      t.half.insert(t.half.end(), {{x, r - d}, {x + 2 * d, r - d}, {x + 2 * d, r}});
    else if (a.shoulder > 0)
      t.half.push_back({x, r});
    t.half.push_back({t.length - c, r}), t.half.push_back({t.length, r - c});
  }
  // down the bore, its ends chamfered
  t.half.push_back({t.length, t.bore + c}), t.half.push_back({t.length - c, t.bore});
  t.half.push_back({c, t.bore}), t.half.push_back({0, t.bore + c});
  return t;
}

}  // namespace halfround::drawing
