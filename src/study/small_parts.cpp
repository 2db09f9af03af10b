// A disc brake's mount on its blade. Frame F; sources and doubts: docs/small-parts.md.
#include "study/small_parts.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "base/clock.h"
#include "base/say.h"
#include "bike/brake.h"
#include "shape/cut.h"

namespace halfround::study {

using base::Problem;
using base::Result;

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr double kAssumedLateral = 12.2;  // borrowed from flat mounts; nothing was found for the others
constexpr double kBoltPitch = 74;         // post mount [two mount guides]
constexpr double kRayStep = 0.25;         // mm: thinner than any tube wall's bow

struct MountFrame {
  Vec3 axle, a, n, y;  // a along the face upward, n rearward, y outward from the wheel
};

/// The face's direction along the blade: its middle line between the heights of the bolts, seen from the
/// side.
double along_blade(const bike::Assembly& assembly, const bike::Member& blade,
                   const std::vector<Vec2>& bolts) {
  const Vec3 low = assembly.axle + bolts.front().y() * Vec3::UnitZ(),
             high = assembly.axle + bolts.back().y() * Vec3::UnitZ();
  const auto& line = blade.tube.centreline;
  const Vec3 d = line.point(line.nearest(high)) - line.point(line.nearest(low));
  return std::atan2(d.x(), d.z());
}

struct Spot {
  double s, u;
};
Spot spot_of(const shape::Tube& tube, const Vec3& p) {
  const double s = tube.centreline.nearest(p);
  const shape::Frame f = tube.centreline.at(s);
  double u = std::atan2((p - f.c).dot(f.b), (p - f.c).dot(f.m));
  return {s, u < 0 ? u + kTurn : u};
}

/// Where a ray from outside first meets a tube's surface; nothing within `reach`.
std::optional<double> strike(const shape::TubeReader& tube, const Vec3& from, const Vec3& d, double reach) {
  double t0 = 0;
  if (shape::level(tube, from).value < 0) return std::nullopt;
  for (double t1 = kRayStep; t1 <= reach; t1 += kRayStep) {
    if (shape::level(tube, from + t1 * d).value <= 0) {
      for (int i = 0; i < 60; ++i) {
        const double mid = (t0 + t1) / 2;
        (shape::level(tube, from + mid * d).value > 0 ? t0 : t1) = mid;
      }
      return (t0 + t1) / 2;
    }
    t0 = t1;
  }
  return std::nullopt;
}

/// Nearest point of a tube's surface to p: steps along the level, then across.
Vec3 nearest_point(const shape::TubeReader& tube, const Vec3& p) {
  Vec3 q = p;
  const auto onto = [&](Vec3 x) {
    for (int i = 0; i < 30; ++i) {
      const shape::Level l = shape::level(tube, x);
      const Vec3 step = l.value / l.gradient.squaredNorm() * l.gradient;
      x -= step;
      if (step.norm() < 1e-10) break;
    }
    return x;
  };
  q = onto(q);
  for (int i = 0; i < 200; ++i) {
    const Vec3 n = shape::level(tube, q).gradient.normalized(), aside = (p - q) - (p - q).dot(n) * n;
    if (aside.norm() < 1e-7) break;
    q = onto(q + 0.5 * aside);
  }
  return q;
}

/// The post as a round bar from its face toward the blade, cut where its generators meet the blade.
void cut_post(MountFoot& foot, const MountFrame& m, const shape::Tube& blade, double diameter, double reach) {
  shape::Tube post;
  post.centreline = shape::Centreline::from_runs({{reach, 0, 0}}, foot.face, -m.n, m.y);
  post.profile = shape::Profile::round(diameter, 0);
  const auto cut = shape::cut(post, blade, {0, reach, Vec3::Zero()});
  if (!cut) return;
  foot.passed_by = cut->passed_by;
  foot.least = INFINITY;
  const double grid = kTurn / 24;
  for (const shape::CutPoint& q : cut->points) {
    if (!q.met) continue;
    foot.least = std::min(foot.least, q.s), foot.most = std::max(foot.most, q.s);
    const double k = q.u / grid;
    if (std::abs(k - std::round(k)) < 1e-9) foot.depths.emplace_back(q.u, q.s);
  }
  if (!std::isfinite(foot.least)) foot.least = 0;
}

MountFoot foot_of(const MountFrame& m, const shape::Tube& blade, const Vec2& bolt, double lateral,
                  double post) {
  const shape::TubeReader reader(blade);
  MountFoot f;
  f.face = m.axle + bolt.x() * m.n + bolt.y() * m.a + lateral * m.y;
  f.along = bolt.y();
  const double reach = bolt.x() + 2 * blade.profile.max_radius() + post;
  const Vec3 near = nearest_point(reader, f.face);
  f.nearest = (near - f.face).norm();
  if (shape::level(reader, f.face).value < 0) f.nearest = -f.nearest;
  const auto t = strike(reader, f.face, -m.n, reach);
  f.meets = t.has_value();
  f.foot = t ? Vec3(f.face - *t * m.n) : near;
  f.standing = t ? *t : f.nearest;
  const Spot at = spot_of(blade, f.foot);
  f.s = at.s, f.u = at.u;
  cut_post(f, m, blade, post, reach);
  return f;
}

std::string_view word(bike::Mount kind) {
  return base::word_of(bike::kMounts, kind).key;
}

void add_notes(Mount& out, const MountOptions& o) {
  out.notes.push_back(
      base::say("Hold it to ± {:.1f} mm, and check it on the calliper in hand: makers' drawings "
                "differ from each other.",
                kMountTolerance));
  if (!out.known) {
    out.notes.push_back(
        fmt::format("The coordinates of a {} mount were not found anywhere they could be trusted; take face "
                    "and bolts off the "
                    "calliper's own drawing and enter them.{}",
                    word(o.kind),
                    o.kind == bike::Mount::tab ? " Its two plain holes lie 51 mm apart, parallel to the axle."
                    : o.kind == bike::Mount::flat ? " Its threads lie 70 mm apart in front (from memory)."
                                                  : ""));
    return;
  }
  if (!o.rotor_plane) {
    out.notes.push_back(
        base::say("The rotor's inner face is taken at {:.1f} mm from the wheel's middle, {:.1f} mm "
                  "inside the hub's end (from memory, unsure by 0.3 mm): measure the hub.",
                  std::abs(out.rotor_plane), bike::kRotorFromHub));
  }
  if (!o.bolts_from_rotor) {
    out.notes.push_back(
        base::say("The bolts are taken {:.1f} mm outward of the rotor's inner face; nothing was "
                  "found that says so for a {} mount: measure the calliper.",
                  kAssumedLateral, word(o.kind)));
  }
  for (std::size_t i = 0; i < out.feet.size(); ++i) {
    const MountFoot& f = out.feet[i];
    if (f.nearest < 0) {
      out.notes.push_back(base::say("Bolt {}: the face lies {:.1f} mm inside the blade.", i + 1, -f.nearest));
    } else if (!f.meets) {
      out.notes.push_back(
          base::say("Bolt {}: straight in from the face it passes {:.1f} mm beside the blade's nearest "
                    "place; its foot must reach sideways.",
                    i + 1, f.nearest));
    } else if (f.passed_by > 0) {
      out.notes.push_back(
          base::say("Bolt {}: {:.0f}° of the post's round pass beside the blade; close the foot "
                    "with a gusset.",
                    i + 1, base::to_deg(f.passed_by)));
    }
  }
}

}  // namespace

PostGeometry post_geometry(double rotor) {
  const double q = 51.81082007 + (rotor - 160) / 2, r = 22.06102725;
  const double c = std::cos(base::to_rad(60)), s = std::sin(base::to_rad(60));
  const double first = q * c - r * s;
  return {q * s + r * c, first, first + kBoltPitch};
}

Result<Mount> brake_mount(const bike::Assembly& assembly, const MountOptions& o) {
  const bike::Member* blade = bike::find_member(assembly, o.blade);
  if (blade == nullptr) {
    std::string all;
    for (const bike::Member& m : assembly.members) all += (all.empty() ? "" : ", ") + bike::spoken(m.part);
    return tl::unexpected(Problem{"mount-blade",
                                  {"", 0, 0, "brake"},
                                  fmt::format("There is no {} to put the brake on.", bike::spoken(o.blade)),
                                  fmt::format("Give one of {}.", all)});
  }
  if (!(o.rotor >= 120 && o.rotor <= 230)) {
    return tl::unexpected(Problem{"mount-rotor",
                                  {"", 0, 0, "brake.rotor"},
                                  base::say("Found a rotor of {:.0f} mm.", o.rotor),
                                  "Give 120 to 230 mm; 140, 160, 180, 200 and 203 are made."});
  }
  Mount out;
  out.kind = o.kind, out.blade = o.blade;
  const double side = blade->tube.centreline.point(blade->s_start).y() >= 0 ? 1 : -1;
  out.rotor_plane = side * o.rotor_plane.value_or(o.over_locknut / 2 - bike::kRotorFromHub);
  const double from_middle = std::abs(out.rotor_plane) + o.bolts_from_rotor.value_or(kAssumedLateral);
  out.lateral = side * from_middle;
  std::vector<Vec2> bolts = o.bolts;
  if (bolts.empty() && o.kind == bike::Mount::post) {
    const PostGeometry g = post_geometry(o.rotor);
    bolts = {{g.face, g.first}, {g.face, g.second}};
  }
  out.known = !bolts.empty();
  if (out.known) {
    out.face = bolts.front().x();
    out.turn = o.turn.value_or(along_blade(assembly, *blade, bolts));
    MountFrame m;
    m.axle = assembly.axle;
    m.a = Vec3(std::sin(out.turn), 0, std::cos(out.turn)),
    m.n = Vec3(-std::cos(out.turn), 0, std::sin(out.turn));
    m.y = side * Vec3::UnitY();
    for (const Vec2& b : bolts) out.feet.push_back(foot_of(m, blade->tube, b, from_middle, o.post));
  }
  add_notes(out, o);
  return out;
}

namespace {

std::string no_disc_here(const MountFoot& f) {
  std::string out =
      "don't build a disc brake onto this blade: its foot hangs over. Take a blade that is wider there, or a "
      "fork end that carries the mount";
  if (!f.meets) out += base::say("; straight in from the face the blade is {:.1f} mm aside", f.nearest);
  return out;
}

}  // namespace

std::vector<bike::Verdict> verdicts(const Mount& mount) {
  constexpr double kHalfAFoot = 50;  // %; ours
  std::vector<bike::Verdict> out;
  if (!mount.known) {
    out.push_back({"small-parts", "mount-unknown", "brake mount's coordinates", bike::spoken(mount.blade),
                   "mm", std::nullopt, std::nullopt, mount.notes.back()});
  }
  for (std::size_t i = 0; i < mount.feet.size(); ++i) {
    const MountFoot& f = mount.feet[i];
    out.push_back(
        {"small-parts", "mount-standing", fmt::format("brake mount, bolt {}: face clear of the blade", i + 1),
         base::say("{} at {:.0f} mm, clock {}", bike::spoken(mount.blade), f.s, base::format_clock(f.u)),
         "mm", f.nearest, bike::Limit{0, bike::Bound::at_least, "the face must stand outside the blade"},
         ""});
    // how much of the foot's round has blade under it: less than half, and its centre runs past
    const double under = f.meets || f.most > 0 ? 100 * (1 - f.passed_by / (2 * base::kPi)) : 0;
    out.push_back({"small-parts", "mount-foot", fmt::format("brake mount, bolt {}: foot on the blade", i + 1),
                   bike::spoken(mount.blade), "%", under,
                   bike::Limit{kHalfAFoot, bike::Bound::at_least, "half of the foot must stand on the blade"},
                   under >= kHalfAFoot ? "" : no_disc_here(f)});
  }
  return out;
}

}  // namespace halfround::study
