#include "shape/centreline.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace halfround::shape {

namespace {

/// Point and frame of one piece at x mm from its start; straight beyond what the piece covers when `x` says
/// so.
Frame frame_of(const Piece& q, double x) {
  if (q.curvature == 0) return {q.p + x * q.t, q.t, q.m, q.t.cross(q.m), Vec3::Zero()};
  const double angle = x * q.curvature;
  const double c = std::cos(angle), s = std::sin(angle);
  const Vec3 t = c * q.t + s * q.n;
  const Vec3 n = c * q.n - s * q.t;
  // m turns with the frame: its parts along t0 and n0 turn, the part along the bend's axis stays
  const double along_n = q.m.dot(q.n);
  const Vec3 m = q.m + along_n * (n - q.n);
  return {q.p + (s * q.t + (1 - c) * q.n) / q.curvature, t, m, t.cross(m), q.curvature * n};
}

/// Distance along the piece of the point nearest to p, not limited to the piece.
double along(const Piece& q, const Vec3& p) {
  const Vec3 d = p - q.p;
  if (q.curvature == 0) return d.dot(q.t);
  double angle = std::atan2(d.dot(q.t), 1 / q.curvature - d.dot(q.n));
  const double full = q.length * q.curvature;
  if (angle < 0 && full > base::kPi) angle += 2 * base::kPi;
  return angle / q.curvature;
}

}  // namespace

void Centreline::append(double length, double curvature, const Vec3& p, const Vec3& t, const Vec3& m,
                        const Vec3& n) {
  pieces_.push_back({this->length(), length, curvature, p, t, m, n});
}

Centreline Centreline::from_runs(const std::vector<Run>& runs, const Vec3& p, const Vec3& t, const Vec3& m) {
  Centreline line;
  Frame f{p, t.normalized(), (m - m.dot(t.normalized()) * t.normalized()).normalized(), {}, {}};
  f.b = f.t.cross(f.m);
  for (const Run& run : runs) {
    base::check(run.length > 0, "a run of a centreline needs a length");
    const Vec2 e = base::unit_at(run.toward);
    line.append(run.length, run.angle == 0 ? 0 : run.angle / run.length, f.c, f.t, f.m,
                e.x() * f.m + e.y() * f.b);
    f = frame_of(line.pieces_.back(), run.length);
  }
  base::check(!line.pieces_.empty(), "a centreline needs a run");
  return line;
}

Centreline Centreline::circle(const Vec3& centre, const Vec3& axis, double radius) {
  Centreline line;
  const Vec3 a = axis.normalized();
  const Vec3 out = a.unitOrthogonal();
  line.append(2 * base::kPi * radius, 1 / radius, centre + radius * out, a.cross(out), out, -out);
  line.closed_ = true;
  return line;
}

namespace {

/// Tangents at traced points: of the circle through each point and its neighbours; reflected at the ends.
std::vector<Vec3> tangents_of(const std::vector<Vec3>& points) {
  const std::size_t n = points.size();
  std::vector<Vec3> t(n);
  if (n == 2) {
    t[0] = t[1] = (points[1] - points[0]).normalized();
    return t;
  }
  for (std::size_t i = 1; i + 1 < n; ++i) {
    const Vec3 a = points[i] - points[i - 1], b = points[i + 1] - points[i];
    const double la = a.norm(), lb = b.norm();
    t[i] = (a * (lb / la) + b * (la / lb)).normalized();  // parabola through three points
  }
  const auto reflected = [](const Vec3& tangent, const Vec3& chord) {
    const Vec3 d = chord.normalized();
    return Vec3(2 * d.dot(tangent) * d - tangent).normalized();
  };
  t[0] = reflected(t[1], points[1] - points[0]);
  t[n - 1] = reflected(t[n - 2], points[n - 1] - points[n - 2]);
  return t;
}

}  // namespace

Centreline Centreline::through(const std::vector<Vec3>& points, const Vec3& m0) {
  base::check(points.size() >= 2, "a traced centreline needs two points");
  const std::vector<Vec3> tangents = tangents_of(points);
  Centreline line;
  Vec3 m = (m0 - m0.dot(tangents[0]) * tangents[0]).normalized();
  // one arc from p with tangent t to q; carries m on and returns nothing but the new piece
  const auto arc_to = [&](const Vec3& p, const Vec3& t, const Vec3& q) {
    const Vec3 d = q - p;
    const double chord = d.norm();
    const Vec3 side = d - d.dot(t) * t;
    const double h = side.norm();
    if (h < 1e-12 * chord) {
      line.append(chord, 0, p, t, m, t.unitOrthogonal());
    } else {
      const double angle = 2 * std::atan2(h, d.dot(t));
      const double radius = chord / (2 * std::sin(angle / 2));
      line.append(radius * angle, 1 / radius, p, t, m, side / h);
    }
    m = frame_of(line.pieces_.back(), line.pieces_.back().length).m;
  };
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    // biarc with equal arms: the joint of the two arcs lies midway between the arms' ends
    const Vec3 v = points[i + 1] - points[i], t0 = tangents[i], t1 = tangents[i + 1];
    const Vec3 sum = t0 + t1;
    const double a = 2 * (1 - t0.dot(t1));
    const double b = 2 * v.dot(sum), c = -v.dot(v);
    const double arm = a < 1e-12 ? -c / b : (-b + std::sqrt(b * b - 4 * a * c)) / (2 * a);
    const Vec3 q0 = points[i] + arm * t0, q1 = points[i + 1] - arm * t1;
    const Vec3 joint = 0.5 * (q0 + q1);
    arc_to(points[i], t0, joint);
    arc_to(joint, (q1 - q0).normalized(), points[i + 1]);
  }
  return line;
}

double Centreline::max_curvature() const {
  double k = 0;
  for (const Piece& q : pieces_) k = std::max(k, q.curvature);
  return k;
}

const Piece& Centreline::piece_at(double s) const {
  std::size_t i = 0;
  while (i + 1 < pieces_.size() && s >= pieces_[i + 1].s0) ++i;
  return pieces_[i];
}

Frame Centreline::at(double s) const {
  if (pieces_.size() == 1 && pieces_[0].curvature == 0) return frame_of(pieces_[0], s);
  const double total = length();
  if (!closed_ && s > total) {
    Frame f = frame_of(pieces_.back(), pieces_.back().length);
    f.c += (s - total) * f.t;
    f.k.setZero();
    return f;
  }
  if (!closed_ && s < 0) {
    Frame f = frame_of(pieces_.front(), 0);
    f.c += s * f.t;
    f.k.setZero();
    return f;
  }
  const Piece& q = piece_at(s);
  return frame_of(q, s - q.s0);
}

Vec3 Centreline::point(double s) const {
  return at(s).c;
}

double Centreline::nearest(const Vec3& p) const {
  if (pieces_.size() == 1) {
    const Piece& q = pieces_[0];
    if (q.curvature == 0 || closed_) return along(q, p);
  }
  double best = 0, best_d2 = INFINITY;
  for (std::size_t i = 0; i < pieces_.size(); ++i) {
    const Piece& q = pieces_[i];
    double x = along(q, p);
    const bool first = i == 0, last = i + 1 == pieces_.size();
    if (q.curvature != 0 || (!first && x < 0) || (!last && x > q.length)) x = std::clamp(x, 0.0, q.length);
    const double d2 = (p - frame_of(q, x).c).squaredNorm();
    if (d2 < best_d2) best_d2 = d2, best = q.s0 + x;
  }
  // straight on beyond a bent end
  const auto extended = [&](const Frame& f, double s_end, double sign) {
    const double x = sign * (p - f.c).dot(f.t);
    if (x <= 0) return;
    const double d2 = (p - f.c - sign * x * f.t).squaredNorm();
    if (d2 < best_d2) best_d2 = d2, best = s_end + sign * x;
  };
  if (pieces_.front().curvature != 0) extended(at(0), 0, -1);
  if (pieces_.back().curvature != 0) extended(at(length()), length(), 1);
  return best;
}

Centreline Centreline::moved(const Pose& X) const {
  Centreline out = *this;
  for (Piece& q : out.pieces_) {
    q.p = X * q.p;
    q.t = X.linear() * q.t;
    q.m = X.linear() * q.m;
    q.n = X.linear() * q.n;
  }
  return out;
}

Centreline Centreline::mirrored() const {
  Centreline out = *this;
  for (Piece& q : out.pieces_) {
    for (Vec3* v : {&q.p, &q.t, &q.m, &q.n}) v->y() = -v->y();
  }
  return out;
}

Centreline Centreline::reversed() const {
  base::check(!closed_, "a closed centreline has no other end");
  Centreline out;
  for (auto q = pieces_.rbegin(); q != pieces_.rend(); ++q) {
    const Frame f = frame_of(*q, q->length);
    const Vec3 n = q->curvature == 0 ? q->n : Vec3(f.k / q->curvature);
    out.append(q->length, q->curvature, f.c, -f.t, f.m, n);
  }
  return out;
}

Centreline Centreline::lengthened(double before, double after) const {
  base::check(!closed_, "a closed centreline has no ends");
  Centreline out;
  if (before > 0) {
    const Piece& q = pieces_.front();
    out.append(before + (q.curvature == 0 ? q.length : 0), 0, q.p - before * q.t, q.t, q.m, q.n);
  }
  for (std::size_t i = 0; i < pieces_.size(); ++i) {
    const Piece& q = pieces_[i];
    if (i == 0 && before > 0 && q.curvature == 0) continue;  // is in the piece before it
    out.append(q.length, q.curvature, q.p, q.t, q.m, q.n);
  }
  if (after > 0 && out.pieces_.back().curvature == 0) {
    out.pieces_.back().length += after;
  } else if (after > 0) {
    const Frame f = frame_of(out.pieces_.back(), out.pieces_.back().length);
    out.append(after, 0, f.c, f.t, f.m, f.t.unitOrthogonal());
  }
  return out;
}

}  // namespace halfround::shape
