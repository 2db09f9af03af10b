#include "layout/refusal.h"

#include <fmt/format.h>

#include <cmath>

#include "base/number.h"

namespace halfround::layout {

using base::Problem;

std::string key_of(Wish wish) {
  return "wishes." + std::string(base::word_of(kWishes, wish).key);
}

std::string shown(Wish wish, double value) {
  return is_angle(wish) ? base::fixed(base::to_deg(value), 1) + " deg" : base::fixed(value, 1) + " mm";
}

double offered(Wish wish, double nearest, double wished) {
  const base::Fits fits = nearest > wished ? base::Fits::from : base::Fits::up_to;
  return is_angle(wish) ? base::to_rad(base::reachable(base::to_deg(nearest), fits))
                        : base::reachable(nearest, fits);
}

Problem unreachable(const Wished& wish, const Wished& other, double nearest) {
  const std::string name = name_of(wish.what), others = name_of(other.what);
  std::string what = fmt::format("A {} of {} can't be had together with a {} of {}", name,
                                 shown(wish.what, wish.value), others, shown(other.what, other.value));
  Problem out{"wish-unreachable", {"", 0, 0, key_of(wish.what)}, "", ""};
  if (!std::isfinite(nearest)) {  // wherever the blade can stand, the angle or length has no size
    out.what = what + ": the blade can't stand so that it has any.";
    out.fits = fmt::format("Change the {}, or give the hub and the lower ends other sizes.", others);
    return out;
  }
  const double best = offered(wish.what, nearest, wish.value), off = best - wish.value;
  out.what = what + fmt::format(": the nearest is {}, {} {}.", shown(wish.what, best),
                                shown(wish.what, std::abs(off)), off < 0 ? "less" : "more");
  if (wish.what == Wish::clearance && best < 0) {
    out.fits = fmt::format(
        "The tyre does not go in here: change the {}, take more axle-to-crown or a narrower tyre.", others);
    return out;
  }
  out.fits = fmt::format("Ask for a {} of {}, or change the {}.", name, shown(wish.what, best), others);
  out.offers.push_back(
      {key_of(wish.what), shown(wish.what, best), fmt::format("{} {}", name, shown(wish.what, best))});
  return out;
}

Problem of_side(Problem problem, bool left) {
  const auto sided = [&](std::string& key) {
    for (const char* section : {"wishes.", "blades.", "lower_end."}) {
      if (key.starts_with(section)) key.insert(std::string_view(section).size(), left ? "left." : "right.");
    }
  };
  sided(problem.where.key);
  for (base::Offer& o : problem.offers) sided(o.key);
  return problem;
}

}  // namespace halfround::layout
