// The pose in which a cut edge stands off its target, from a few gaps. Frame: the assembly's. Model:
// docs/fit-up.md.
#include "study/fit_up.h"

#include <fmt/format.h>

#include <Eigen/SVD>
#include <algorithm>
#include <cmath>

#include "base/clock.h"
#include "base/say.h"

namespace halfround::study {

using base::Problem;
using base::Result;

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr double kTelling = 1;  // mm: an unknown that the readings tell no better is not told at all
constexpr double kGrazing =
    0.2;  // sine of the angle between generator and target: below, filing depth runs away
constexpr double kSamePlace = 1e-3;  // rad

double apart(double a, double b) {
  const double d = std::fmod(std::abs(a - b), kTurn);
  return std::min(d, kTurn - d);
}

double wrapped(double u) {
  const double v = std::fmod(u, kTurn);
  return v < 0 ? v + kTurn : v;
}

/// The frame of the joint: see the header's drawing.
struct JointFrame {
  Vec3 c, t, e1, e2, m, b;
  double radius = 1;  // of the edge about c, square to t: makes turns comparable with heights
};

JointFrame frame_of(const bike::Member& member, const shape::Tube& target, const Mitre& mitre) {
  double s = 0, n = 0;
  for (const EdgePoint& q : mitre.outer) {
    if (q.met) s += q.s, n += 1;
  }
  base::check(n > 0, "a mitre meets its target somewhere");
  const shape::Frame f = member.tube.centreline.at(s / n);
  JointFrame j{f.c, mitre.end == bike::End::end ? f.t : Vec3(-f.t), f.m, f.b, f.m, f.b, 1};
  const Vec3 axis = target.centreline.at(target.centreline.nearest(f.c)).t;
  const Vec3 along = axis - axis.dot(j.t) * j.t;
  if (along.norm() > 1e-3) j.e1 = along.normalized();
  j.e2 = j.t.cross(j.e1);
  double square = 0;
  for (const EdgePoint& q : mitre.outer) {
    if (q.met) square += (q.point - f.c - (q.point - f.c).dot(j.t) * j.t).squaredNorm();
  }
  j.radius = std::sqrt(square / n);
  return j;
}

/// height, angle, side: mm, rad, rad
using Unknowns = Eigen::Vector3d;

struct Measured {
  double gap;      // mm
  Unknowns slope;  // of it by height (mm), angle and side (both times the frame's radius, mm)
};

Vec3 turn_of(const JointFrame& j, const Unknowns& x) {
  return x[1] * j.e2 + x[2] * j.e1;
}

/// Distance from a point of the edge to the target when the member stands in pose x.
Measured gap_at(const JointFrame& j, const shape::TubeReader& target, const Unknowns& x, const Vec3& p) {
  const Vec3 w = turn_of(j, x);
  const double a = w.norm();
  const Vec3 r = a > 0 ? Vec3(Eigen::AngleAxisd(a, w / a) * (p - j.c)) : Vec3(p - j.c);
  const shape::Level level = shape::level(target, j.c + r - x[0] * j.t);
  const double size = level.gradient.norm();
  const Vec3 n = level.gradient / size, rn = r.cross(n);
  return {level.value / size, {-n.dot(j.t), rn.dot(j.e2) / j.radius, rn.dot(j.e1) / j.radius}};
}

/// The edge at a clock angle, straight between its points; nothing where the generator passes.
std::optional<Vec3> edge_at(const std::vector<EdgePoint>& edge, double u) {
  const std::size_t n = edge.size();
  for (const EdgePoint& q : edge) {
    if (q.met && apart(q.u, u) < 1e-9) return q.point;
  }
  for (std::size_t i = 0; i < n; ++i) {
    const EdgePoint &a = edge[i], &b = edge[(i + 1) % n];
    const double span = wrapped(b.u - a.u), into = wrapped(u - a.u);
    if (into > span || span > base::kPi) continue;
    if (!a.met || !b.met) return std::nullopt;
    return span > 0 ? Vec3(a.point + into / span * (b.point - a.point)) : a.point;
  }
  return std::nullopt;
}

struct Place {
  double u, gap;
  Vec3 p;
};

Problem problem(std::string code, const Mitre& mitre, std::string what, std::string fits) {
  return {std::move(code),
          {"", 0, 0, bike::spoken(mitre.member) + " onto " + bike::spoken(mitre.onto)},
          std::move(what),
          std::move(fits)};
}

std::string passing_words(const Mitre& mitre) {
  std::string out;
  for (const Passing& p : mitre.passing) {
    out += (out.empty() ? "" : " and ") + base::format_clock(p.from) + " to " + base::format_clock(p.to);
  }
  return out.empty() ? "somewhere else" : out;
}

Result<std::vector<Place>> places_of(const Mitre& mitre, const std::vector<GapReading>& readings) {
  if (readings.size() < 2) {
    return tl::unexpected(
        problem("fit-up-few", mitre,
                fmt::format("Found {} clock position{}; one place tells neither angle nor height.",
                            readings.size(), readings.size() == 1 ? "" : "s"),
                "Read at least two, better six or more all round."));
  }
  std::vector<Place> out;
  for (const GapReading& r : readings) {
    const double deg = base::to_deg(r.u);
    if (!std::isfinite(r.u) || !(r.gap >= 0 && r.gap <= 20)) {
      return tl::unexpected(problem("fit-up-gap", mitre,
                                    base::say("Found a gap of {:.2f} mm at {:.0f}°.", r.gap, deg),
                                    "Give 0 where it touches, else the feeler that goes in, up to 20 mm."));
    }
    const double u = wrapped(r.u);
    for (const Place& q : out) {
      if (apart(q.u, u) > kSamePlace) continue;
      return tl::unexpected(
          problem("fit-up-twice", mitre,
                  base::say("Two gaps stand at {:.0f}°: {:.2f} and {:.2f} mm.", deg, q.gap, r.gap),
                  "Keep the one that was measured last."));
    }
    const auto p = edge_at(mitre.outer, u);
    if (!p) {
      return tl::unexpected(
          problem("fit-up-passing", mitre,
                  base::say("At {:.0f}° the tube passes beside the {}: there is no gap to read.", deg,
                            bike::spoken(mitre.onto)),
                  base::say("Read anywhere but from {}.", passing_words(mitre))));
    }
    out.push_back({u, r.gap, *p});
  }
  std::sort(out.begin(), out.end(), [](const Place& a, const Place& b) { return a.u < b.u; });
  return out;
}

struct Solved {
  Unknowns x = Unknowns::Zero();
  Eigen::Matrix3d directions = Eigen::Matrix3d::Identity();  // columns: from best told to worst
  Eigen::Vector3d strength = Eigen::Vector3d::Zero();        // gap per mm along each
  int told = 0;
};

/// Gauss-Newton by singular values; what the readings don't tell stays as it is.
Solved solve(const JointFrame& j, const shape::TubeReader& target, const std::vector<Place>& places,
             double sd) {
  Solved out;
  const auto n = static_cast<Eigen::Index>(places.size());
  for (int round = 0; round < 12; ++round) {
    Eigen::MatrixXd J(std::max<Eigen::Index>(n, 3), 3);
    Eigen::VectorXd miss(J.rows());
    J.setZero(), miss.setZero();
    for (Eigen::Index i = 0; i < n; ++i) {
      const Place& q = places[static_cast<std::size_t>(i)];
      const Measured g = gap_at(j, target, out.x, q.p);
      J.row(i) = g.slope.transpose(), miss[i] = q.gap - g.gap;
    }
    const Eigen::JacobiSVD<Eigen::MatrixXd> svd(J, Eigen::ComputeThinU | Eigen::ComputeThinV);
    out.directions = svd.matrixV(), out.strength = svd.singularValues(), out.told = 0;
    Unknowns step = Unknowns::Zero();
    for (Eigen::Index k = 0; k < 3; ++k) {
      if (out.strength[k] * kTelling <= sd || out.strength[k] < 1e-9) continue;
      ++out.told;
      step += svd.matrixU().col(k).dot(miss) / out.strength[k] * out.directions.col(k);
    }
    out.x += Unknowns(step[0], step[1] / j.radius, step[2] / j.radius);
    if (step.norm() < 1e-10) break;
  }
  return out;
}

/// Standard deviation of one unknown, mm; nothing where part of it lies in a direction that isn't told.
std::optional<double> spread(const Solved& s, int which, double sd) {
  double square = 0, untold = 0;
  for (int k = 0; k < 3; ++k) {
    const double v = s.directions(which, k);
    if (k < s.told) {
      square += v * v / (s.strength[k] * s.strength[k]);
    } else {
      untold += v * v;
    }
  }
  if (untold > 0.01) return std::nullopt;
  return sd * std::sqrt(square);
}

/// What remains at a clock angle, straight between the readings.
double residual_at(const std::vector<Residual>& list, double u) {
  const std::size_t n = list.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Residual &a = list[i], &b = list[(i + 1) % n];
    const double span = wrapped(b.u - a.u), into = wrapped(u - a.u);
    if (into <= span && span > 0) return a.left + into / span * (b.left - a.left);
  }
  return 0;
}

void fill_table(FitUp& f, const JointFrame& j, const shape::TubeReader& target, const Solved& x,
                const Mitre& mitre, const FitUpOptions& options) {
  std::vector<double> along;  // sine between generator and target
  double wanted = 0, held = INFINITY;
  for (const ClockDepth& q : mitre.clock) {
    TakeOff row;
    row.u = q.u;
    double steep = 1;
    const auto p = edge_at(mitre.outer, q.u);
    row.met = q.met && p;
    row.no_touch = std::any_of(options.no_touch.begin(), options.no_touch.end(), [&](double v) {
      return apart(wrapped(v), q.u) <= options.no_touch_width / 2 + 1e-9;
    });
    if (row.met) {
      const Measured g = gap_at(j, target, x.x, *p);
      row.gap = g.gap;
      // a reading to spare is needed before what remains means anything
      if (static_cast<int>(f.residuals.size()) > x.told) row.gap += residual_at(f.residuals, q.u);
      steep = std::max(g.slope[0], kGrazing);
      row.grazing = g.slope[0] < kGrazing;
      const double deep = row.gap / steep;
      if (row.no_touch) held = std::min(held, deep);
      if (!row.grazing) wanted = std::max(wanted, (row.gap - options.allowed) / steep);
    }
    f.table.push_back(row);
    along.push_back(steep);
  }
  f.advance = std::max(0.0, std::min(wanted, held));
  for (std::size_t i = 0; i < along.size(); ++i) {
    TakeOff& row = f.table[i];
    if (!row.met) continue;
    const double deep = row.gap / along[i];
    if (!row.no_touch) row.take_off = std::max(0.0, f.advance - deep);
    row.left = std::max(0.0, row.gap - f.advance * along[i]);
    f.worst_left = std::max(f.worst_left, row.left);
  }
}

void add_notes(FitUp& f, const std::vector<Place>& places, const FitUpOptions& options) {
  const std::size_t n = places.size();
  if (f.told < 3) {
    f.notes.push_back(
        fmt::format("These {} positions tell only {} of the three (height and two angles); what they don't "
                    "tell is taken as "
                    "nothing. Read one across from them too.",
                    n, f.told));
  } else if (n == 3) {
    f.notes.push_back(
        "Three positions just tell height and both angles; nothing checks the readings. Read one more.");
  }
  if (std::all_of(places.begin(), places.end(), [](const Place& q) { return q.gap > 0; }))
    f.notes.push_back("It touches nowhere by these readings: the table counts from how it was held.");
  if (n > static_cast<std::size_t>(f.told) && f.rms > 3 * options.sd) {
    f.notes.push_back(
        base::say("{:.2f} mm remain that no angle explains: the edge itself is uneven, or a reading is "
                  "wrong.",
                  f.rms));
  }
  if (f.advance > 0) {
    f.notes.push_back(base::say("After filing, the {} sits {:.2f} mm nearer to the {}.",
                                bike::spoken(f.member), f.advance, bike::spoken(f.onto)));
  }
  if (f.worst_left > options.allowed + 0.01 && !options.no_touch.empty()) {
    f.notes.push_back(base::say(
        "Where nothing may be taken off it comes to bear first: up to {:.2f} mm stay open.", f.worst_left));
  }
  if (std::any_of(f.table.begin(), f.table.end(), [](const TakeOff& t) { return t.met && t.grazing; }))
    f.notes.push_back("Where the tube only grazes the target, file level with the neighbouring positions.");
}

}  // namespace

Result<FitUp> fit_up(const bike::Assembly& assembly, const Mitre& mitre,
                     const std::vector<GapReading>& readings, const FitUpOptions& options) {
  const bike::Member* member = bike::find_member(assembly, mitre.member);
  const bike::Member* target = bike::find_member(assembly, mitre.onto);
  base::check(member && target, "a mitre names members of its assembly");
  const auto places = places_of(mitre, readings);
  if (!places) return tl::unexpected(places.error());
  const double sd = std::clamp(options.sd, 1e-4, 1.0);
  const shape::TubeReader reader(target->tube);
  const JointFrame j = frame_of(*member, target->tube, mitre);
  const Solved x = solve(j, reader, *places, sd);
  FitUp f;
  f.member = mitre.member, f.onto = mitre.onto, f.end = mitre.end, f.told = x.told;
  double square = 0;
  for (const Place& q : *places) {
    f.residuals.push_back({q.u, q.gap, q.gap - gap_at(j, reader, x.x, q.p).gap});
    square += f.residuals.back().left * f.residuals.back().left;
  }
  const auto n = static_cast<int>(places->size());
  f.rms = std::sqrt(square / n);
  // readings that disagree by more than a feeler's step widen the answer
  const double seen = n > x.told ? std::max(sd, std::sqrt(square / (n - x.told))) : sd;
  const auto estimate = [&](int k, double per) {
    const auto v = spread(x, k, seen);
    return Estimate{x.x[k], v ? std::optional<double>(*v / per) : std::nullopt};
  };
  f.height = estimate(0, 1), f.angle = estimate(1, j.radius), f.side = estimate(2, j.radius);
  const Vec3 w = turn_of(j, x.x), high = j.t.cross(w);
  f.lean = w.norm();
  f.u_high = f.lean > 0 ? wrapped(std::atan2(high.dot(j.b), high.dot(j.m))) : 0;
  fill_table(f, j, reader, x, mitre, options);
  add_notes(f, *places, options);
  return f;
}

std::vector<bike::Verdict> verdicts(const FitUp& f, double allowed_gap) {
  return {{"fit-up", "fit-up-gap-left",
           fmt::format("{} onto {}: gap that stays once filed", bike::spoken(f.member), bike::spoken(f.onto)),
           "", "mm", f.worst_left,
           bike::Limit{allowed_gap, bike::Bound::at_most, "common practice for fillet brazing"}, ""}};
}

}  // namespace halfround::study
