#include "trace/shapes.h"

#include <fmt/format.h>

#include <Eigen/Eigenvalues>
#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "trace/mend.h"

namespace halfround::trace {
namespace {

using base::fixed;
using base::Problem;
using base::Result;

constexpr std::size_t kShown = 3000;    // raw points in the picture
constexpr int kSectionPoints = 48;      // round a section
constexpr std::size_t kMostRows = 120;  // of a middle line; the job takes 200
constexpr double kRowOff = 0.02;        // mm a middle line's chords may leave it by [our own]
constexpr int kTyreRows = 24;

std::string number(double v) {
  std::string text = fixed(v, 2);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}
std::string row(const Vec2& p) {
  return "[" + number(p.x()) + ", " + number(p.y()) + "]";
}

struct Size {
  const char* what;  ///< "a blade's section is"
  double least, most;
};
Size size_of(Kind kind) {
  if (kind == Kind::blade_section) return {"A blade's section is from 6 to 90 mm across", 6, 90};
  if (kind == Kind::blade_centreline) return {"A blade is from 80 to 900 mm long", 80, 900};
  return {"A tyre's drawing is from 12 to 160 mm across", 12, 160};
}

std::string in_words(double mm) {
  return mm >= 1000 ? fixed(mm / 1000, 1) + " m" : fixed(mm, mm < 10 ? 2 : 0) + " mm";
}

/// Too large or small for what it should be, and which unit would do.
std::optional<Problem> wrong_size(Kind kind, const Curve& c, double unit, const std::string& file) {
  double extent = 0;
  if (kind == Kind::blade_centreline) {
    extent = (c.points.back() - c.points.front()).norm();
  } else {
    Vec2 low = c.points[0], high = low;
    for (const Vec2& p : c.points) low = low.cwiseMin(p), high = high.cwiseMax(p);
    extent = (high - low).maxCoeff();
  }
  const Size size = size_of(kind);
  if (extent >= size.least && extent <= size.most) return std::nullopt;
  std::string fits;
  for (const auto& [name, mm] :
       {std::pair<const char*, double>{"mm", 1}, {"in", 25.4}, {"cm", 10}, {"m", 1000}}) {
    const double then = extent / unit * mm;
    if (then >= size.least && then <= size.most)
      fits += fmt::format("{} it would be {} with --units {}", fits.empty() ? "" : ",", in_words(then), name);
  }
  return Problem{"trace-size",
                 {file, c.lines.front(), 0, c.name},
                 fmt::format("The curve would be {} {}.", in_words(extent),
                             kind == Kind::blade_centreline ? "long" : "across"),
                 std::string(size.what) + (fits.empty() ? "; is it the right curve?" : ";" + fits + ".")};
}

Result<Curve> chosen(Drawing& drawing, const Wish& wish, const std::string& file, Understood& out) {
  std::size_t best = 0;
  double longest = -1;
  for (std::size_t i = 0; i < drawing.curves.size(); ++i) {
    const double length = length_along(drawing.curves[i].points);
    if (length > longest * (1 + 1e-9)) best = i, longest = length;
  }
  if (wish.curve > drawing.curves.size())
    return tl::unexpected(Problem{"trace-curve",
                                  {file, 0, 0, ""},
                                  fmt::format("There is no curve {}.", wish.curve),
                                  fmt::format("The file has {}.", drawing.curves.size())});
  if (wish.curve > 0) best = wish.curve - 1;
  if (drawing.curves.size() > 1)
    out.notes.push_back(fmt::format("Curve {} of {} was taken{}; --curve N takes another.", best + 1,
                                    drawing.curves.size(), wish.curve > 0 ? "" : ", the longest"));
  return std::move(drawing.curves[best]);
}

void to_mm(Curve& c, const Wish& wish, double unit) {
  const Eigen::Rotation2Dd turn(wish.turn);
  for (Vec2& p : c.points) {
    p = turn * Vec2(unit * p);
    if (wish.flip) p.x() = -p.x();
  }
}

std::vector<Vec2> thinned(const std::vector<Vec2>& points) {
  const std::size_t step = points.size() / kShown + 1;
  std::vector<Vec2> out;
  for (std::size_t i = 0; i < points.size(); i += step) out.push_back(points[i]);
  return out;
}

Problem folded(const std::string& file, int line, const std::string& what, const std::string& fits) {
  return {"trace-folded", {file, line, 0, ""}, what, fits};
}

/// Middle of a closed polygon's area.
Vec2 middle_of(const std::vector<Vec2>& p) {
  double area = 0;
  Vec2 sum = Vec2::Zero();
  for (std::size_t i = 0; i < p.size(); ++i) {
    const Vec2 a = p[i] - p[0], b = p[(i + 1) % p.size()] - p[0];
    const double w = a.x() * b.y() - a.y() * b.x();
    area += w, sum += w * (a + b) / 3;
  }
  return std::abs(area) > 1e-9 ? Vec2(p[0] + sum / area) : p[0];
}

std::optional<Problem> section(Mended& m, const std::string& file, Understood& out) {
  const Vec2 middle = middle_of(m.points);
  const std::size_t n = m.points.size();
  const auto at = [&](std::size_t i) { return Vec2(m.points[i % n] - middle); };
  double turned = 0;
  int sign = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 a = at(i), b = at(i + 1);
    const double by = std::atan2(a.x() * b.y() - a.y() * b.x(), a.dot(b));
    turned += by;
    if (std::abs(by) < 1e-6) continue;
    const int now = by > 0 ? 1 : -1;
    if (sign != 0 && now != sign)
      return folded(file, m.lines[i], "Seen from its middle the section turns back here.",
                    "A section is told by its distance from its middle: each direction can have one only. "
                    "Smooth more (--smooth)?");
    sign = now;
  }
  if (std::abs(std::abs(turned) - 2 * base::kPi) > 0.01)
    return folded(file, m.lines[0], "The curve does not go once round its middle.",
                  "Trace the section once round.");
  for (int k = 0; k < kSectionPoints; ++k) {
    const Vec2 e = base::unit_at(2 * base::kPi * k / kSectionPoints);
    for (std::size_t i = 0; i < n; ++i) {
      const Vec2 a = at(i), d = at(i + 1) - a;
      const double det = e.x() * d.y() - e.y() * d.x();
      if (std::abs(det) < 1e-12) continue;
      const double t = -(e.x() * a.y() - e.y() * a.x()) / det, r = (a.x() * d.y() - a.y() * d.x()) / det;
      if (t < -1e-9 || t > 1 + 1e-9 || r <= 0) continue;
      out.picked.emplace_back(r * e);
      break;
    }
  }
  for (const Vec2& p : m.points) out.shape.push_back(p - middle);
  for (Vec2& p : out.raw) p -= middle;
  Vec2 low = out.shape[0], high = low;
  for (const Vec2& p : out.shape) low = low.cwiseMin(p), high = high.cwiseMax(p);
  out.closed = true, out.right = "outward", out.up = "rearward";
  out.notes.push_back(
      fmt::format("{} mm outward by {} mm rearward; the drawing's right is taken as outward, its top as "
                  "rearward (--turn, --flip).",
                  number(high.x() - low.x()), number(high.y() - low.y())));
  out.toml +=
      "# set `at` (from the tip) and the wall; a job wants two stations at least\n[blades]\nstations = [\n  "
      "{at = 0, outline = [\n";
  for (std::size_t i = 0; i < out.picked.size(); ++i)
    out.toml += (i % 6 == 0 ? "    " : " ") + row(out.picked[i]) +
                (i % 6 == 5 || i + 1 == out.picked.size() ? ",\n" : ",");
  out.toml += "  ]},\n]\n";
  return std::nullopt;
}

/// Direction of the straightest line through points, from the first toward the last.
Vec2 direction_of(const std::vector<Vec2>& p) {
  Vec2 mean = Vec2::Zero();
  for (const Vec2& q : p) mean += q;
  mean /= static_cast<double>(p.size());
  Eigen::Matrix2d C = Eigen::Matrix2d::Zero();
  for (const Vec2& q : p) C += (q - mean) * (q - mean).transpose();
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> solver(C);
  const Vec2 d = solver.eigenvectors().col(1);
  return d.dot(p.back() - p.front()) < 0 ? Vec2(-d) : d;
}

std::optional<Problem> centreline(Mended& m, const Wish& wish, const std::string& file, Understood& out) {
  if (wish.reverse) std::ranges::reverse(m.points), std::ranges::reverse(m.lines);
  // the run that gives the direction: the lower 30 % seen from the front, the upper 30 % seen from the side
  const double all = length_along(m.points);
  std::vector<Vec2> run;
  double way = 0;
  const bool front = wish.seen == SeenFrom::front;
  for (std::size_t i = 0; i < m.points.size(); ++i) {
    if (i > 0) way += (m.points[i] - m.points[i - 1]).norm();
    if (front ? way <= 0.3 * all : way >= 0.7 * all) run.push_back(m.points[i]);
  }
  if (run.size() < 2) run = {m.points.front(), m.points.back()};
  const Vec2 along = direction_of(run), tip = m.points.front();
  Vec2 side(-along.y(), along.x());
  // bent inward at the top; raked forward at the tip, so that the top stands behind it
  const double far = (m.points.back() - tip).dot(side);
  if (front ? far < 0 : far > 0) side = -side;
  if (wish.flip) side = -side;
  const auto seen = [&](const Vec2& p) { return Vec2((p - tip).dot(along), (p - tip).dot(side)); };
  for (const Vec2& p : m.points) out.shape.push_back(seen(p));
  for (Vec2& p : out.raw) p = seen(p);
  for (std::size_t i = 1; i < out.shape.size(); ++i) {
    if (out.shape[i].x() <= out.shape[i - 1].x())
      return folded(file, m.lines[i], "The middle line turns back toward the tip here.",
                    "Each point of a blade's middle line stands farther along than the one before; give the "
                    "bend as a piece instead.");
  }
  double off = kRowOff;
  std::vector<std::size_t> keep = needed(out.shape, off);
  while (keep.size() > kMostRows) off *= 1.5, keep = needed(out.shape, off);
  for (const std::size_t i : keep) out.picked.push_back(out.shape[i]);
  out.right = "along", out.up = front ? "inward" : "forward";
  out.notes.push_back(
      fmt::format("{} mm along its middle line, {} points; straight between them it would stay within {} mm.",
                  number(all), keep.size(), number(off)));
  out.notes.emplace_back(
      front ? "Taken as seen from the front: the first point is the tip, the lowest 30 % "
              "give the line along, the "
              "top bends inward (--seen side, --reverse, --flip)."
            : "Taken as seen from the side: the first point is the tip, the upper 30 % stand "
              "upright, the tip stands "
              "ahead (--seen front, --reverse, --flip).");
  out.toml += fmt::format("# [along, inward, forward]; only {} was seen\n[blades]\ntraced = [\n",
                          front ? "inward" : "forward");
  for (const Vec2& p : out.picked)
    out.toml += front ? fmt::format("  [{}, {}, 0],\n", number(p.x()), number(p.y()))
                      : fmt::format("  [{}, 0, {}],\n", number(p.x()), number(p.y()));
  out.toml += "]\n";
  return std::nullopt;
}

/// Where a level line meets an open or closed polyline: least and greatest x.
std::optional<Vec2> reach_at(const std::vector<Vec2>& p, bool closed, double y) {
  Vec2 reach(INFINITY, -INFINITY);
  for (std::size_t i = 0; i + (closed ? 0 : 1) < p.size(); ++i) {
    const Vec2 &a = p[i], &b = p[(i + 1) % p.size()];
    if ((a.y() > y && b.y() > y) || (a.y() < y && b.y() < y)) continue;
    const double t = a.y() == b.y() ? 0 : (y - a.y()) / (b.y() - a.y());
    for (const double x : {a.x() + t * (b.x() - a.x()), a.y() == b.y() ? b.x() : a.x() + t * (b.x() - a.x())})
      reach = {std::min(reach.x(), x), std::max(reach.y(), x)};
  }
  if (reach.x() > reach.y()) return std::nullopt;
  return reach;
}

std::optional<Problem> tyre(Mended& m, const std::string& file, Understood& out) {
  std::size_t top = 0;
  Vec2 low = m.points[0], high = low;
  for (std::size_t i = 0; i < m.points.size(); ++i) {
    if (m.points[i].y() > m.points[top].y()) top = i;
    low = low.cwiseMin(m.points[i]), high = high.cwiseMax(m.points[i]);
  }
  const double left = m.points[top].x() - low.x(), right = high.x() - m.points[top].x();
  const bool whole = std::min(left, right) > 0.25 * std::max(left, right);
  double foot = low.y();
  if (whole && !m.closed) foot = std::max(m.points.front().y(), m.points.back().y());
  const double depth = high.y() - foot;
  if (depth < 3)
    return folded(file, m.lines[top],
                  fmt::format("The profile reaches only {} mm down from its top.", number(depth)),
                  "Draw it with the tread at the top and the rim below (--turn).");
  const double axis = m.points[top].x();
  double lopsided = 0;
  out.picked.emplace_back(0, 0);
  for (int k = 1; k <= kTyreRows; ++k) {
    const double below = depth * k * k / (kTyreRows * kTyreRows) * (k == kTyreRows ? 1 - 1e-9 : 1);
    const auto reach = reach_at(m.points, m.closed, high.y() - below);
    if (!reach) continue;
    const double half =
        whole ? 0.5 * (reach->y() - reach->x()) : std::max(axis - reach->x(), reach->y() - axis);
    if (whole) lopsided = std::max(lopsided, std::abs(0.5 * (reach->x() + reach->y()) - axis));
    if (below - out.picked.back().y() >= 0.1) out.picked.emplace_back(half, below);
  }
  if (out.picked.size() < 4)
    return folded(file, m.lines[top], "Too little of a tyre's side is there.",
                  "Draw it from the top of the tread down to the rim.");
  const auto seen = [&](const Vec2& p) {
    const double x = p.x() - axis;
    return Vec2(!whole && left > right ? -x : x, p.y() - high.y());
  };
  for (const Vec2& p : m.points) out.shape.push_back(seen(p));
  for (Vec2& p : out.raw) p = seen(p);
  out.closed = m.closed, out.right = "half width", out.up = "toward the tread";
  out.notes.push_back(
      whole ? fmt::format("Both sides were drawn: half of the width at each height is taken; "
                          "the middle wanders by {} mm.",
                          number(lopsided))
            : fmt::format("One side was drawn; the highest point is taken as the middle of the tread."));
  double widest = 0;
  for (const Vec2& p : out.picked) widest = std::max(widest, p.x());
  out.notes.push_back(fmt::format("{} mm wide, {} mm deep.", number(2 * widest), number(depth)));
  out.toml +=
      "# outside_diameter has to be measured on the wheel\n[wheel.tyre]\nhalf_profile = [   # half width, "
      "below the top of the tread\n";
  for (const Vec2& p : out.picked) out.toml += "  " + row(p) + ",\n";
  out.toml += "]\n";
  for (Vec2& p : out.picked) p.y() = -p.y();  // as the picture has it
  return std::nullopt;
}

/// No more than printable ASCII of a file's name goes into a remark.
std::string plain(const std::string& name) {
  std::string out;
  for (const char c : name.substr(name.rfind('/') == std::string::npos ? 0 : name.rfind('/') + 1))
    out += c >= 0x20 && c < 0x7f ? c : '?';
  return out;
}

}  // namespace

Result<Understood> understand(std::string_view text, const std::string& file, const Wish& wish) {
  auto drawing = read_drawing(text, file);
  if (!drawing) return tl::unexpected(std::move(drawing.error()));
  Understood out;
  out.kind = wish.kind;
  auto curve = chosen(*drawing, wish, file, out);
  if (!curve) return tl::unexpected(std::move(curve.error()));
  if (!wish.unit && !drawing->unit)
    return tl::unexpected(Problem{"trace-unit",
                                  {file, 0, 0, ""},
                                  drawing->unit_said.empty()
                                      ? "The file does not say its unit."
                                      : "The file does not say its unit (" + drawing->unit_said + ").",
                                  "Give it: --units mm, --units in, --units cm."});
  const double unit = wish.unit ? *wish.unit : *drawing->unit;
  out.notes.insert(
      out.notes.begin(),
      wish.unit
          ? fmt::format("Unit: {} mm, as asked{}.", number(unit),
                        drawing->unit ? fmt::format(" (the file itself says {})", drawing->unit_said) : "")
          : fmt::format("Unit: {} mm, for {}.", base::fixed(unit, 4), drawing->unit_said));
  for (const std::string& l : drawing->left_out) out.notes.push_back(fmt::format("Not read: {}.", l));
  to_mm(*curve, wish, unit);
  if (auto problem = wrong_size(wish.kind, *curve, unit, file)) return tl::unexpected(std::move(*problem));
  const bool want_closed = wish.kind == Kind::blade_section || (wish.kind == Kind::tyre && curve->closed);
  auto mended = mend(*curve, file, {.smooth = wish.smooth, .closed = want_closed});
  if (!mended) return tl::unexpected(std::move(mended.error()));
  out.raw = thinned(curve->points);
  std::string points = fmt::format("{} points read", mended->raw);
  if (mended->gathered > 0)
    points += fmt::format(", gathered into {}: none of them lies farther than {} mm from these",
                          mended->points.size(), base::fixed(mended->gathered, 3));
  out.notes.push_back(points +
                      fmt::format("; smoothed by a cubic spline that moves no point by more than {} mm.",
                                  base::fixed(mended->displaced, 3)));
  if (mended->gap > 0.05) out.notes.push_back(fmt::format("A gap of {} mm was closed.", number(mended->gap)));
  out.toml = "# traced: " + plain(file) + "\n";
  const auto problem = wish.kind == Kind::blade_section      ? section(*mended, file, out)
                       : wish.kind == Kind::blade_centreline ? centreline(*mended, wish, file, out)
                                                             : tyre(*mended, file, out);
  if (problem) return tl::unexpected(*problem);
  return out;
}

}  // namespace halfround::trace
