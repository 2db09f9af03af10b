#include "shape/body.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace halfround::shape {

namespace {

constexpr int kAlong = 96;         // points along a measured outline, where its nearest place is looked for
constexpr int kHullPoints = 1024;  // points its hull is made of
constexpr int kDirections = 1440;  // in which the hull's reach is kept
constexpr double kTurn = 2 * base::kPi;

/// Signed distance where the foot `on` and the outline's outward normal there are known.
Distance from_foot(const Vec2& q, const Vec2& on, const Vec2& along) {
  const Vec2 n = Vec2(along.y(), -along.x()).normalized();
  return {n.dot(q - on), Vec3(n.x(), n.y(), 0)};
}

/// Newton for the foot on an ellipse, in the quadrant of q, where there is one foot only. The turn goes by
/// its tangent, so no angle is needed.
Distance to_ellipse(double a, double b, const Vec2& q0) {
  const Vec2 q = q0.cwiseAbs();
  // a point t outside the foot (ac, bs) is (c (a + b t/w), s (b + a t/w)); as on a circle w is the mean half
  // axis
  const double mean = 0.5 * (a + b), out = std::max(0.0, q.norm() - mean);
  double c = q.x() * (b * mean + out * a), s = q.y() * (a * mean + out * b);
  const double start = std::sqrt(c * c + s * s);
  if (start > 0)
    c /= start, s /= start;
  else
    c = a < b ? 1 : 0, s = a < b ? 0 : 1;
  if (q.y() == 0 && q.x() * a < a * a - b * b)  // on the long axis the foot lies beside it
    c = q.x() * a / (a * a - b * b), s = std::sqrt(1 - c * c);
  for (int i = 0; i < 60; ++i) {
    const Vec2 p(a * c, b * s), dp(-a * s, b * c);
    const double f = (p - q).dot(dp), steep = dp.squaredNorm(), df = steep - (p - q).dot(p);
    const bool newton = df > 0.1 * steep;
    const double step = std::clamp(newton ? f / df : f / steep, -0.7, 0.7);
    // a turn by 2 atan(step / 2): all but step itself, and still on the circle
    const double half = 0.5 * step, over = 1 / (1 + half * half), cosine = (1 - half * half) * over,
                 sine = step * over;
    const double c1 = c * cosine + s * sine;
    s = s * cosine - c * sine, c = c1;
    if (c < 0) c = 0, s = 1;
    if (s < 0) s = 0, c = 1;
    if (std::abs(step) < (newton ? 1e-5 : 1e-9))
      break;  // the foot is off by its square, the distance by its fourth power
  }
  c = std::copysign(c, q0.x()), s = std::copysign(s, q0.y());
  return from_foot(q0, {a * c, b * s}, {-a * s, b * c});
}

/// Newton for the foot on a measured outline, from the nearest of the points along it.
Distance to_outline(const PolarOutline& outline, const std::vector<Vec2>& along, const Vec2& q) {
  const int n = static_cast<int>(along.size());
  const int facing = static_cast<int>(std::lround(std::atan2(q.y(), q.x()) / kTurn * n)) + n;
  const int wide =
      q.squaredNorm() > 0.25 * along[static_cast<std::size_t>(facing % n)].squaredNorm() ? n / 6 : n / 2;
  int best = facing;
  double least = INFINITY;
  for (int k = facing - wide; k <= facing + wide; ++k) {
    const double d = (along[static_cast<std::size_t>((k + n) % n)] - q).squaredNorm();
    if (d < least) least = d, best = k;
  }
  double u = kTurn * best / n;
  Vec2 p, dp;
  for (int i = 0; i < 60; ++i) {
    const Vec2 e(std::cos(u), std::sin(u)), side(-e.y(), e.x());
    const auto at = outline.at(u);
    const double bow = (outline.at(u + 1e-5).ru - at.ru) / 1e-5;
    p = at.r * e, dp = at.ru * e + at.r * side;
    const Vec2 ddp = (bow - at.r) * e + 2 * at.ru * side;
    const double f = (p - q).dot(dp), steep = dp.squaredNorm(), df = steep + (p - q).dot(ddp);
    const double step = std::clamp(df > 0.1 * steep ? f / df : f / steep, -0.06, 0.06);
    if (std::abs(step) < 1e-10) break;
    u -= step;
  }
  return from_foot(q, p, dp);
}

/// Signed distance to a convex polygon walked anticlockwise.
Distance to_polygon(const std::vector<Vec2>& corners, const Vec2& q) {
  double inside = -INFINITY, outside = INFINITY;
  Vec2 n_in = Vec2::UnitX(), away = Vec2::UnitX();
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Vec2 &p = corners[i], d = corners[(i + 1) % corners.size()] - p;
    const Vec2 n = Vec2(d.y(), -d.x()).normalized();
    const double over = n.dot(q - p);
    if (over > inside) inside = over, n_in = n;
    const Vec2 from = q - (p + std::clamp((q - p).dot(d) / d.squaredNorm(), 0.0, 1.0) * d);
    if (from.squaredNorm() < outside) outside = from.squaredNorm(), away = from;
  }
  if (inside <= 1e-12 || outside == 0) return {inside, Vec3(n_in.x(), n_in.y(), 0)};
  const double d = std::sqrt(outside);
  return {d, Vec3(away.x() / d, away.y() / d, 0)};
}

double turn(const Vec2& a, const Vec2& b, const Vec2& c) {
  const Vec2 p = b - a, q = c - b;
  return p.x() * q.y() - p.y() * q.x();
}

/// Hull of points that go once round the origin.
std::vector<Vec2> hull_of(const std::vector<Vec2>& points) {
  // begin at the farthest one, which is surely a corner of the hull
  std::size_t first = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (points[i].squaredNorm() > points[first].squaredNorm()) first = i;
  }
  std::vector<Vec2> hull;
  for (std::size_t k = 0; k <= points.size(); ++k) {
    const Vec2& p = points[(first + k) % points.size()];
    while (hull.size() >= 2 && turn(hull[hull.size() - 2], hull.back(), p) <= 0) hull.pop_back();
    hull.push_back(p);
  }
  hull.pop_back();
  return hull;
}

/// How far the true outline may stand out over chords of du rad: |P''| du^2 / 8, and P'' is bounded through
/// the spline's second derivatives, which go straight from point to point.
double sagitta(const PolarOutline& outline, double du) {
  const auto& points = outline.points();
  double bow = 0, slope = 0, r = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double u0 = points[i].x();
    const double u1 = i + 1 < points.size() ? points[i + 1].x() : points[0].x() + kTurn, h = u1 - u0;
    const double d0 = outline.at(u0).ru, dm = outline.at(u0 + h / 2).ru - d0,
                 d1 = outline.at(u0 + h * (1 - 1e-12)).ru - d0;
    const double begin = (4 * dm - d1) / h, end = (3 * d1 - 4 * dm) / h;
    const double most = std::max(std::abs(begin), std::abs(end));
    bow = std::max(bow, most);
    slope = std::max(slope, std::abs(d0) + most * h);
    r = std::max(r, points[i].y() + (std::abs(d0) + most * h) * h);
  }
  return (bow + 2 * slope + r) * du * du / 8;
}

}  // namespace

Body Body::ring(const Tube& ring) {
  const Piece& q = ring.centreline.pieces().front();
  const Frame f = ring.centreline.at(0);
  base::check(q.curvature > 0 && f.m.dot(q.n) < -0.999999, "a ring is a circle with its mark line outward");
  Body body;
  body.origin_ = q.p + q.n / q.curvature;
  body.axis_ = f.b;
  body.middle_ = Vec2(1 / q.curvature, 0);
  const Station& st = ring.profile.stations().front();
  if (!st.outline) {
    body.kind_ = Kind::ellipse;
    body.a_ = st.width / 2, body.b_ = st.depth / 2;
    body.outside_ = body.middle_.x() + body.a_;
    return body;
  }
  body.kind_ = Kind::measured;
  body.outline_ = st.outline;
  for (int k = 0; k < kAlong; ++k) {
    const Vec2 e = base::unit_at(kTurn * k / kAlong);
    body.corners_.push_back(body.outline_->at(kTurn * k / kAlong).r * e);
    body.outside_ = std::max(body.outside_, body.middle_.x() + body.corners_.back().x());
  }
  return body;
}

Body Body::turned(const Vec3& centre, const Vec3& axis, const std::vector<Vec2>& outline, double round) {
  base::check(outline.size() >= 3, "an outline needs three corners");
  Body body;
  body.kind_ = Kind::polygon;
  body.origin_ = centre, body.axis_ = axis.normalized();
  body.corners_ = outline, body.round_ = round;
  double area = 0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 &p = outline[i], &q = outline[(i + 1) % outline.size()];
    area += p.x() * q.y() - p.y() * q.x();
    body.outside_ = std::max(body.outside_, p.x() + round);
  }
  if (area < 0) std::reverse(body.corners_.begin(), body.corners_.end());
  return body;
}

Body Body::box(const Pose& X_FB, const Vec3& half) {
  Body body;
  body.origin_ = X_FB.translation(), body.sides_ = X_FB.linear(), body.half_ = half;
  body.outside_ = half.norm();
  return body;
}

Body Body::shifted(const Vec3& by) const {
  Body out = *this;
  out.origin_ += by;
  return out;
}

Distance Body::meridian(const Vec2& q) const {
  if (kind_ == Kind::ellipse) return to_ellipse(a_, b_, q - middle_);
  if (kind_ == Kind::measured) return to_outline(*outline_, corners_, q - middle_);
  Distance d = to_polygon(corners_, q);
  d.value -= round_;
  return d;
}

Distance Body::distance(const Vec3& p) const {
  const Vec3 d = p - origin_;
  if (kind_ == Kind::box) {
    const Vec3 q = sides_.transpose() * d, over = q.cwiseAbs() - half_;
    Vec3 n = over.cwiseMax(0);
    double value = n.norm();
    if (value == 0) {
      Eigen::Index side = 0;
      value = over.maxCoeff(&side);
      n = Vec3::Unit(side);
    } else {
      n /= value;
    }
    for (int i = 0; i < 3; ++i) n[i] = std::copysign(n[i], q[i]);
    return {value, sides_ * n};
  }
  const double y = d.dot(axis_);
  const Vec3 across = d - y * axis_;
  const double r = across.norm();
  const Vec3 out = r > 1e-12 ? Vec3(across / r) : axis_.unitOrthogonal();
  const Distance m = meridian({r, y});
  return {m.value, m.normal.x() * out + m.normal.y() * axis_};
}

double Body::reach(const Vec2& n) const {
  if (kind_ == Kind::ellipse) return n.dot(middle_) + std::hypot(a_ * n.x(), b_ * n.y());
  if (kind_ == Kind::polygon) {
    double most = -INFINITY;
    for (const Vec2& p : corners_) most = std::max(most, p.dot(n));
    return most + round_ * n.norm();
  }
  base::check(!reach_.empty(), "a measured outline needs prepare_support()");
  // a support function is subadditive, so between two directions its chord bounds it from above
  const double step = kTurn / kDirections;
  double angle = std::atan2(n.y(), n.x());
  if (angle < 0) angle += kTurn;
  const auto j = std::min(static_cast<std::size_t>(angle / step), static_cast<std::size_t>(kDirections - 1));
  const double x = angle - step * static_cast<double>(j), w = n.norm() / std::sin(step);
  return n.dot(middle_) + w * (std::sin(step - x) * reach_[j] + std::sin(x) * reach_[(j + 1) % kDirections]);
}

Support Body::support(const Vec3& p, const Vec3& n) const {
  Support s;
  s.n = n;
  if (kind_ == Kind::box) {
    s.reach = (sides_.transpose() * n).cwiseAbs().dot(half_);
    return s;
  }
  const Vec3 d = p - origin_, across = d - d.dot(axis_) * axis_;
  const double r = across.norm();
  s.out = r > 1e-12 ? Vec3(across / r) : axis_.unitOrthogonal();
  s.hoop = axis_.cross(s.out);
  const Vec2 m(n.dot(s.out), n.dot(axis_));
  s.n = m.x() * s.out + m.y() * axis_;
  s.bend = std::max(0.0, -m.x());
  s.reach = reach(m);
  return s;
}

void Body::prepare_support() {
  if (kind_ != Kind::measured || !reach_.empty()) return;
  std::vector<Vec2> points;
  for (int k = 0; k < kHullPoints; ++k) {
    const double u = kTurn * k / kHullPoints;
    points.push_back(outline_->at(u).r * Vec2(std::cos(u), std::sin(u)));
  }
  const std::vector<Vec2> hull = hull_of(points);
  const double over = sagitta(*outline_, kTurn / kHullPoints);
  std::size_t k = 0;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    if (hull[i].x() > hull[k].x()) k = i;
  }
  for (int j = 0; j < kDirections; ++j) {
    const Vec2 e(std::cos(kTurn * j / kDirections), std::sin(kTurn * j / kDirections));
    while (hull[(k + 1) % hull.size()].dot(e) > hull[k].dot(e)) k = (k + 1) % hull.size();
    reach_.push_back(hull[k].dot(e) + over);
  }
}

}  // namespace halfround::shape
