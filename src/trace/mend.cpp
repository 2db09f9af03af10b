#include "trace/mend.h"

#include <fmt/format.h>

#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/number.h"

namespace halfround::trace {
namespace {

using base::fixed;
using base::Problem;
using base::Result;
using Matrix = Eigen::MatrixX2d;
using Sparse = Eigen::SparseMatrix<double>;

constexpr double kNoises =
    2.5;  // standard deviations a point may be moved by: pencils don't stray farther [our own]
constexpr double kLoop = 1;      // mm round; a smaller loop is a shaky hand, no crossing [our own]
constexpr double kApart = 1e-4;  // mm; nearer points are one

double cross(const Vec2& a, const Vec2& b) {
  return a.x() * b.y() - a.y() * b.x();
}

double from_segment(const Vec2& p, const Vec2& a, const Vec2& b) {
  const Vec2 d = b - a;
  const double l2 = d.squaredNorm();
  const double t = l2 > 0 ? std::clamp((p - a).dot(d) / l2, 0.0, 1.0) : 0;
  return (p - a - t * d).norm();
}

/// Neighbours in the same place count once.
void drop_repeated(Mended& m) {
  std::size_t n = 0;
  for (std::size_t i = 0; i < m.points.size(); ++i) {
    if (n > 0 && (m.points[i] - m.points[n - 1]).norm() < kApart) continue;
    m.points[n] = m.points[i], m.lines[n] = m.lines[i], ++n;
  }
  m.points.resize(n), m.lines.resize(n);
}

/// Means of neighbouring points over equal stretches of the way.
void gather(Mended& m) {
  if (m.points.size() <= kKept) return;
  const std::vector<Vec2> raw = std::move(m.points);
  const std::vector<int> lines = std::move(m.lines);
  m.points.clear(), m.lines.clear();
  const double step = length_along(raw) / static_cast<double>(kKept);
  std::vector<std::size_t> bin_of(raw.size());  // where each one's mean stands
  double way = 0;
  for (std::size_t i = 0; i < raw.size();) {
    const std::size_t first = i;
    const double until = (std::floor(way / step) + 1) * step;
    Vec2 sum = Vec2::Zero();
    do {
      sum += raw[i], bin_of[i] = m.points.size();
      if (++i < raw.size()) way += (raw[i] - raw[i - 1]).norm();
    } while (i < raw.size() && way < until);
    if (i == raw.size() && 2 * (i - first) * kKept < raw.size() && !m.points.empty()) {
      // a last handful alone would be one shaky point
      std::fill(bin_of.begin() + static_cast<std::ptrdiff_t>(first), bin_of.end(), m.points.size() - 1);
      break;
    }
    m.points.emplace_back(sum / static_cast<double>(i - first)), m.lines.push_back(lines[first]);
  }
  for (std::size_t i = 0; i < raw.size(); ++i) {
    double best = (raw[i] - m.points[bin_of[i]]).norm();
    const std::size_t k = bin_of[i];
    if (k > 0) best = std::min(best, from_segment(raw[i], m.points[k - 1], m.points[k]));
    if (k + 1 < m.points.size()) best = std::min(best, from_segment(raw[i], m.points[k], m.points[k + 1]));
    m.gathered = std::max(m.gathered, best);
  }
}

/// Both matrices of Reinsch's form: Q (n by interior) of second differences, R of their overlaps.
struct Spline {
  Sparse Q, R;
};
Spline spline_of(const std::vector<Vec2>& p, bool closed) {
  const auto n = static_cast<Eigen::Index>(p.size());
  const Eigen::Index first = closed ? 0 : 1, count = closed ? n : n - 2;
  const auto h = [&](Eigen::Index i) {  // from point i to the next
    i = (i + n) % n;
    return (p[static_cast<std::size_t>((i + 1) % n)] - p[static_cast<std::size_t>(i)]).norm();
  };
  std::vector<Eigen::Triplet<double>> q, r;
  for (Eigen::Index k = 0; k < count; ++k) {
    const Eigen::Index j = k + first;
    const double a = h(j - 1), b = h(j);
    q.emplace_back((j - 1 + n) % n, k, 1 / a), q.emplace_back(j, k, -1 / a - 1 / b),
        q.emplace_back((j + 1) % n, k, 1 / b);
    r.emplace_back(k, k, (a + b) / 3);
    const Eigen::Index next = k + 1 < count ? k + 1 : closed ? 0 : -1;
    if (next >= 0) r.emplace_back(k, next, b / 6), r.emplace_back(next, k, b / 6);
  }
  Spline out{Sparse(n, count), Sparse(count, count)};
  out.Q.setFromTriplets(q.begin(), q.end()), out.R.setFromTriplets(r.begin(), r.end());
  return out;
}

/// How far points stand off a smooth curve, from third differences, which a smooth curve hardly has: standard
/// deviation of each coordinate, mm. The median of their squares, so that a corner doesn't count [derived].
double noise_of(const Mended& m) {
  std::vector<double> squares;
  const std::vector<Vec2>& p = m.points;
  for (std::size_t i = 3; i < p.size(); ++i)
    squares.push_back((p[i - 3] - 3 * p[i - 2] + 3 * p[i - 1] - p[i]).squaredNorm());
  const auto middle = squares.begin() + static_cast<std::ptrdiff_t>(squares.size() / 2);
  std::ranges::nth_element(squares, middle);
  return std::sqrt(*middle / (40 * std::numbers::ln2));  // 1 + 9 + 9 + 1 = 20 a coordinate
}

/// The spline whose farthest moved point moves by `most`, found by halving the logarithm of its strength.
void smooth(Mended& m, double most) {
  if (most <= 0) return;
  const auto n = static_cast<Eigen::Index>(m.points.size());
  Matrix y(n, 2);
  for (Eigen::Index i = 0; i < n; ++i) y.row(i) = m.points[static_cast<std::size_t>(i)].transpose();
  const Spline s = spline_of(m.points, m.closed);
  const Sparse QQ = s.Q.transpose() * s.Q;
  const Matrix rhs = s.Q.transpose() * y;
  Eigen::SimplicialLDLT<Sparse> solver;
  solver.analyzePattern(s.R + QQ);
  const auto moved = [&](double strength, Matrix& by) {
    solver.factorize(s.R + strength * QQ);
    if (solver.info() != Eigen::Success) return false;
    by = strength * (s.Q * solver.solve(rhs));
    return by.allFinite();
  };
  Matrix by, best = Matrix::Zero(n, 2);
  double low = -8, high = 9;  // powers of ten, mm^3
  for (int i = 0; i < 24; ++i) {
    const double middle = 0.5 * (low + high);
    if (moved(std::pow(10, middle), by) && by.rowwise().norm().maxCoeff() <= most)
      low = middle, best = by;
    else
      high = middle;
  }
  m.displaced = best.rowwise().norm().maxCoeff();
  for (Eigen::Index i = 0; i < n; ++i) m.points[static_cast<std::size_t>(i)] -= best.row(i).transpose();
}

/// The first two pieces that cross, if any: pieces sorted by their left end, so that far ones never meet.
std::optional<std::pair<std::size_t, std::size_t>> crossing(const Mended& m) {
  const std::size_t n = m.points.size(), pieces = m.closed ? n : n - 1;
  struct Piece {
    double left, right, low, high;
    std::size_t i;
  };
  std::vector<Piece> all;
  for (std::size_t i = 0; i < pieces; ++i) {
    const Vec2 &a = m.points[i], &b = m.points[(i + 1) % n];
    all.push_back(
        {std::min(a.x(), b.x()), std::max(a.x(), b.x()), std::min(a.y(), b.y()), std::max(a.y(), b.y()), i});
  }
  std::ranges::sort(
      all, [](const Piece& a, const Piece& b) { return std::pair(a.left, a.i) < std::pair(b.left, b.i); });
  std::optional<std::pair<std::size_t, std::size_t>> found;
  std::vector<double> way{0};  // along it, up to each point and once round
  for (std::size_t i = 0; i < pieces; ++i)
    way.push_back(way.back() + (m.points[(i + 1) % n] - m.points[i]).norm());
  for (std::size_t k = 0; k < all.size(); ++k) {
    for (std::size_t j = k + 1; j < all.size() && all[j].left <= all[k].right; ++j) {
      if (all[j].low > all[k].high || all[j].high < all[k].low) continue;
      const auto [i1, i2] = std::minmax(all[k].i, all[j].i);
      if (i2 - i1 <= 1 || (m.closed && i1 == 0 && i2 + 1 == pieces)) continue;
      const double loop = way[i2] - way[i1 + 1];
      if (loop < kLoop || (m.closed && way.back() - way[i2 + 1] + way[i1] < kLoop)) continue;
      const Vec2 &a = m.points[i1], &b = m.points[(i1 + 1) % n], &c = m.points[i2],
                 &d = m.points[(i2 + 1) % n];
      if (cross(b - a, c - a) * cross(b - a, d - a) <= 0 && cross(d - c, a - c) * cross(d - c, b - c) <= 0) {
        if (!found || std::pair(i1, i2) < *found) found = {i1, i2};
      }
    }
  }
  return found;
}

}  // namespace

double length_along(const std::vector<Vec2>& points) {
  double sum = 0;
  for (std::size_t i = 1; i < points.size(); ++i) sum += (points[i] - points[i - 1]).norm();
  return sum;
}

Result<Mended> mend(const Curve& curve, const std::string& file, const MendOptions& options) {
  Mended m{
      .points = curve.points, .lines = curve.lines, .closed = options.closed, .raw = curve.points.size()};
  drop_repeated(m);
  const auto where = [&](std::size_t i) { return base::Place{file, m.lines[i], 0, curve.name}; };
  if (m.points.size() < 5)
    return tl::unexpected(
        Problem{"trace-short",
                {file, curve.lines.empty() ? 0 : curve.lines.front(), 0, curve.name},
                fmt::format("The curve has {} points in different places.", m.points.size()),
                "Give five at least; some dozen make a good shape."});
  if (options.closed) {
    m.gap = (m.points.front() - m.points.back()).norm();
    if (m.gap > options.most_gap && !curve.closed)
      return tl::unexpected(
          Problem{"trace-open", where(m.points.size() - 1),
                  fmt::format("The curve is open: its end stands {} mm from its beginning (line {}).",
                              fixed(m.gap, 1), m.lines[0]),
                  fmt::format("A section goes once round; ends up to {} mm apart are joined.",
                              fixed(options.most_gap, 0))});
  }
  gather(m);
  // the end that comes back to the beginning, or a little past it
  const double near = 0.7 * length_along(m.points) / static_cast<double>(m.points.size());
  while (options.closed && m.points.size() > 5 &&
         (m.points.front() - m.points.back()).norm() < std::max(kApart, near))
    m.points.pop_back(), m.lines.pop_back();
  drop_repeated(m);
  if (m.points.size() < 5)
    return tl::unexpected(Problem{"trace-short",
                                  {file, curve.lines.front(), 0, curve.name},
                                  "The curve has fewer than 5 points in different places.",
                                  "Give five at least; some dozen make a good shape."});
  m.noise = noise_of(m);
  smooth(m, std::min(options.smooth, kNoises * m.noise));
  if (const auto x = crossing(m))
    return tl::unexpected(Problem{
        "trace-crosses", where(x->second),
        fmt::format("The curve crosses itself here and at line {}, near {}, {} mm.", m.lines[x->first],
                    fixed(m.points[x->first].x(), 1), fixed(m.points[x->first].y(), 1)),
        "Trace it once along its edge; take out what was drawn twice, or smooth more (--smooth)."});
  return m;
}

std::vector<std::size_t> needed(const std::vector<Vec2>& points, double off) {
  std::vector<char> keep(points.size(), 0);
  keep.front() = keep.back() = 1;
  std::vector<std::pair<std::size_t, std::size_t>> open{{0, points.size() - 1}};
  while (!open.empty()) {
    const auto [a, b] = open.back();
    open.pop_back();
    double most = off;
    std::size_t at = 0;
    for (std::size_t i = a + 1; i < b; ++i) {
      const double d = from_segment(points[i], points[a], points[b]);
      if (d > most) most = d, at = i;
    }
    if (at == 0) continue;
    keep[at] = 1;
    open.emplace_back(a, at), open.emplace_back(at, b);
  }
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < keep.size(); ++i) {
    if (keep[i]) out.push_back(i);
  }
  return out;
}

}  // namespace halfround::trace
