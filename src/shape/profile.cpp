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

/// Slopes linear in y, by the parabola through three stations: what measured radii go by, so that a wall read
/// beside them leaves radii that go alike.
std::vector<double> parabola_slopes(const std::vector<double>& s, const std::vector<double>& y) {
  const std::size_t n = s.size();
  const auto chord = [&](std::size_t k) { return (y[k + 1] - y[k]) / (s[k + 1] - s[k]); };
  std::vector<double> slope(n, chord(0));
  slope[n - 1] = chord(n - 2);
  for (std::size_t i = 1; i + 1 < n; ++i) {
    const double h0 = s[i] - s[i - 1], h1 = s[i + 1] - s[i];
    slope[i] = (h1 * chord(i - 1) + h0 * chord(i)) / (h0 + h1);
  }
  return slope;
}

/// The same curve walked the other way over a stretch of h.
std::array<double, 4> turned(const std::array<double, 4>& c, double h) {
  return {c[0] + h * (c[1] + h * (c[2] + h * c[3])), -(c[1] + h * (2 * c[2] + h * 3 * c[3])),
          c[2] + 3 * h * c[3], -c[3]};
}

}  // namespace

Profile::Profile(std::vector<Station> stations) : stations_(std::move(stations)) {
  base::check(!stations_.empty(), "a profile needs a station");
  for (Station& st : stations_) {
    if (!st.outline) continue;
    measured_ = true;
    st.width = st.outline->at(0).r + st.outline->at(base::kPi).r;
    st.depth = st.outline->at(base::kPi / 2).r + st.outline->at(-base::kPi / 2).r;
  }
  lay_spans();
}

void Profile::lay_spans() {
  const std::size_t n = stations_.size();
  const auto flat = [&](const Station& st, double start, double end) {
    spans_.push_back({start, end, {{{st.width / 2, 0, 0, 0}, {st.depth / 2, 0, 0, 0}}}, {st.wall, 0, 0, 0}});
  };
  flat(stations_[0], stations_[0].s, stations_[0].s);
  for (std::size_t i = 0; i + 1 < n;) {
    // spans that follow one another smoothly are laid together
    std::size_t last = i + 1;
    while (smooth(i) && smooth(last)) ++last;
    std::vector<double> s, w, d, t;
    for (std::size_t k = i; k <= last; ++k) {
      const Station& st = stations_[k];
      s.push_back(st.s), w.push_back(st.width / 2), d.push_back(st.depth / 2), t.push_back(st.wall);
    }
    const auto mw = monotone_slopes(s, w), md = monotone_slopes(s, d),
               mt = measured_ ? parabola_slopes(s, t) : monotone_slopes(s, t);
    for (std::size_t k = 0; k + 1 < s.size(); ++k) {
      const double h = s[k + 1] - s[k];
      const auto cubic = [&](const std::vector<double>& y, const std::vector<double>& m) -> Cubic {
        const double chord = (y[k + 1] - y[k]) / h;
        if (s.size() == 2) return {y[k], chord, 0, 0};
        return {y[k], m[k], (3 * chord - 2 * m[k] - m[k + 1]) / h, (m[k] + m[k + 1] - 2 * chord) / (h * h)};
      };
      spans_.push_back({s[k], s[k + 1], {cubic(w, mw), cubic(d, md)}, cubic(t, mt)});
    }
    i = last;
  }
  if (n > 1) flat(stations_[n - 1], stations_[n - 1].s, INFINITY);
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
  if (!smooth(q.i)) {
    q.w0 = y, q.w1 = x, q.dw1 = 1 / q.h, q.dw0 = -q.dw1;
    return q;
  }
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
  const auto v0 = station(q.i), v1 = station(q.i + 1);
  if (!smooth(q.i)) return {q.w0 * v0.r + q.w1 * v1.r, q.w0 * v0.ru + q.w1 * v1.ru, (v1.r - v0.r) / q.h};
  // slopes by three points, linear in the radii, so that r and ru blend alike
  const auto slope = [&](std::size_t i) -> PolarOutline::Value {
    const auto chord = [&](std::size_t k) -> PolarOutline::Value {
      const double h = stations_[k + 1].s - stations_[k].s;
      const auto c0 = station(k), c1 = station(k + 1);
      return {(c1.r - c0.r) / h, (c1.ru - c0.ru) / h};
    };
    if (i == 0 || !smooth(i - 1)) return chord(i);
    if (!smooth(i)) return chord(i - 1);
    const double h0 = stations_[i].s - stations_[i - 1].s, h1 = stations_[i + 1].s - stations_[i].s;
    const auto d0 = chord(i - 1), d1 = chord(i);
    return {(h1 * d0.r + h0 * d1.r) / (h0 + h1), (h1 * d0.ru + h0 * d1.ru) / (h0 + h1)};
  };
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
  const Span& q = spans_[span_at(s)];
  const double x = s - q.start;
  return q.wall[0] + x * (q.wall[1] + x * (q.wall[2] + x * q.wall[3]));
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
  Profile out = *this;
  for (Station& st : out.stations_) {
    st.width += 2 * amount, st.depth += 2 * amount;
    if (st.outline) st.outline = std::make_shared<PolarOutline>(st.outline->grown(amount));
  }
  for (Span& q : out.spans_) {
    for (Cubic& half : q.half) half[0] += amount;
  }
  return out;
}

Profile Profile::inner() const {
  Profile out = *this;
  for (Station& st : out.stations_) {
    st.width -= 2 * st.wall, st.depth -= 2 * st.wall;
    if (st.outline) st.outline = std::make_shared<PolarOutline>(st.outline->grown(-st.wall));
    st.wall = 0;
  }
  for (Span& q : out.spans_) {
    for (Cubic& half : q.half) {
      for (std::size_t i = 0; i < half.size(); ++i) half[i] -= q.wall[i];
    }
    q.wall = {};
  }
  return out;
}

Profile Profile::mirrored() const {
  Profile out = *this;
  for (Station& st : out.stations_) {
    if (st.outline) st.outline = std::make_shared<PolarOutline>(st.outline->mirrored());
  }
  return out;
}

Profile Profile::reversed(double length) const {
  Profile out = mirrored();
  std::reverse(out.stations_.begin(), out.stations_.end());
  for (std::size_t i = 0; i < out.stations_.size(); ++i) {
    Station& st = out.stations_[i];
    st.s = length - st.s;
    // what ran from here to the next station ran from the next one to here
    st.smooth = i + 1 < stations_.size() && smooth(stations_.size() - 2 - i);
  }
  if (stations_.size() == 1) {
    out.spans_[0].start = out.spans_[0].end = length - out.spans_[0].start;
    return out;
  }
  std::reverse(out.spans_.begin(), out.spans_.end());
  for (Span& q : out.spans_) {
    const double start = q.start, end = q.end;
    if (std::isinf(end) || start == end) continue;
    for (Cubic* c : {&q.half[0], &q.half[1], &q.wall}) *c = turned(*c, end - start);
    q.start = length - end, q.end = length - start;
  }
  out.spans_.front().start = out.spans_.front().end = out.stations_.front().s;
  out.spans_.back().start = out.stations_.back().s, out.spans_.back().end = INFINITY;
  return out;
}

}  // namespace halfround::shape
