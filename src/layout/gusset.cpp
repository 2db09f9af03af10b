#include "layout/gusset.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/say.h"

namespace halfround::layout {

using base::Problem;
using base::Result;
using base::Vec2;

namespace {

constexpr double kStep = 1;                  // mm between points of a leg
constexpr double kOffLeg = base::to_rad(3);  // between a hollow edge and a leg where they meet
constexpr double kStraight = 5e-4;           // mm: points nearer to a straight line are left out

Problem wrong(const char* code, std::string what, std::string fits) {
  return {code, {"", 0, 0, "gussets"}, std::move(what), std::move(fits)};
}

/// A number of gusset `number` (from 0) that may do.
void offer(Problem& p, std::size_t number, const char* name, double value) {
  p.offers.push_back({fmt::format("gussets[{}].{}", number + 1, name), base::fixed(value, 1), ""});
}

bool is_a(const bike::Part& member, bike::PartKind kind, bool left) {
  return member.kind == kind && member.side != bike::side_of(!left);
}

/// At `p`, between the ways to `q` and to `r`.
double angle_at(const Vec2& p, const Vec2& q, const Vec2& r) {
  return std::acos(std::clamp((q - p).normalized().dot((r - p).normalized()), -1.0, 1.0));
}

/// The line where the joint's plane cuts a tube's surface, on one side of its middle line.
struct Leg {
  const bike::Member* member;
  Vec3 way;               ///< in the plane, from the middle line toward the surface the gusset stands on
  Vec3 normal, in_plane;  ///< the plane
  double s = 0;           ///< where the corner is
  double grows;           ///< +1 or -1: which way along the member the leg goes
  [[nodiscard]] Vec3 at(double along) const {
    const double here = s + grows * along;
    const shape::Frame f = member->tube.centreline.at(here);
    // a bent tube leaves the plane: its surface is met where it passes through
    Vec3 toward = way, p;
    for (int i = 0; i < 6; ++i) {
      p = shape::surface(member->tube, Vec2(toward.dot(f.m), toward.dot(f.b)).normalized(), here).p;
      toward -= (p - in_plane).dot(normal) / (p - f.c).norm() * normal;
    }
    return p;
  }
  [[nodiscard]] double to_end() const { return grows > 0 ? member->s_end - s : s - member->s_start; }
};

/// From the corner to the leg's end, without points on a straight line.
std::vector<Vec2> points_of(const Leg& leg, double length, const base::Pose& X_PF) {
  const int n = std::max(1, static_cast<int>(std::ceil((length - kGussetCorner) / kStep)));
  std::vector<Vec2> all;
  for (int i = 0; i <= n; ++i)
    all.push_back(Vec3(X_PF * leg.at(kGussetCorner + (length - kGussetCorner) * i / n)).head<2>());
  std::vector<Vec2> out{all.front()};
  for (std::size_t from = 0, i = 2; i < all.size(); ++i) {
    const Vec2 d = (all[i] - all[from]).normalized();
    for (std::size_t k = from + 1; k < i; ++k) {
      const Vec2 q = all[k] - all[from];
      if (std::abs(q.x() * d.y() - q.y() * d.x()) <= kStraight) continue;
      from = i - 1;
      out.push_back(all[from]);
      break;
    }
  }
  out.push_back(all.back());
  return out;
}

/// Where a member's line comes out of the other tube, from its end inward.
double corner_of(const Leg& leg, const bike::Member& onto) {
  const shape::TubeReader other(onto.tube);
  const auto outside = [&](double along) { return shape::level(other, leg.at(along)).value > 0; };
  double lo = 0, hi = 0;
  while (!outside(hi) && hi < leg.to_end()) lo = hi, hi += kStep;
  for (int i = 0; i < 50; ++i) (outside((lo + hi) / 2) ? hi : lo) = (lo + hi) / 2;
  return hi;
}

/// How long a leg can be: to its tube's end, or to where another tube is in its way.
double room_of(const Leg& leg, const bike::Member& other, const bike::Assembly& assembly) {
  double room = leg.to_end();
  for (const bike::Member& q : assembly.members) {
    if (&q == leg.member || &q == &other) continue;
    const shape::TubeReader reader(q.tube);
    const auto hit = [&](double along) {
      const shape::Level at = shape::level(reader, leg.at(along));
      return at.value < 0 && at.s >= q.s_start && at.s <= q.s_end;
    };
    double lo = 0, hi = 0;
    while (hi < room && !hit(hi)) lo = hi, hi = std::min(hi + kStep, room);
    if (!hit(hi)) continue;
    for (int i = 0; i < 40; ++i) (hit((lo + hi) / 2) ? hi : lo) = (lo + hi) / 2;
    room = lo;
  }
  return room;
}

}  // namespace

Result<void> add_gusset(const GussetWish& wish, std::size_t number, bool left, bike::Assembly& assembly) {
  const auto joint = std::ranges::find_if(assembly.joints, [&](const bike::Joint& j) {
    return j.kind == bike::JointKind::mitred &&
           ((is_a(j.member, wish.first, left) && is_a(j.onto, wish.second, left)) ||
            (is_a(j.member, wish.second, left) && is_a(j.onto, wish.first, left)));
  });
  if (joint == assembly.joints.end()) {
    return tl::unexpected(wrong("gusset-no-joint",
                                fmt::format("{} and {} are not mitred to each other in this fork.",
                                            bike::noun_of(wish.first), bike::noun_of(wish.second)),
                                "A gusset stands in the corner of a mitred joint: name its two tubes."));
  }
  const bike::Member& m = *bike::find_member(assembly, joint->member);
  const bike::Member& t = *bike::find_member(assembly, joint->onto);
  const bool start = joint->end == bike::End::start;
  const double s_end = start ? m.s_start : m.s_end, away = start ? 1 : -1;
  const shape::Frame fm = m.tube.centreline.at(s_end);
  const Vec3 d = away * fm.t;
  const double s_onto = t.tube.centreline.nearest(fm.c);
  const Vec3 along = t.tube.centreline.at(s_onto).t;
  // the leg on the other tube goes down or up
  const double grows = (along.z() < 0) == wish.above ? -1 : 1;
  const Vec3 leg_way = grows * along;
  const Vec3 n = d.cross(leg_way).normalized();
  Leg on_member{&m, (leg_way - leg_way.dot(d) * d).normalized(), n, fm.c, s_end, away};
  on_member.s += away * corner_of(on_member, t);
  const Vec3 corner = on_member.at(0);
  Leg on_other{&t,   (d - d.dot(leg_way) * leg_way).normalized(), n,
               fm.c, t.tube.centreline.nearest(corner),           grows};
  const bool member_first = is_a(m.part, wish.first, left);
  const double lengths[] = {member_first ? wish.along_first : wish.along_second,
                            member_first ? wish.along_second : wish.along_first};
  for (const auto& [leg, length] : {std::pair(&on_member, lengths[0]), std::pair(&on_other, lengths[1])}) {
    const char* name = (leg == &on_member) == member_first ? "along_first" : "along_second";
    if (length <= kGussetCorner + 1) {
      Problem p = wrong("gusset-too-short",
                        base::say("A leg of {:.1f} mm leaves nothing beside the {:.0f} mm cut off for the "
                                  "joint's own fillet.",
                                  length, kGussetCorner),
                        base::say("Give {:.1f} mm or more.", kGussetCorner + 1.1));
      offer(p, number, name, kGussetCorner + 1.1);
      return tl::unexpected(std::move(p));
    }
    const double room = room_of(*leg, leg == &on_member ? t : m, assembly);
    if (length > room) {
      const double most = base::reachable(room, base::Fits::up_to);
      Problem p = wrong("gusset-too-long",
                        base::say("A leg of {:.1f} mm runs {} mm past the end of what is free of the {}.",
                                  length, base::amount(length - room), bike::spoken(leg->member->part)),
                        base::say("Give {:.1f} mm or less.", most));
      offer(p, number, name, most);
      return tl::unexpected(std::move(p));
    }
  }
  base::Pose X_FP = base::Pose::Identity();
  X_FP.linear() << d, n.cross(d), n;
  X_FP.translation() = corner;
  const base::Pose X_PF = X_FP.inverse();
  const std::vector<Vec2> a = points_of(on_member, lengths[0], X_PF),
                          b = points_of(on_other, lengths[1], X_PF);
  // anticlockwise: out along the member, over the free edge, back along the other tube
  std::vector<bike::Corner> corners;
  for (const Vec2& p : a) corners.push_back({p, 0});
  for (auto p = b.rbegin(); p != b.rend(); ++p) corners.push_back({*p, 0});
  const double chord = (b.back() - a.back()).norm();
  // an arc leaves its chord by half its sweep: it must stay off both legs
  const double least =
      chord / 2 /
      std::sin(std::min(angle_at(a.back(), b.back(), a.front()), angle_at(b.back(), a.back(), b.front())) -
               kOffLeg);
  if (wish.hollow > 0 && wish.hollow < least) {
    const double from = base::reachable(least, base::Fits::from);
    Problem p = wrong("gusset-too-hollow",
                      base::say("A free edge cut in by a radius of {:.1f} mm runs into a leg.", wish.hollow),
                      base::say("Give a radius of {:.1f} mm or more.", from));
    offer(p, number, "hollow", from);
    return tl::unexpected(std::move(p));
  }
  if (wish.hollow > 0) corners[a.size() - 1].sweep = -2 * std::asin(chord / (2 * wish.hollow));
  assembly.plates.push_back(
      bike::make_plate(bike::part(bike::PartKind::gusset, bike::side_of(left), static_cast<int>(number) + 1),
                       X_FP, std::move(corners), wish.thickness));
  return {};
}

}  // namespace halfround::layout
