#include "study/plate_edges.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "base/number.h"

namespace halfround::study {

namespace {

using base::Vec2;

constexpr int kAround = 180;  // places round a bore: 0.002 mm where a bore of 30 mm passes a straight edge

double from_line(const Vec2& p, const Vec2& a, const Vec2& b) {
  const Vec2 along = b - a;
  const double length = along.squaredNorm();
  const double share = length > 0 ? std::clamp((p - a).dot(along) / length, 0.0, 1.0) : 0;
  return (p - a - share * along).norm();
}

double from_arc(const Vec2& p, const Vec2& a, const Vec2& b, double sweep) {
  const bike::Arc arc = bike::arc_between(a, b, sweep);
  const Vec2 out = p - arc.centre;
  double turned = std::atan2(out.y(), out.x()) - arc.start;  // how far along the arc p stands, by its turn
  if (sweep < 0) turned = -turned;
  turned -= 2 * base::kPi * std::floor(turned / (2 * base::kPi));
  if (turned <= std::abs(sweep)) return std::abs(out.norm() - arc.radius);
  return std::min((p - a).norm(), (p - b).norm());
}

double from_outline(const Vec2& p, const std::vector<bike::Corner>& corners) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const bike::Corner& c = corners[i];
    const Vec2& to = corners[(i + 1) % corners.size()].at;
    least = std::min(least, c.sweep == 0 ? from_line(p, c.at, to) : from_arc(p, c.at, to, c.sweep));
  }
  return least;
}

/// A bore into the plate's edge: its middle to the nearer face, and what stands beside it.
BoreEdge edge_of_socket(const bike::Plate& plate, const bike::Bore& bore) {
  const double bottom = (*bore.mouth + bore.depth * bore.axis).z();
  const double off = std::max(std::abs(bore.mouth->z()), std::abs(bottom));
  const double widest = std::max(bore.diameter, bore.across);
  return {plate.part, bore.takes, (plate.thickness - widest) / 2 - off, plate.thickness / 2 - off,
          kBoltHoleEdge * widest};
}

BoreEdge edge_of(const bike::Plate& plate, const bike::Bore& bore) {
  if (bore.mouth) return edge_of_socket(plate, bore);
  BoreEdge out{plate.part, bore.takes, std::numeric_limits<double>::infinity(),
               std::numeric_limits<double>::infinity(), 0};
  for (const double z : {-plate.thickness / 2, plate.thickness / 2}) {
    for (const Vec2& p : bike::bore_edge(bore, z, kAround))
      out.metal = std::min(out.metal, from_outline(p, plate.corners));
    const Vec2 middle = bore.at + z / bore.axis.z() * bore.axis.head<2>();
    out.from_middle = std::min(out.from_middle, from_outline(middle, plate.corners));
  }
  out.bolt_hole = kBoltHoleEdge * std::max(bore.diameter, bore.across);
  return out;
}

}  // namespace

std::vector<BoreEdge> bore_edges(const bike::Assembly& assembly) {
  std::vector<BoreEdge> out;
  for (const bike::Plate& plate : assembly.plates) {
    for (const bike::Bore& bore : plate.bores) out.push_back(edge_of(plate, bore));
  }
  return out;
}

std::vector<bike::Verdict> verdicts(const std::vector<BoreEdge>& edges) {
  std::map<bike::Part, const BoreEdge*> tightest;
  for (const BoreEdge& e : edges) {
    const BoreEdge*& least = tightest[e.plate];
    if (!least || e.metal < least->metal) least = &e;
  }
  std::vector<bike::Verdict> out;
  for (const auto& [plate, e] : tightest) {
    bike::Verdict v{"plates",
                    "plate-edge",
                    "metal beside the bore for the " + bike::spoken(e->takes),
                    bike::spoken(plate),
                    "mm",
                    e->metal,
                    std::nullopt,
                    ""};
    v.note = fmt::format(
        "from its middle {} mm to the edge; a bolt hole as wide would want {} mm (EN 1993-1-8, Table 3.3, as "
        "quoted), a "
        "brazed bore is filled all round and no rule for it is known here",
        base::fixed(e->from_middle, 1), base::fixed(e->bolt_hole, 1));
    v.at = bike::OnMember{plate, 0, std::nullopt};
    out.push_back(std::move(v));
  }
  std::ranges::stable_sort(out, {}, [](const bike::Verdict& v) { return *v.value; });
  return out;
}

}  // namespace halfround::study
