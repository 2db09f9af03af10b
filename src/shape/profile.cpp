#include "shape/profile.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace halfround::shape {

// ---- measured outline
// -------------------------------------------------------------------------------------------

PolarOutline::PolarOutline(const std::vector<Vec2>& points) : points_(points) {
  const std::size_t n = points_.size();
  base::check(n >= 3, "a measured outline needs three points");
  // periodic natural spline: solve the cyclic tridiagonal system densely; n is a few dozen and it is done
  // once
  Eigen::MatrixXd a = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(n), static_cast<Eigen::Index>(n));
  Eigen::VectorXd rhs(static_cast<Eigen::Index>(n));
  const auto u = [&](std::size_t i) { return points_[i % n].x() + (i >= n ? 2 * base::kPi : 0); };
  const auto r = [&](std::size_t i) { return points_[i % n].y(); };
  for (std::size_t i = 0; i < n; ++i) {
    const double h1 = u(i + 1) - u(i);
    const double h0 = i == 0 ? u(n) - u(n - 1) : u(i) - u(i - 1);
    const auto row = static_cast<Eigen::Index>(i);
    a(row, static_cast<Eigen::Index>((i + n - 1) % n)) += h0 / 6;
    a(row, row) += (h0 + h1) / 3;
    a(row, static_cast<Eigen::Index>((i + 1) % n)) += h1 / 6;
    rhs(row) = (r(i + 1) - r(i)) / h1 - (r(i) - r(i + n - 1)) / h0;
  }
  // unpivoted elimination is safe: the matrix is diagonally dominant
  for (Eigen::Index k = 0; k < a.rows(); ++k) {
    for (Eigen::Index i = k + 1; i < a.rows(); ++i) {
      const double f = a(i, k) / a(k, k);
      if (f == 0) continue;
      a.row(i) -= f * a.row(k);
      rhs(i) -= f * rhs(k);
    }
  }
  second_.resize(n);
  for (Eigen::Index k = a.rows() - 1; k >= 0; --k) {
    double sum = rhs(k);
    for (Eigen::Index j = k + 1; j < a.cols(); ++j) sum -= a(k, j) * second_[static_cast<std::size_t>(j)];
    second_[static_cast<std::size_t>(k)] = sum / a(k, k);
  }
}

PolarOutline::Value PolarOutline::at(double u) const {
  const std::size_t n = points_.size();
  const double turn = 2 * base::kPi;
  double x = u - turn * std::floor((u - points_[0].x()) / turn);
  auto it =
      std::upper_bound(points_.begin(), points_.end(), x, [](double v, const Vec2& p) { return v < p.x(); });
  const std::size_t i =
      static_cast<std::size_t>(std::distance(points_.begin(), it)) - (it == points_.begin() ? 0 : 1);
  const std::size_t j = (i + 1) % n;
  const double u0 = points_[i].x(), u1 = j == 0 ? points_[0].x() + turn : points_[j].x();
  const double h = u1 - u0, a = (u1 - x) / h, b = (x - u0) / h;
  const double r = a * points_[i].y() + b * points_[j].y() +
                   ((a * a * a - a) * second_[i] + (b * b * b - b) * second_[j]) * h * h / 6;
  const double ru = (points_[j].y() - points_[i].y()) / h +
                    ((1 - 3 * a * a) * second_[i] + (3 * b * b - 1) * second_[j]) * h / 6;
  return {r, ru};
}

PolarOutline::Bounds PolarOutline::bounds() const {
  Bounds out;
  const std::size_t n = points_.size();
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t j = (i + 1) % n;
    const double h = points_[j].x() - points_[i].x() + (j == 0 ? 2 * base::kPi : 0);
    // the second derivative goes straight from point to point; the cubic leaves its chord accordingly
    const double most = std::max(std::abs(second_[i]), std::abs(second_[j]));
    out.bow = std::max(out.bow, most);
    out.slope = std::max(out.slope, std::abs(points_[j].y() - points_[i].y()) / h + most * h / 2);
    out.r = std::max(out.r, std::max(points_[i].y(), points_[j].y()) + most * h * h / 8);
  }
  return out;
}

PolarOutline PolarOutline::mirrored() const {
  std::vector<Vec2> out;
  for (auto p = points_.rbegin(); p != points_.rend(); ++p) out.emplace_back(2 * base::kPi - p->x(), p->y());
  // keep angles rising within one turn from the smallest
  for (Vec2& p : out) {
    if (p.x() >= 2 * base::kPi) p.x() -= 2 * base::kPi;
  }
  std::sort(out.begin(), out.end(), [](const Vec2& p, const Vec2& q) { return p.x() < q.x(); });
  return PolarOutline(out);
}

PolarOutline PolarOutline::grown(double amount) const {
  std::vector<Vec2> out = points_;
  for (Vec2& p : out) p.y() += amount;
  return PolarOutline(out);
}

// ---- profile
// ----------------------------------------------------------------------------------------------------

namespace {

/// Slopes of a monotone piecewise cubic through (s, y). [memory: Fritsch and Butland 1984, as in PCHIP]
std::vector<double> monotone_slopes(const std::vector<double>& s, const std::vector<double>& y) {
  const std::size_t n = s.size();
  std::vector<double> slope(n, 0.0), h(n), d(n);
  if (n == 1) return slope;
  for (std::size_t i = 0; i + 1 < n; ++i) {
    h[i] = s[i + 1] - s[i];
    d[i] = (y[i + 1] - y[i]) / h[i];
  }
  if (n == 2) {
    slope[0] = slope[1] = d[0];
    return slope;
  }
  for (std::size_t i = 1; i + 1 < n; ++i) {
    if (d[i - 1] * d[i] <= 0) continue;
    const double w1 = 2 * h[i] + h[i - 1], w2 = h[i] + 2 * h[i - 1];
    slope[i] = (w1 + w2) / (w1 / d[i - 1] + w2 / d[i]);
  }
  const auto end = [](double h0, double h1, double d0, double d1) {
    double m = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if (m * d0 <= 0) return 0.0;
    if (d0 * d1 <= 0 && std::abs(m) > 3 * std::abs(d0)) m = 3 * d0;
    return m;
  };
  slope[0] = end(h[0], h[1], d[0], d[1]);
  slope[n - 1] = end(h[n - 2], h[n - 3], d[n - 2], d[n - 3]);
  return slope;
}

}  // namespace

Profile::Profile(std::vector<Station> stations) : stations_(std::move(stations)) {
  base::check(!stations_.empty(), "a profile needs a station");
  const std::size_t n = stations_.size();
  std::vector<double> s(n), w(n), d(n), t(n);
  for (std::size_t i = 0; i < n; ++i) {
    Station& st = stations_[i];
    measured_ = measured_ || st.outline;
    if (st.outline) {
      st.width = st.outline->at(0).r + st.outline->at(base::kPi).r;
      st.depth = st.outline->at(base::kPi / 2).r + st.outline->at(-base::kPi / 2).r;
    }
    s[i] = st.s, w[i] = st.width / 2, d[i] = st.depth / 2, t[i] = st.wall;
  }
  const auto mw = monotone_slopes(s, w), md = monotone_slopes(s, d), mt = monotone_slopes(s, t);
  for (std::size_t i = 0; i < n; ++i) slopes_.push_back({mw[i], md[i], mt[i]});
  spans_.push_back({s[0], s[0], {{{w[0], 0, 0, 0}, {d[0], 0, 0, 0}}}});
  for (std::size_t i = 0; i + 1 < n; ++i) {
    const double h = s[i + 1] - s[i];
    const auto cubic = [&](const std::vector<double>& y,
                           const std::vector<double>& m) -> std::array<double, 4> {
      const double chord = (y[i + 1] - y[i]) / h;
      return {y[i], m[i], (3 * chord - 2 * m[i] - m[i + 1]) / h, (m[i] + m[i + 1] - 2 * chord) / (h * h)};
    };
    spans_.push_back({s[i], s[i + 1], {cubic(w, mw), cubic(d, md)}});
  }
  if (n > 1) spans_.push_back({s[n - 1], INFINITY, {{{w[n - 1], 0, 0, 0}, {d[n - 1], 0, 0, 0}}}});
}

Profile::Blend Profile::blend(double s) const {
  Blend q;
  const std::size_t n = stations_.size();
  if (n == 1 || s <= stations_.front().s) return q;
  if (s >= stations_.back().s) {
    q.i = n - 1;
    return q;
  }
  while (q.i + 2 < n && s >= stations_[q.i + 1].s) ++q.i;
  q.inside = true;
  q.h = stations_[q.i + 1].s - stations_[q.i].s;
  const double x = (s - stations_[q.i].s) / q.h, y = 1 - x;
  q.w1 = x * x * (3 - 2 * x);
  q.w0 = 1 - q.w1;
  q.m0 = q.h * x * y * y;
  q.m1 = -q.h * x * x * y;
  q.dw1 = 6 * x * y / q.h;
  q.dw0 = -q.dw1;
  q.dm0 = y * (1 - 3 * x);
  q.dm1 = x * (3 * x - 2);
  return q;
}

Radius Profile::measured_at(const Vec2& e, double s) const {
  const double u = std::atan2(e.y(), e.x());
  const auto station = [&](std::size_t i) -> PolarOutline::Value {
    const Station& st = stations_[i];
    if (st.outline) return st.outline->at(u);
    const double ia = 4 / (st.width * st.width), ib = 4 / (st.depth * st.depth);
    const double r = 1 / std::sqrt(e.x() * e.x() * ia + e.y() * e.y() * ib);
    return {r, r * r * r * e.x() * e.y() * (ia - ib)};
  };
  const Blend q = blend(s);
  if (!q.inside) {
    const auto v = station(q.i);
    return {v.r, v.ru, 0};
  }
  // slopes by three points, linear in the radii, so that r and ru blend alike
  const std::size_t n = stations_.size();
  const auto slope = [&](std::size_t i) -> PolarOutline::Value {
    const auto chord = [&](std::size_t k) -> PolarOutline::Value {
      const double h = stations_[k + 1].s - stations_[k].s;
      const auto v0 = station(k), v1 = station(k + 1);
      return {(v1.r - v0.r) / h, (v1.ru - v0.ru) / h};
    };
    if (i == 0) return chord(0);
    if (i + 1 == n) return chord(n - 2);
    const double h0 = stations_[i].s - stations_[i - 1].s, h1 = stations_[i + 1].s - stations_[i].s;
    const auto d0 = chord(i - 1), d1 = chord(i);
    return {(h1 * d0.r + h0 * d1.r) / (h0 + h1), (h1 * d0.ru + h0 * d1.ru) / (h0 + h1)};
  };
  const auto v0 = station(q.i), v1 = station(q.i + 1);
  const auto k0 = slope(q.i), k1 = slope(q.i + 1);
  return {q.w0 * v0.r + q.w1 * v1.r + q.m0 * k0.r + q.m1 * k1.r,
          q.w0 * v0.ru + q.w1 * v1.ru + q.m0 * k0.ru + q.m1 * k1.ru,
          q.dw0 * v0.r + q.dw1 * v1.r + q.dm0 * k0.r + q.dm1 * k1.r};
}

double Profile::width(double s) const {
  return at({1, 0}, s).r + at({-1, 0}, s).r;
}
double Profile::depth(double s) const {
  return at({0, 1}, s).r + at({0, -1}, s).r;
}

double Profile::wall(double s) const {
  const Blend q = blend(s);
  if (!q.inside) return stations_[q.i].wall;
  return q.w0 * stations_[q.i].wall + q.w1 * stations_[q.i + 1].wall + q.m0 * slopes_[q.i][2] +
         q.m1 * slopes_[q.i + 1][2];
}

OutlineKind Profile::kind(double s) const {
  if (measured_) return OutlineKind::measured;
  return std::abs(width(s) - depth(s)) < 1e-9 ? OutlineKind::round : OutlineKind::ellipse;
}

double Profile::max_radius() const {
  double r = 0;
  for (const Station& st : stations_) {
    r = std::max({r, st.width / 2, st.depth / 2});
    if (st.outline) {
      for (const Vec2& p : st.outline->points()) r = std::max(r, p.y());
    }
  }
  return r;
}

bool Profile::ruled(double s0, double s1) const {
  if (stations_.size() == 1) return true;
  if (measured_) return false;
  const std::size_t i = span_at(s0);
  if (i != span_at(s1)) return false;
  const auto straight = [](const std::array<double, 4>& y) {
    return std::abs(y[2]) < 1e-12 && std::abs(y[3]) < 1e-14;
  };
  return straight(spans_[i].half[0]) && straight(spans_[i].half[1]);
}

Profile Profile::grown(double amount) const {
  std::vector<Station> out = stations_;
  for (Station& st : out) {
    st.width += 2 * amount;
    st.depth += 2 * amount;
    if (st.outline) st.outline = std::make_shared<PolarOutline>(st.outline->grown(amount));
  }
  return Profile(std::move(out));
}

Profile Profile::inner() const {
  std::vector<Station> out = stations_;
  for (Station& st : out) {
    st.width -= 2 * st.wall;
    st.depth -= 2 * st.wall;
    if (st.outline) st.outline = std::make_shared<PolarOutline>(st.outline->grown(-st.wall));
    st.wall = 0;
  }
  return Profile(std::move(out));
}

Profile Profile::mirrored() const {
  std::vector<Station> out = stations_;
  for (Station& st : out) {
    if (st.outline) st.outline = std::make_shared<PolarOutline>(st.outline->mirrored());
  }
  return Profile(std::move(out));
}

Profile Profile::reversed(double length) const {
  std::vector<Station> out = mirrored().stations_;
  for (Station& st : out) st.s = length - st.s;
  std::reverse(out.begin(), out.end());
  return Profile(std::move(out));
}

}  // namespace halfround::shape
