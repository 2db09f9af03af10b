#include "layout/socket_crown.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/say.h"
#include "layout/plate_crown.h"

namespace halfround::layout {

using base::Problem;
using base::Result;
using base::Vec2;
using bike::part;
using bike::PartKind;

namespace {

/// Up along a socket, frame P (x forward, y to the left, z up).
Vec3 socket_axis(const SocketCrown& crown, bool left) {
  return Vec3(-std::tan(crown.lean), (left ? -1 : 1) * std::tan(crown.splay), 1).normalized();
}

bike::Bore socket_bore(const SocketCrown& crown, bool left) {
  bike::Bore b;
  b.takes = part(PartKind::blade, bike::side_of(left));
  b.axis = socket_axis(crown, left);
  const Vec3 mouth(crown.ahead, (left ? 1 : -1) * crown.spacing / 2, -crown.thickness / 2);
  b.at = (mouth + crown.thickness / 2 / b.axis.z() * b.axis).head<2>();
  b.diameter = crown.depth;
  if (std::abs(crown.width - crown.depth) > 1e-9) b.across = crown.width;
  b.depth = crown.reach;
  return b;
}

Problem wrong(const char* code, std::string what, std::string fits) {
  return {code, {"", 0, 0, "crown"}, std::move(what), std::move(fits)};
}

/// The crown by itself, before any blade goes in.
std::optional<Problem> unsound(const SocketCrown& crown, double steerer) {
  constexpr double kRoof = 2;  // mm of crown above a socket's end; ours
  const Vec3 axis = socket_axis(crown, true);
  const double up = crown.reach * axis.z();
  // a socket that leans comes higher on one side of its flat end
  const double rim = std::hypot(crown.depth / 2 * axis.x(), crown.width / 2 * axis.y());
  if (up + rim > crown.thickness - kRoof) {
    const double reach = base::reachable((crown.thickness - kRoof - rim) / axis.z(), base::Fits::up_to);
    const double left = crown.thickness - up - rim;
    Problem p = wrong(
        "socket-too-deep",
        left > 0
            ? base::say("A socket of {:.1f} mm comes within {} mm of the top of a crown {:.1f} mm thick; "
                        "{:.1f} mm must be left.",
                        crown.reach, base::apart(left, kRoof).first, crown.thickness, kRoof)
            : base::say("A socket of {:.1f} mm comes out at the top of a crown {:.1f} mm thick.", crown.reach,
                        crown.thickness),
        base::say("Give a reach of {:.1f} mm or less, or measure the thickness again.", reach));
    p.offers.push_back({"crown.socket_reach", base::fixed(reach, 1), ""});
    return p;
  }
  // nearest at the socket's end, where it has come inward
  const double y = crown.spacing / 2 - std::tan(crown.splay) * up,
               x = crown.ahead - std::tan(crown.lean) * up;
  const Vec2 way = Vec2(x, y).normalized();
  const double metal =
      std::hypot(x, y) - std::hypot(crown.depth / 2 * way.x(), crown.width / 2 * way.y()) - steerer / 2;
  if (metal < kLeastSocketWall) {
    const double more = base::reachable(2 * (kLeastSocketWall - metal), base::Fits::from);
    Problem p = wrong(
        "socket-into-steerer",
        metal < 0
            ? fmt::format("A socket runs {} mm into the steerer's bore.", base::amount(-metal))
            : base::say("Only {} mm are left between a socket and the steerer's bore; {:.1f} mm are needed.",
                        base::apart(metal, kLeastSocketWall).first, kLeastSocketWall),
        base::say("Look at spacing, splay and width: {:.1f} mm more between the sockets would do.", more));
    p.offers.push_back({"crown.spacing", base::fixed(crown.spacing + more, 1), ""});
    return p;
  }
  return std::nullopt;
}

/// Whether one blade goes into its socket as it is, or after boring.
std::optional<Problem> unfit(const SocketCrown& crown, const bike::Member& blade, double mouth, bool left) {
  const char* side = bike::word_of(bike::side_of(left));
  struct Way {
    double blade, socket;
    const char* words;
  };
  double width = 0, depth = 0, least_width = INFINITY, least_depth = INFINITY;
  for (int i = 0; i <= 8; ++i) {
    const double s = mouth + crown.reach * i / 8;
    const double w = blade.tube.profile.width(s), d = blade.tube.profile.depth(s);
    width = std::max(width, w), depth = std::max(depth, d);
    least_width = std::min(least_width, w), least_depth = std::min(least_depth, d);
  }
  for (const Way& way : {Way{width, crown.width, "across"}, Way{depth, crown.depth, "fore and aft"}}) {
    const double left_over = crown.edge - (way.blade - way.socket) / 2;
    if (way.blade <= way.socket || left_over >= kLeastSocketWall) continue;
    return wrong(
        "socket-too-narrow",
        fmt::format("The {} blade is {} mm {}, its socket {} mm: bored out, {} of its wall is left.", side,
                    base::apart(way.blade, way.socket).first, way.words,
                    base::apart(way.blade, way.socket).second,
                    left_over > 0 ? fmt::format("only {} mm", base::apart(left_over, kLeastSocketWall).first)
                                  : std::string("nothing")),
        base::say("A blade of {:.1f} mm or less goes in, or take a crown with wider sockets.",
                  base::reachable(way.socket + 2 * (crown.edge - kLeastSocketWall), base::Fits::up_to)));
  }
  for (const Way& way :
       {Way{least_width, crown.width, "across"}, Way{least_depth, crown.depth, "fore and aft"}}) {
    const double gap = (way.socket - way.blade) / 2;
    if (gap <= kWidestSocketGap) continue;
    return wrong(
        "socket-too-wide",
        base::say("The {} blade is {:.1f} mm {}, its socket {:.1f} mm: {:.1f} mm of air on either side.",
                  side, way.blade, way.words, way.socket, gap),
        base::say("Line the socket with a sleeve of {:.1f} mm wall and give its bore as the socket's, or "
                  "take a blade of {:.1f} mm or more.",
                  gap - 0.1, base::reachable(way.socket - 2 * kWidestSocketGap, base::Fits::from)));
  }
  const Vec3 axis = socket_axis(crown, left), t = blade.tube.centreline.at(mouth).t;
  const double lean = std::atan2(axis.cross(t).norm(), axis.dot(t));
  if (lean <= kMostSocketLean) return std::nullopt;
  const double splay = std::atan2((left ? -1 : 1) * t.y(), t.z()), forward = std::atan2(-t.x(), t.z());
  return wrong(
      "socket-another-way",
      base::say("The {} blade comes in at {:.1f} deg to its socket: {:.1f} deg of splay and {:.1f} deg "
                "forward, the socket has {:.1f} and {:.1f}.",
                side, base::to_deg(lean), base::to_deg(splay), base::to_deg(forward),
                base::to_deg(crown.splay), base::to_deg(crown.lean)),
      base::say("No more than {:.0f} deg can be bored or set cold: change blade_from_hub for the splay, and "
                "the shares of the offset (dropout_lead, a rake) for the way forward.",
                base::to_deg(kMostSocketLean)));
}

}  // namespace

Result<void> add_crown(const SocketCrown& crown, const Fork& placed, bike::Assembly& assembly) {
  base::Pose X_FP = base::Pose::Identity();  // frame P: x forward, y to the left, z up
  X_FP.translation().z() = -crown.height;
  const bike::Member& steerer = *bike::find_member(assembly, part(PartKind::steerer));
  const double s = s_at_height(steerer, -crown.height);
  std::vector<bike::Bore> bores{bore_for(steerer, s)};
  if (auto problem = tapers_in_bore(steerer, s, crown.thickness)) return tl::unexpected(std::move(*problem));
  if (auto problem = unsound(crown, bores[0].diameter)) return tl::unexpected(std::move(*problem));
  assembly.joints.push_back(
      {steerer.part, bike::End::start, part(PartKind::crown), bike::JointKind::bored, s});
  std::vector<Disc> discs{{bores[0].at, half_of(bores[0]) + crown.edge}};
  for (const bool left : {true, false}) {
    const Placed& side = left ? placed.left : placed.right;
    bores.push_back(socket_bore(crown, left));
    const bike::Bore& b = bores.back();
    const bike::Member& blade = *bike::find_member(assembly, b.takes);
    if (auto problem = unfit(crown, blade, side.s_crown, left)) return tl::unexpected(std::move(*problem));
    assembly.joints.push_back({b.takes, bike::End::end, part(PartKind::crown), bike::JointKind::bored,
                               side.s_crown + crown.reach / 2});
    // the block follows the socket from its mouth to its end
    const Vec3 low = Vec3(b.at.x(), b.at.y(), 0) - crown.thickness / 2 / b.axis.z() * b.axis;
    const Vec3 high = low + crown.reach * b.axis;
    for (const Vec3& p : {low, high}) discs.push_back({p.head<2>(), half_of(b) + crown.edge});
  }
  assembly.plates.push_back(
      bike::make_plate(part(PartKind::crown), X_FP, band_round(discs), crown.thickness, std::move(bores)));
  return {};
}

}  // namespace halfround::layout
