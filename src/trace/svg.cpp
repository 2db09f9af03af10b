// Paths and polylines of an SVG file; its groups' transforms are applied. pugixml stays in here.
#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <pugixml.hpp>

#include "trace/curve.h"

namespace halfround::trace {
namespace {

using base::Problem;
using base::Result;
using Affine = Eigen::Affine2d;

constexpr int kDeepest = 60;                        // groups in groups
constexpr std::size_t kMostElements = 500'000;      // each takes pugixml some hundred bytes
constexpr std::size_t kMostAttributes = 2'000'000;  // and these some forty
constexpr std::size_t kMostName = 60;               // letters of an id

/// Numbers and letters of a path, one after the other.
class Scan {
 public:
  explicit Scan(std::string_view text) : text_(text) {}
  void skip() {
    while (i_ < text_.size() && std::string_view(" ,\t\r\n").find(text_[i_]) != std::string_view::npos) ++i_;
  }
  [[nodiscard]] bool done() {
    skip();
    return i_ >= text_.size();
  }
  std::optional<char> letter() {
    skip();
    if (i_ >= text_.size() ||
        !((text_[i_] >= 'a' && text_[i_] <= 'z') || (text_[i_] >= 'A' && text_[i_] <= 'Z')))
      return std::nullopt;
    return text_[i_++];
  }
  std::optional<double> number() {
    skip();
    std::size_t k = i_;
    const auto digits = [&] {
      while (k < text_.size() && text_[k] >= '0' && text_[k] <= '9') ++k;
    };
    if (k < text_.size() && (text_[k] == '+' || text_[k] == '-')) ++k;
    digits();
    if (k < text_.size() && text_[k] == '.') ++k, digits();
    if (k + 1 < text_.size() && (text_[k] == 'e' || text_[k] == 'E')) {
      const std::size_t before = k++;
      if (text_[k] == '+' || text_[k] == '-') ++k;
      const std::size_t from = k;
      digits();
      if (k == from) k = before;
    }
    const auto v = number_of(text_.substr(i_, k - i_));
    if (v) i_ = k;
    return v;
  }
  /// A flag of an arc may stand without a blank behind it: "01".
  std::optional<double> flag() {
    skip();
    if (i_ >= text_.size() || (text_[i_] != '0' && text_[i_] != '1')) return std::nullopt;
    return text_[i_++] - '0';
  }

 private:
  std::string_view text_;
  std::size_t i_ = 0;
};

class PathReader {
 public:
  PathReader(std::string_view d, std::vector<Curve>& out, Tally& tally)
      : scan_(d), out_(out), tally_(tally) {}

  /// false: the path's letters or numbers are off, or the tally is full
  bool run() {
    char command = 0;
    while (!scan_.done()) {
      if (const auto letter = scan_.letter()) {
        command = *letter;
        if (command == 'Z' || command == 'z') {
          close();
          command = 0;
          continue;
        }
      } else if (command == 0) {
        return false;
      }
      if (!step(command) || tally_.full()) return false;
      if (command == 'M') command = 'L';
      if (command == 'm') command = 'l';
    }
    end();
    return true;
  }

 private:
  void to(const Vec2& p) {
    if (curve_.points.empty()) curve_.points.push_back(at_), tally_.points();
    curve_.points.push_back(p), at_ = p;
    tally_.points();
  }
  void close() {
    if (curve_.points.size() > 1) {
      if (curve_.points.back() != start_) curve_.points.push_back(start_);
      curve_.closed = true;
    }
    end();
    at_ = start_;
  }
  void end() {
    if (curve_.points.size() > 1) out_.push_back(std::move(curve_)), tally_.curve();
    curve_ = {};
  }
  std::optional<Vec2> point(bool relative) {
    const auto x = scan_.number();
    const auto y = x ? scan_.number() : std::nullopt;
    if (!y) return std::nullopt;
    return Vec2((relative ? at_ : Vec2(0, 0)) + Vec2(*x, *y));
  }
  void cubic(const Vec2& a, const Vec2& b, const Vec2& c) {
    const Vec2 p = at_;
    const double bend = std::max((p - 2 * a + b).norm(), (a - 2 * b + c).norm());
    const int n = std::clamp(static_cast<int>(std::ceil(std::sqrt(0.75 * bend / kFlat))), 1, 1000);
    for (int i = 1; i <= n; ++i) {
      const double t = static_cast<double>(i) / n, s = 1 - t;
      to(i == n ? c : Vec2(s * s * s * p + 3 * s * s * t * a + 3 * s * t * t * b + t * t * t * c));
    }
  }
  /// source  the implementation notes of SVG 1.1, F.6 [from memory]
  void arc(double rx, double ry, double turn, bool large, bool sweep, const Vec2& end) {
    rx = std::abs(rx), ry = std::abs(ry);
    if (rx < 1e-9 || ry < 1e-9 || (end - at_).norm() < 1e-12) return to(end);
    const Eigen::Rotation2Dd back(-turn);
    Vec2 half = back * Vec2(0.5 * (at_ - end));
    const double over = std::sqrt(std::pow(half.x() / rx, 2) + std::pow(half.y() / ry, 2));
    if (over > 1) rx *= over, ry *= over;
    const Vec2 u(half.x() / rx, half.y() / ry);
    const double l2 = u.squaredNorm();
    const double off = (large == sweep ? -1 : 1) * std::sqrt(std::max(0.0, (1 - l2) / l2));
    const Vec2 c(off * u.y(), -off * u.x());
    const Vec2 from = u - c, to_end = -u - c;
    double a = std::atan2(from.y(), from.x()), b = std::atan2(to_end.y(), to_end.x());
    double way = b - a;
    if (sweep && way < 0) way += 2 * base::kPi;
    if (!sweep && way > 0) way -= 2 * base::kPi;
    const Vec2 middle = 0.5 * (at_ + end) + Eigen::Rotation2Dd(turn) * Vec2(c.x() * rx, c.y() * ry);
    const int n = std::clamp(
        static_cast<int>(std::ceil(std::abs(way) / std::sqrt(8 * kFlat / std::max(rx, ry)))), 2, 2000);
    for (int i = 1; i <= n; ++i) {
      const double q = a + way * i / n;
      to(i == n ? end : Vec2(middle + Eigen::Rotation2Dd(turn) * Vec2(rx * std::cos(q), ry * std::sin(q))));
    }
  }
  bool step(char command) {
    const bool relative = command >= 'a';
    const char c = relative ? static_cast<char>(command - 32) : command;
    const Vec2 last = mirror_;
    const char before = before_;
    before_ = c;
    switch (c) {
      case 'M': {
        const auto p = point(relative);
        if (!p) return false;
        end();
        at_ = start_ = *p;
        return true;
      }
      case 'L': {
        const auto p = point(relative);
        if (p) to(*p);
        return p.has_value();
      }
      case 'H':
      case 'V': {
        const auto v = scan_.number();
        if (!v) return false;
        const double base = relative ? (c == 'H' ? at_.x() : at_.y()) : 0;
        to(c == 'H' ? Vec2(base + *v, at_.y()) : Vec2(at_.x(), base + *v));
        return true;
      }
      case 'C':
      case 'S': {
        const Vec2 smooth = before == 'C' || before == 'S' ? Vec2(2 * at_ - last) : at_;
        const auto a = c == 'C' ? point(relative) : std::optional<Vec2>(smooth);
        const auto b = point(relative), p = point(relative);
        if (!a || !b || !p) return false;
        cubic(*a, *b, *p);
        mirror_ = *b;
        return true;
      }
      case 'Q':
      case 'T': {
        const Vec2 smooth = before == 'Q' || before == 'T' ? Vec2(2 * at_ - last) : at_;
        const auto q = c == 'Q' ? point(relative) : std::optional<Vec2>(smooth);
        const auto p = point(relative);
        if (!q || !p) return false;
        cubic(at_ + 2.0 / 3 * (*q - at_), *p + 2.0 / 3 * (*q - *p), *p);
        mirror_ = *q;
        return true;
      }
      case 'A': {
        const auto rx = scan_.number(), ry = scan_.number(), turn = scan_.number();
        const auto large = scan_.flag(), sweep = scan_.flag();
        const auto p = point(relative);
        if (!rx || !ry || !turn || !large || !sweep || !p) return false;
        arc(*rx, *ry, base::to_rad(*turn), *large > 0, *sweep > 0, *p);
        return true;
      }
      default:
        return false;
    }
  }

  Scan scan_;
  std::vector<Curve>& out_;
  Tally& tally_;
  Curve curve_;
  Vec2 at_ = Vec2::Zero(), start_ = Vec2::Zero(), mirror_ = Vec2::Zero();
  char before_ = 0;
};

/// "translate(3 4) rotate(30)"; nothing where it can't be read.
std::optional<Affine> transform_of(std::string_view text) {
  Affine out = Affine::Identity();
  while (true) {
    const auto first = text.find_first_not_of(" ,\t\r\n");
    if (first == std::string_view::npos) return out;
    const auto open = text.find('('), close = text.find(')');
    if (open == std::string_view::npos || close == std::string_view::npos || close < open)
      return std::nullopt;
    const std::string_view name = text.substr(first, text.substr(0, open).find_last_not_of(' ') + 1 - first);
    Scan scan(text.substr(open + 1, close - open - 1));
    std::vector<double> v;
    while (const auto n = scan.number()) v.push_back(*n);
    text.remove_prefix(close + 1);
    Affine m = Affine::Identity();
    if (name == "translate" && (v.size() == 1 || v.size() == 2))
      m.translate(Vec2(v[0], v.size() > 1 ? v[1] : 0));
    else if (name == "scale" && (v.size() == 1 || v.size() == 2))
      m.scale(Vec2(v[0], v.size() > 1 ? v[1] : v[0]));
    else if (name == "rotate" && v.size() == 1)
      m.rotate(base::to_rad(v[0]));
    else if (name == "rotate" && v.size() == 3)
      m.translate(Vec2(v[1], v[2])).rotate(base::to_rad(v[0])).translate(Vec2(-v[1], -v[2]));
    else if (name == "matrix" && v.size() == 6)
      m.matrix() << v[0], v[2], v[4], v[1], v[3], v[5], 0, 0, 1;
    else if (name == "skewX" && v.size() == 1)
      m.matrix()(0, 1) = std::tan(base::to_rad(v[0]));
    else if (name == "skewY" && v.size() == 1)
      m.matrix()(1, 0) = std::tan(base::to_rad(v[0]));
    else
      return std::nullopt;
    out = out * m;
  }
}

/// A length with its unit in mm: "210mm"; nothing for a bare number, px or %.
std::optional<double> sized(std::string_view text) {
  for (const auto& [unit, mm] : {std::pair<std::string_view, double>{"mm", 1},
                                 {"cm", 10},
                                 {"in", 25.4},
                                 {"pt", 25.4 / 72},
                                 {"pc", 25.4 / 6}}) {
    if (!text.ends_with(unit)) continue;
    const auto v = number_of(text.substr(0, text.size() - unit.size()));
    if (v && *v > 0) return *v * mm;
  }
  return std::nullopt;
}

class Reader {
 public:
  Reader(std::string_view text, const std::string& file) : text_(text), file_(file) {}

  Result<Drawing> run() {
    if (auto problem = too_large()) return tl::unexpected(std::move(*problem));
    pugi::xml_document doc;
    const auto parsed = doc.load_buffer(text_.data(), text_.size());
    const pugi::xml_node root = doc.child("svg");
    if (!parsed || !root)
      return tl::unexpected(
          Problem{"trace-format",
                  {file_, line_at(parsed ? 0 : parsed.offset), 0, ""},
                  parsed ? "There is no <svg> in the file." : "The file can't be read as SVG from here on.",
                  "Save it as plain SVG."});
    if (auto problem = read_unit(root)) return tl::unexpected(std::move(*problem));
    walk(root, Affine::Identity(), 0);
    if (!problem_.code.empty()) return tl::unexpected(problem_);
    return std::move(out_);
  }

 private:
  /// Of what the whole tree would take, before there is one.
  [[nodiscard]] std::optional<Problem> too_large() const {
    const auto elements = static_cast<std::size_t>(std::ranges::count(text_, '<'));
    const auto attributes = static_cast<std::size_t>(std::ranges::count(text_, '='));
    if (elements <= kMostElements && attributes <= kMostAttributes) return std::nullopt;
    return Problem{"trace-too-many",
                   {file_, 0, 0, ""},
                   fmt::format("The file has {} elements with {} attributes.", elements, attributes),
                   fmt::format("Up to {} with {} are read; take out what isn't the curve.", kMostElements,
                               kMostAttributes)};
  }
  /// Counted from the place asked for before: nodes come in the file's order.
  [[nodiscard]] int line_at(std::ptrdiff_t offset) {
    const auto to = std::min(static_cast<std::size_t>(std::max<std::ptrdiff_t>(offset, 0)), text_.size());
    if (to < counted_) counted_ = 0, line_ = 1;
    line_ += static_cast<int>(std::ranges::count(text_.substr(counted_, to - counted_), '\n'));
    counted_ = to;
    return line_;
  }
  [[nodiscard]] int line_of(const pugi::xml_node& node) { return line_at(node.offset_debug()); }

  std::optional<Problem> read_unit(const pugi::xml_node& root) {
    const std::string_view width = root.attribute("width").value(), height = root.attribute("height").value();
    const auto w = sized(width), h = sized(height);
    Scan box(root.attribute("viewBox").value());
    box.number(), box.number();
    const auto bw = box.number(), bh = box.number();
    if (!w) return std::nullopt;
    if (!bw || *bw <= 0) {
      out_.unit = 25.4 / 96;  // a user unit is 1/96 in where no viewBox says otherwise
      out_.unit_said = fmt::format("width = {} without a viewBox", width);
      return std::nullopt;
    }
    if (h && bh && *bh > 0 && std::abs(*w / *bw - *h / *bh) > 0.002 * *w / *bw)
      return Problem{"trace-unit",
                     {file_, line_of(root), 0, ""},
                     "The drawing is stretched: width and height don't agree with its viewBox.",
                     "Save it with one scale for both directions."};
    out_.unit = *w / *bw;
    out_.unit_said = fmt::format("width = {} for {} units", width, *bw);
    return std::nullopt;
  }

  void put(std::vector<Curve> curves, const pugi::xml_node& node, const Affine& X) {
    const std::string id(std::string_view(node.attribute("id").value()).substr(0, kMostName));
    for (Curve& c : curves) {
      for (Vec2& p : c.points) {
        p = X * p;
        p.y() = -p.y();
        if (!p.allFinite() || p.norm() > 1e9) return;
      }
      c.lines.assign(c.points.size(), line_of(node));
      c.name = id;
      out_.curves.push_back(std::move(c));
    }
  }
  void complain(const pugi::xml_node& node, const char* what) {
    if (problem_.code.empty())
      problem_ = {"trace-number",
                  {file_, line_of(node), 0, node.attribute("id").value()},
                  what,
                  "Save it anew as plain SVG."};
  }

  void walk(const pugi::xml_node& parent, const Affine& X_parent, int depth) {
    if (depth > kDeepest) return;
    for (const pugi::xml_node& node : parent.children()) {
      const std::string_view name = node.name();
      if (name == "defs" || name == "clipPath" || name == "symbol" || name == "marker" || name == "mask" ||
          name == "pattern")
        continue;
      const auto own = transform_of(node.attribute("transform").value());
      if (!own) {
        complain(node, "The transform of this piece can't be read.");
        return;
      }
      const Affine X = X_parent * *own;
      std::vector<Curve> curves;
      if (name == "g" || name == "svg" || name == "a") {
        walk(node, X, depth + 1);
      } else if (name == "path") {
        if (!PathReader(node.attribute("d").value(), curves, tally_).run())
          complain(node, "The path's data can't be read to its end.");
      } else if (name == "polyline" || name == "polygon") {
        Scan scan(node.attribute("points").value());
        Curve c;
        tally_.curve();
        while (const auto x = tally_.full() ? std::nullopt : scan.number()) {
          tally_.points();
          const auto y = scan.number();
          if (!y) break;
          c.points.emplace_back(*x, *y);
        }
        if (!scan.done()) complain(node, "The points can't be read to their end.");
        c.closed = name == "polygon";
        if (c.closed && !c.points.empty()) c.points.push_back(c.points.front());
        curves.push_back(std::move(c));
      } else if (name == "circle" || name == "ellipse") {
        const Vec2 centre(node.attribute("cx").as_double(), node.attribute("cy").as_double());
        const double rx = node.attribute(name == "circle" ? "r" : "rx").as_double(),
                     ry = node.attribute(name == "circle" ? "r" : "ry").as_double();
        Curve c{{}, {}, "", true};
        for (int i = 0; i <= 720; ++i) {
          const Vec2 e = base::unit_at(2 * base::kPi * i / 720);
          c.points.emplace_back(centre + Vec2(rx * e.x(), ry * e.y()));
        }
        tally_.curve(), tally_.points(c.points.size());
        if (rx > 0 && ry > 0) curves.push_back(std::move(c));
      }
      if (tally_.full() && problem_.code != "trace-too-many") problem_ = tally_.problem(file_, line_of(node));
      if (!problem_.code.empty()) return;
      put(std::move(curves), node, X);
    }
  }

  std::string_view text_;
  const std::string& file_;
  std::size_t counted_ = 0;  ///< up to here lines are counted
  int line_ = 1;
  Tally tally_;
  Drawing out_;
  Problem problem_;
};

}  // namespace

Result<Drawing> read_svg(std::string_view text, const std::string& file) {
  return Reader(text, file).run();
}

}  // namespace halfround::trace
