// Lines, arcs, circles and polylines of a DXF file's ENTITIES, any release in text form. Pieces whose ends
// touch are one curve.
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <deque>
#include <map>

#include "trace/curve.h"

namespace halfround::trace {
namespace {

using base::Problem;
using base::Result;

constexpr double kTouch = 1e-3;          // in the file's unit
constexpr std::size_t kMostName = 60;    // letters of a layer's name
constexpr std::size_t kMostTried = 500;  // pieces tried each with each: as many as a drawing by hand has

struct Pair {
  int code = -1;
  std::string_view value;
  int line = 0;
};

/// Pieces that touch, put together at either end without moving what is there.
class Chain {
 public:
  Chain() = default;
  explicit Chain(const Curve& c) : name_(c.name), closed_(c.closed) {
    for (std::size_t i = 0; i < c.points.size(); ++i) points_.push_back({c.points[i], c.lines[i]});
  }
  /// Where an end of `more` touches one of this, with the direction of the piece that goes on at the tail.
  bool append(const Chain& more) {
    if (closed_ || more.closed_) return false;
    const auto touch = [](const Point& a, const Point& b) { return (a.at - b.at).norm() <= kTouch; };
    const Point &head = end(false), &tail = end(true), &a = more.end(false), &b = more.end(true);
    bool backwards = false;
    if (touch(tail, b) && !touch(tail, a))
      backwards = true;
    else if (touch(head, a) && !touch(tail, a))
      turned_ = !turned_;
    else if (touch(head, b) && !touch(tail, a))
      turned_ = !turned_, backwards = true;
    else if (!touch(tail, a))
      return false;
    const bool reversed = backwards != more.turned_;
    const std::size_t n = more.points_.size();
    for (std::size_t i = 1; i < n; ++i) {
      const Point& p = more.points_[reversed ? n - 1 - i : i];
      turned_ ? points_.push_front(p) : points_.push_back(p);
    }
    closed_ = points_.size() > 2 && touch(points_.front(), points_.back());
    return true;
  }
  [[nodiscard]] Curve curve() const {
    Curve out{{}, {}, name_, closed_};
    const std::size_t n = points_.size();
    out.points.reserve(n), out.lines.reserve(n);
    for (std::size_t i = 0; i < n; ++i) {
      const Point& p = points_[turned_ ? n - 1 - i : i];
      out.points.push_back(p.at), out.lines.push_back(p.line);
    }
    return out;
  }

 private:
  struct Point {
    Vec2 at;
    int line;
  };
  [[nodiscard]] const Point& end(bool tail) const {
    return tail == turned_ ? points_.front() : points_.back();
  }

  std::deque<Point> points_;
  std::string name_;
  bool closed_ = false;
  bool turned_ = false;  ///< it is walked from its back
};

class Reader {
 public:
  Reader(std::string_view text, const std::string& file) : text_(text), file_(file) {}

  Result<Drawing> run() {
    while (next()) {
      if (at_.code == 9) header_ = at_.value;
      if (at_.code == 70 && header_ == "$INSUNITS") unit(at_.value);
      if (at_.code == 2 && began_ == "SECTION") section_ = at_.value;
      if (at_.code == 0) began_ = at_.value, finish();
      if (section_ != "ENTITIES") continue;
      if (at_.code == 0)
        begin();
      else if (!kind_.empty() && !take())
        return tl::unexpected(problem_);
      if (tally_.full()) return tl::unexpected(tally_.problem(file_, line_));
    }
    if (!problem_.code.empty()) return tl::unexpected(problem_);
    finish(), finish_polyline();
    if (tally_.full()) return tl::unexpected(tally_.problem(file_, line_));
    for (const auto& [name, n] : others_) out_.left_out.push_back(fmt::format("{} {}", n, name));
    join();
    return std::move(out_);
  }

 private:
  std::optional<std::string_view> row() {
    if (text_.empty()) return std::nullopt;
    const auto end = text_.find('\n');
    std::string_view r = text_.substr(0, std::min(end, text_.size()));
    text_.remove_prefix(end == std::string_view::npos ? text_.size() : end + 1);
    ++line_;
    while (!r.empty() && (r.back() == '\r' || r.back() == ' ')) r.remove_suffix(1);
    while (!r.empty() && r.front() == ' ') r.remove_prefix(1);
    return r;
  }
  bool next() {
    const auto code = row();
    if (!code || !problem_.code.empty()) return false;
    const auto number = number_of(*code);
    const auto value = row();
    if (!value) return false;
    if (!number || *number != std::floor(*number) || std::abs(*number) > 2000) {
      problem_ = {"trace-format",
                  {file_, line_ - 1, 0, ""},
                  "A group code is wanted here; this is no DXF file in text form.",
                  "Save it as DXF, ASCII, release 12 or later."};
      return false;
    }
    at_ = {static_cast<int>(*number), *value, line_};
    return true;
  }
  void unit(std::string_view value) {
    static constexpr std::array<double, 7> kUnits{0, 25.4, 304.8, 0, 1, 10, 1000};
    const auto v = number_of(value);
    if (v && *v >= 1 && *v <= 6 && kUnits[static_cast<std::size_t>(*v)] > 0) {
      out_.unit = kUnits[static_cast<std::size_t>(*v)];
      out_.unit_said = fmt::format("$INSUNITS = {}", static_cast<int>(*v));
    }
    header_ = "";
  }

  void begin() {
    kind_.clear();
    if (at_.value == "LINE" || at_.value == "ARC" || at_.value == "CIRCLE" || at_.value == "LWPOLYLINE" ||
        at_.value == "POLYLINE" || at_.value == "VERTEX") {
      kind_ = at_.value;
      values_.clear(), layer_.clear(), began_line_ = at_.line;
      if (kind_ == "POLYLINE" || kind_ == "LWPOLYLINE") polyline_ = {}, bulges_.clear(), in_polyline_ = true;
    } else if (at_.value == "SEQEND") {
      finish_polyline();
    } else if (at_.value == "SPLINE" || at_.value == "ELLIPSE" || at_.value == "INSERT") {
      ++others_[std::string(at_.value)];
    }
  }
  /// One pair of the entity at hand.
  bool take() {
    const int c = at_.code;
    if (c == 8) layer_ = at_.value.substr(0, kMostName);
    const bool real = (c >= 10 && c <= 39) || c == 40 || c == 42 || c == 50 || c == 51;
    if (!real && c != 70) return true;
    const auto v = number_of(at_.value);
    if (!v) {
      problem_ = {"trace-number",
                  {file_, at_.line, 0, ""},
                  fmt::format("Found something else where group {} wants a number.", c),
                  "Draw it again or write it anew as DXF."};
      return false;
    }
    if (kind_ == "LWPOLYLINE") {
      // its vertices repeat: 10 begins each, 20 and 42 belong to the last one
      if (c == 10) {
        polyline_.points.emplace_back(*v, 0), polyline_.lines.push_back(at_.line), bulges_.push_back(0);
        tally_.points();
      }
      if (c == 20 && !polyline_.points.empty()) polyline_.points.back().y() = *v;
      if (c == 42 && !bulges_.empty()) bulges_.back() = *v;
    }
    values_[c] = *v;
    return true;
  }
  double value(int code) const {
    const auto it = values_.find(code);
    return it == values_.end() ? 0 : it->second;
  }
  void put(Curve curve) {
    tally_.curve();
    curve.name = layer_;
    curve.lines.resize(curve.points.size(), curve.lines.empty() ? began_line_ : curve.lines.back());
    out_.curves.push_back(std::move(curve));
  }
  void finish() {
    const Vec2 p(value(10), value(20));
    if (kind_ == "LINE") {
      tally_.points(2);
      put({{p, Vec2(value(11), value(21))}, {}, "", false});
    }
    if (kind_ == "CIRCLE" && value(40) > 0) {
      Curve c{arc_after(p, value(40), 0, 2 * base::kPi), {}, "", true};
      c.points.insert(c.points.begin(), p + Vec2(value(40), 0));
      tally_.points(c.points.size());
      put(std::move(c));
    }
    if (kind_ == "ARC" && value(40) > 0) {
      const double from = base::to_rad(value(50));
      double sweep = std::fmod(base::to_rad(value(51)) - from, 2 * base::kPi);
      if (sweep <= 0) sweep += 2 * base::kPi;
      Curve c{arc_after(p, value(40), from, sweep), {}, "", false};
      c.points.insert(c.points.begin(), p + value(40) * Vec2(std::cos(from), std::sin(from)));
      tally_.points(c.points.size());
      put(std::move(c));
    }
    if (kind_ == "VERTEX" && in_polyline_) {
      polyline_.points.push_back(p), polyline_.lines.push_back(began_line_), bulges_.push_back(value(42));
      tally_.points();
    }
    if (kind_ == "POLYLINE") polyline_.closed = static_cast<int>(value(70)) & 1;
    if (kind_ == "LWPOLYLINE") {
      polyline_.closed = static_cast<int>(value(70)) & 1;
      finish_polyline();
    }
    kind_.clear();
  }
  void finish_polyline() {
    if (!in_polyline_) return;
    in_polyline_ = false;
    Curve c{{}, {}, "", polyline_.closed};
    const std::size_t n = polyline_.points.size();
    for (std::size_t i = 0; i < n && !tally_.full(); ++i) {
      c.points.push_back(polyline_.points[i]), c.lines.push_back(polyline_.lines[i]);
      const double b = bulges_[i];
      if (b == 0 || (!polyline_.closed && i + 1 == n)) continue;
      const Vec2 &from = polyline_.points[i], &to = polyline_.points[(i + 1) % n];
      const Vec2 chord = to - from;
      if (chord.norm() == 0 || std::abs(b) > 1e6 || std::abs(b) < 1e-12) continue;
      const Vec2 centre = 0.5 * (from + to) + (1 - b * b) / (4 * b) * Vec2(-chord.y(), chord.x());
      const Vec2 r = from - centre;
      auto arc = arc_after(centre, r.norm(), std::atan2(r.y(), r.x()), 4 * std::atan(b));
      arc.pop_back();
      tally_.points(arc.size());
      for (const Vec2& q : arc) c.points.push_back(q), c.lines.push_back(polyline_.lines[i]);
    }
    if (c.closed && !c.points.empty())
      c.points.push_back(c.points.front()), c.lines.push_back(c.lines.front());
    put(std::move(c));
  }

  /// Pieces in the order they stand, where one goes on at an end of the one before; then whatever still
  /// touches, for as many as a drawing by hand has.
  void join() {
    std::vector<Chain> chains;
    for (Curve& c : out_.curves) {
      if (c.points.size() < 2) continue;
      Chain next(c);
      c = {};
      if (chains.empty() || !chains.back().append(next)) chains.push_back(std::move(next));
    }
    for (bool again = chains.size() <= kMostTried; again;) {
      again = false;
      for (std::size_t i = 0; i < chains.size() && !again; ++i) {
        for (std::size_t j = i + 1; j < chains.size() && !again; ++j) {
          if (chains[i].append(chains[j]))
            chains.erase(chains.begin() + static_cast<std::ptrdiff_t>(j)), again = true;
        }
      }
    }
    out_.curves.clear();
    for (Chain& c : chains) out_.curves.push_back(c.curve()), c = {};
  }

  std::string_view text_;
  const std::string& file_;
  int line_ = 0, began_line_ = 0;
  Pair at_;
  std::string header_, section_, began_, kind_, layer_;
  std::map<int, double> values_;
  Curve polyline_;
  std::vector<double> bulges_;
  bool in_polyline_ = false;
  std::map<std::string, int> others_;
  Tally tally_;
  Drawing out_;
  Problem problem_;
};

}  // namespace

Result<Drawing> read_dxf(std::string_view text, const std::string& file) {
  return Reader(text, file).run();
}

}  // namespace halfround::trace
