#include "study/socket_fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/number.h"
#include "shape/tube.h"

namespace halfround::study {

namespace {

using base::fixed;
using base::Vec2;
using base::Vec3;

/// The socket in the assembly's frame: mouth, axis going in, and the directions of its two widths.
struct Socket {
  Vec3 mouth, axis, fore, across;
  double depth = 0, width = 0;  ///< half, along fore and across
  double reach = 0;
};

Socket socket_of(const bike::Plate& plate, const bike::Bore& bore) {
  const auto& R = plate.X_FP.linear();
  Socket k;
  k.mouth = plate.X_FP * bike::bore_mouth(plate, bore);
  k.axis = R * bore.axis;
  k.fore = R * (Vec3::UnitX() - bore.axis.x() * bore.axis).normalized();
  k.across = k.axis.cross(k.fore);
  k.depth = bore.diameter / 2, k.width = (bore.across > 0 ? bore.across : bore.diameter) / 2;
  k.reach = bike::bore_length(plate, bore);
  return k;
}

SocketFit fit_of(const bike::Member& m, bike::End end, const bike::Plate& plate, const bike::Bore& bore) {
  constexpr int kAlong = 8, kRound = 72;
  const Socket k = socket_of(plate, bore);
  SocketFit out;
  out.member = m.part, out.plate = plate.part;
  out.gap_least = std::numeric_limits<double>::infinity(), out.gap_most = -out.gap_least;
  const bool top = end == bike::End::end;
  const double in = top ? 1 : -1, mouth = top ? m.s_end - k.reach : m.s_start + k.reach;
  double sum = 0, wide = 0, deep = 0;
  for (int i = 0; i <= kAlong; ++i) {
    const double s = mouth + in * k.reach * i / kAlong;
    const shape::Frame f = m.tube.centreline.at(s);
    for (int j = 0; j < kRound; ++j) {
      const Vec2 u = base::unit_at(2 * base::kPi * j / kRound);
      const Vec3 d = f.c + m.tube.profile.at(u, s).r * (u.x() * f.m + u.y() * f.b) - k.mouth;
      const Vec2 q(d.dot(k.fore), d.dot(k.across));
      const Vec2 e = q.normalized();
      const double wall = 1 / std::hypot(e.x() / k.depth, e.y() / k.width);
      const double gap = wall - q.norm();
      out.gap_least = std::min(out.gap_least, gap), out.gap_most = std::max(out.gap_most, gap);
      sum += gap;
      deep = std::max(deep, std::abs(q.x())), wide = std::max(wide, std::abs(q.y()));
    }
  }
  out.gap_mean = sum / ((kAlong + 1) * kRound);
  out.to_bore = out.gap_least < kLeastSocketGap - 1e-9;
  out.bore_width = std::max(2 * k.width, 2 * (wide + kWantedSocketGap));
  out.bore_depth = std::max(2 * k.depth, 2 * (deep + kWantedSocketGap));
  const shape::Frame f = m.tube.centreline.at(mouth);
  const Vec3 way = in * f.t;
  out.lean = std::atan2(way.cross(k.axis).norm(), way.dot(k.axis));
  // the blade turned about the mouth until it points along the socket
  const Vec3 far = m.tube.centreline.point(top ? m.s_start : m.s_end) - k.mouth;
  const Vec3 turned = Eigen::Quaterniond::FromTwoVectors(way, k.axis) * far;
  const double side = k.mouth.y() < 0 ? -1 : 1;
  out.spread = side * (far.y() - turned.y()), out.forward = far.x() - turned.x();
  return out;
}

std::string to_do(const SocketFit& f) {
  std::string out;
  if (f.to_bore) {
    out = fmt::format(
        "bore the socket out to {} mm across and {} mm fore and aft, or turn its wall to the blade",
        fixed(f.bore_width, 2), fixed(f.bore_depth, 2));
  }
  if (f.gap_most > kMostSocketGap) {
    out +=
        fmt::format("{}{} mm of air at the widest: line it with shim, or fill it with a filler that bridges",
                    out.empty() ? "" : "; ", fixed(f.gap_most, 2));
  }
  return out.empty() ? "slides in and fills by itself" : out;
}

std::string way(double by, const char* one, const char* other) {
  return fmt::format("{} mm {}", fixed(std::abs(by), 1), by >= 0 ? one : other);
}

}  // namespace

std::vector<SocketFit> socket_fits(const bike::Assembly& assembly) {
  std::vector<SocketFit> out;
  for (const bike::Joint& j : assembly.joints) {
    if (j.kind != bike::JointKind::bored) continue;
    const bike::Plate* plate = bike::find_plate(assembly, j.onto);
    const bike::Member* member = bike::find_member(assembly, j.member);
    const bike::Bore* bore = plate ? bike::find_bore(*plate, j.member) : nullptr;
    if (member && bore && bore->depth > 0) out.push_back(fit_of(*member, j.end, *plate, *bore));
  }
  return out;
}

std::vector<bike::Verdict> verdicts(const std::vector<SocketFit>& fits) {
  std::vector<bike::Verdict> out;
  for (const SocketFit& f : fits) {
    out.push_back({"sockets", "socket-gap", "least air in the socket, a side", bike::spoken(f.member), "mm",
                   f.gap_least,
                   bike::Limit{kLeastSocketGap, bike::Bound::at_least,
                               "AWS Brazing Handbook, from memory: brass runs into 0.05 to 0.13 mm"},
                   to_do(f)});
    if (f.lean < base::to_rad(0.005)) continue;  // bored for this blade
    out.push_back(
        {"sockets", "socket-lean", "blade to its socket", bike::spoken(f.member), "deg", base::to_deg(f.lean),
         std::nullopt,
         fmt::format(
             "left to the socket, its lower end would stand {} and {} of its place: spread it so far, "
             "bore the socket at that angle, or set the blade cold",
             way(f.spread, "inward", "outward"), way(f.forward, "behind", "ahead"))});
  }
  return out;
}

}  // namespace halfround::study
