#include "trace/curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace halfround::trace {

using base::Problem;
using base::Result;

std::optional<double> number_of(std::string_view text) {
  if (text.starts_with('+')) text.remove_prefix(1);
  double v = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), v);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(v) || std::abs(v) > 1e9)
    return std::nullopt;
  return v;
}

std::vector<Vec2> arc_after(const Vec2& centre, double radius, double from, double sweep) {
  const double step = radius > kFlat ? 2 * std::acos(1 - kFlat / radius) : 1.0;
  const int n = std::clamp(static_cast<int>(std::ceil(std::abs(sweep) / step)), 2, 2000);
  std::vector<Vec2> out;
  for (int i = 1; i <= n; ++i) {
    const double a = from + sweep * i / n;
    out.push_back(centre + radius * Vec2(std::cos(a), std::sin(a)));
  }
  return out;
}

Problem Tally::problem(const std::string& file, int line) const {
  const bool points = points_ > kMostPoints;
  return {"trace-too-many",
          {file, line, 0, ""},
          fmt::format("The file has more than {} {}.", points ? kMostPoints : kMostCurves,
                      points ? "points, those of its arcs and bends counted" : "separate curves"),
          "Take out what isn't the curve; a traced curve needs some hundred points."};
}

Format format_of(std::string_view text, const std::string& file) {
  std::string end = file.substr(
      std::min(file.size(), file.rfind('.') == std::string::npos ? file.size() : file.rfind('.')));
  std::ranges::transform(end, end.begin(),
                         [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  if (end == ".svg") return Format::svg;
  if (end == ".dxf") return Format::dxf;
  if (end == ".csv" || end == ".txt" || end == ".tsv") return Format::table;
  if (text.substr(0, 2000).find("<svg") != std::string_view::npos) return Format::svg;
  if (text.substr(0, 2000).find("SECTION") != std::string_view::npos) return Format::dxf;
  return Format::table;
}

Result<Drawing> read_drawing(std::string_view text, const std::string& file) {
  const Format format = format_of(text, file);
  auto out = format == Format::svg   ? read_svg(text, file)
             : format == Format::dxf ? read_dxf(text, file)
                                     : read_table(text, file);
  if (!out) return out;
  std::erase_if(out->curves, [](const Curve& c) { return c.points.size() < 2; });
  if (out->curves.empty()) {
    std::string has;
    for (const std::string& l : out->left_out) has += (has.empty() ? "" : ", ") + l;
    return tl::unexpected(
        has.empty() ? Problem{"trace-empty",
                              {file, 0, 0, ""},
                              "There is no curve in the file.",
                              "Give two columns of numbers, an SVG with a path, or a DXF with a polyline."}
                    : Problem{"trace-unsupported",
                              {file, 0, 0, ""},
                              fmt::format("The file holds only {}, which are not read.", has),
                              "Turn them into polylines, lines or arcs where you drew them, or write a table "
                              "of points."});
  }
  return out;
}

}  // namespace halfround::trace
