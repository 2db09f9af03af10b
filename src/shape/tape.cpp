#include "shape/tape.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace halfround::shape {

namespace {

constexpr double kBent = 1e-4;  // rad; less than this on the way is no bend

/// How far the tube turns between s0 and s1, toward m and toward b, rad.
Vec2 turned(const Centreline& line, double s0, double s1) {
  Vec2 sum = Vec2::Zero();
  for (const Piece& q : line.pieces()) {
    const double way = std::min(s1, q.s0 + q.length) - std::max(s0, q.s0);
    if (q.curvature == 0 || way <= 0) continue;
    sum += way * q.curvature * Vec2(q.n.dot(q.m), q.n.dot(q.t.cross(q.m)));
  }
  return sum;
}

/// What bends add to a tape along `e` from the start up to s.
double added_by_bends(const Tube& tube, const Vec2& e, double s) {
  // Gauss' three points: the radius is a cubic between stations [source: Abramowitz and Stegun, 25.4.30]
  static constexpr double kX[] = {-0.7745966692414834, 0, 0.7745966692414834},
                          kW[] = {5.0 / 18, 8.0 / 18, 5.0 / 18};
  double sum = 0;
  for (const Piece& q : tube.centreline.pieces()) {
    const double lean = q.curvature * (e.x() * q.m.dot(q.n) + e.y() * q.t.cross(q.m).dot(q.n));
    double from = q.s0;
    const double end = std::min(s, q.s0 + q.length);
    if (lean == 0 || end <= from) continue;
    const auto add_up_to = [&](double to) {
      for (int i = 0; i < 3; ++i)
        sum -= lean * kW[i] * (to - from) * tube.profile.at(e, (from + to) / 2 + (to - from) / 2 * kX[i]).r;
      from = to;
    };
    for (const Station& st : tube.profile.stations()) {
      if (st.s > from && st.s < end) add_up_to(st.s);
    }
    add_up_to(end);
  }
  return sum;
}

}  // namespace

Tape tape(const Tube& tube, double s0, double s1) {
  Tape out;
  out.centre = out.outside = out.inside = s1 - s0;
  const Vec2 toward = turned(tube.centreline, s0, s1);
  if (toward.norm() < kBent) return out;
  out.bent = true;
  const bool along_m = std::abs(toward.x()) >= std::abs(toward.y());
  const double sign = (along_m ? toward.x() : toward.y()) > 0 ? -1 : 1;
  const Vec2 e = along_m ? Vec2(sign, 0) : Vec2(0, sign);
  out.clock_outside = along_m ? (sign > 0 ? 0 : base::kPi) : (sign > 0 ? base::kPi / 2 : 3 * base::kPi / 2);
  out.outside = generator_length(tube, e, s0, s1), out.inside = generator_length(tube, -e, s0, s1);
  return out;
}

Tube from_tape(Tube tube, double u) {
  const Vec2 e = base::unit_at(u);
  std::vector<Station> stations = tube.profile.stations();
  std::vector<double> shown;
  for (const Station& q : stations) shown.push_back(q.s);
  for (int round = 0; round < 60; ++round) {
    double most = 0;
    for (std::size_t i = 0; i < stations.size(); ++i) {
      double& s = stations[i].s;
      const double miss = shown[i] - s - added_by_bends(tube, e, s);
      const shape::Frame f = tube.centreline.at(s);
      const double rate = 1 - tube.profile.at(e, s).r * f.k.dot(e.x() * f.m + e.y() * f.b);
      s += miss / std::clamp(rate, 0.2, 2.0);
      if (i > 0) s = std::max(s, stations[i - 1].s + 1e-6);  // on the way there: rings keep their order
      most = std::max(most, std::abs(miss));
    }
    if (most < 1e-10) break;
    tube.profile = Profile(stations);
  }
  return tube;
}

}  // namespace halfround::shape
