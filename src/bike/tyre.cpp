#include "bike/tyre.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <memory>

namespace halfround::bike {

namespace {

base::Problem not_a_designation(const std::string& text) {
  return {"tyre-designation",
          {},
          fmt::format("Found the tyre designation '{}'.", text),
          "Write the width and the bead-seat diameter as on the sidewall, e.g. '54-559'."};
}

}  // namespace

base::Result<Tyre> tyre_from_designation(const std::string& text, double rim_width) {
  const char* end = text.data() + text.size();
  double width = 0, bead = 0;
  const auto first = std::from_chars(text.data(), end, width);
  if (first.ec != std::errc() || first.ptr == end || *first.ptr != '-')
    return tl::unexpected(not_a_designation(text));
  const auto second = std::from_chars(first.ptr + 1, end, bead);
  if (second.ec != std::errc() || second.ptr != end) return tl::unexpected(not_a_designation(text));
  if (!(width >= 15 && width <= 130 && bead >= 150 && bead <= 700))
    return tl::unexpected(not_a_designation(text));
  const double height = width < 28 ? width + 2.5 : width;
  const double usual_rim = width * (width < 30 ? 0.65 : 0.55);
  const double growth = rim_width > 0 ? 0.78 * std::max(0.0, rim_width - usual_rim) : 0;
  Tyre tyre;
  tyre.bead_seat = bead;
  tyre.nominal_width = width;
  tyre.width = width + growth;
  tyre.outside_diameter = bead + 2 * height;
  tyre.rim_width = rim_width;
  tyre.assumed = true;
  return tyre;
}

shape::Tube tyre_surface(const Tyre& tyre) {
  const auto wheel = [](double radius) {
    return shape::Centreline::circle(base::Vec3::Zero(), base::Vec3::UnitY(), radius);
  };
  if (tyre.half_profile.empty()) {
    const double height = (tyre.outside_diameter - tyre.bead_seat) / 2;
    return {wheel(tyre.bead_seat / 2 + height / 2), shape::Profile({{0, height, tyre.width, 0, nullptr}})};
  }
  // polar outline about the middle of the widest place; x outward, both halves, closed flat at the rim
  const auto widest = std::max_element(tyre.half_profile.begin(), tyre.half_profile.end(),
                                       [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); });
  const double middle = std::max(widest->y(), 0.25 * tyre.half_profile.back().y());
  std::vector<Vec2> polar;
  const auto put = [&](double outward, double side) {
    double u = std::atan2(side, outward);
    if (u < 0) u += 2 * base::kPi;
    polar.emplace_back(u, std::hypot(outward, side));
  };
  for (const Vec2& p : tyre.half_profile) {
    put(middle - p.y(), p.x());
    if (p.x() > 0) put(middle - p.y(), -p.x());
  }
  if (tyre.half_profile.front().x() > 0) put(middle, 0);
  const double bottom = tyre.half_profile.back().y() - middle;
  if (bottom > 0 && tyre.half_profile.back().x() > 0) put(-bottom, 0);
  std::sort(polar.begin(), polar.end(), [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); });
  return {wheel(tyre.outside_diameter / 2 - middle),
          shape::Profile({{0, 0, 0, 0, std::make_shared<shape::PolarOutline>(polar)}})};
}

double outside_radius(const shape::Tube& tyre) {
  return 1 / tyre.centreline.max_curvature() + tyre.profile.at({1, 0}, 0).r;
}

}  // namespace halfround::bike
