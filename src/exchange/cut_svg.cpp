#include "exchange/cut_svg.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "base/number.h"

namespace halfround::exchange {
namespace {

constexpr double kEdge = 5;  // mm of air round the drawing

std::string number(double v) {
  std::string text = base::fixed(v, 4);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

class Writer {
 public:
  Writer(const CutDrawing& drawing, const shop::CutLines& lines) : drawing_(drawing), lines_(lines) {
    std::vector<Contour> all = drawing.cut;
    for (const auto* more : {&drawing.marks, &drawing.checks})
      all.insert(all.end(), more->begin(), more->end());
    box_ = bounds_of(all);
  }

  std::string run() {
    const std::string width = number(box_.width() + 2 * kEdge), height = number(box_.height() + 2 * kEdge);
    out_ = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" +
           width + "mm\" height=\"" + height + "mm\" viewBox=\"0 0 " + width + ' ' + height + "\">\n";
    group("cut", lines_.cut, drawing_.cut);
    group("mark", lines_.mark, drawing_.marks);
    group("check", lines_.check, drawing_.checks);
    return out_ + "</svg>\n";
  }

 private:
  [[nodiscard]] std::string place(const Vec2& p) const {
    return number(p.x() - box_.min.x() + kEdge) + ' ' + number(box_.max.y() - p.y() + kEdge);
  }

  void group(const std::string& name, const shop::CutLine& line, const std::vector<Contour>& contours) {
    if (contours.empty()) return;
    out_ += "<g id=\"" + name + "\" aria-label=\"" + name + "\" fill=\"none\" stroke=\"" + line.colour +
            "\" stroke-width=\"" + number(line.width) + "\">\n";
    for (const Contour& c : contours) path(c);
    out_ += "</g>\n";
  }

  /// In pieces of a third of a turn at the most: an arc near half a turn, given by its ends and radius, has
  /// its middle anywhere within the root of their rounding.
  void arc(const ArcOf& a, const Vec2& from, const Vec2& to) {
    constexpr double kPiece = 2 * base::kPi / 3;
    const int n = std::max(1, static_cast<int>(std::ceil(std::abs(a.sweep) / kPiece - 1e-9)));
    const Vec2 out = from - a.centre;
    for (int i = 1; i <= n; ++i) {
      const Vec2 end = i == n ? to : Vec2(a.centre + Eigen::Rotation2Dd(a.sweep * i / n) * out);
      // y is turned, so what runs counter-clockwise here has sweep 0 there
      out_ += "A" + number(a.radius) + ' ' + number(a.radius) + " 0 0 " + (a.sweep > 0 ? '0' : '1') + ' ' +
              place(end);
    }
  }

  void path(const Contour& c) {
    const std::size_t n = c.corners.size();
    out_ += "<path d=\"M" + place(c.corners.front().at);
    for (std::size_t i = 0; i + (c.closed ? 0 : 1) < n; ++i) {
      const Corner& corner = c.corners[i];
      const Vec2& next = c.corners[(i + 1) % n].at;
      if (corner.bulge == 0) {
        if (i + 1 < n) out_ += "L" + place(next);
        continue;
      }
      arc(arc_of(corner, next), corner.at, next);
    }
    out_ += c.closed ? "Z\"/>\n" : "\"/>\n";
  }

  const CutDrawing& drawing_;
  const shop::CutLines& lines_;
  Box box_;
  std::string out_;
};

}  // namespace

std::string to_cut_svg(const CutDrawing& drawing, const shop::CutLines& lines) {
  return Writer(drawing, lines).run();
}

}  // namespace halfround::exchange
