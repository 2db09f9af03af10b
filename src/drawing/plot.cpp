#include "drawing/plot.h"

#include <algorithm>
#include <cmath>
#include <ranges>

#include "base/number.h"
#include "base/result.h"
#include "paper/clip.h"
#include "paper/typeface.h"

namespace halfround::drawing {
namespace {

constexpr double kTick = 1.2;        // length of a tick outside the area, mm
constexpr double kLineOfText = 1.6;  // from baseline to baseline, in cap heights
const Stroke kThin{.weight = Weight::thin};

Text label(const Vec2& at, const std::string& text, double height, Anchor anchor) {
  return {.at = at, .text = text, .height = height, .anchor = anchor};
}

}  // namespace

Vec2 Plot::at(double x, double y) const {
  return {area.min.x() + (x - x0) / (x1 - x0) * area.width(),
          area.min.y() + (y - y0) / (y1 - y0) * area.height()};
}

Ticks nice_ticks(double from, double to, int about) {
  base::check(from < to && about >= 1, "ticks want a range and a number of steps");
  const double wished = (to - from) / about;
  Ticks out;
  double best = INFINITY;
  const int power = static_cast<int>(std::floor(std::log10(wished)));
  for (int p = power; p <= power + 1; ++p) {
    for (const double digit : {1.0, 2.0, 5.0}) {
      // tenths by division: 0.1, not 0.1000...01
      const double step = p < 0 ? digit / std::pow(10.0, -p) : digit * std::pow(10.0, p);
      const double off = std::abs(std::log(step / wished));
      if (off >= best) continue;
      best = off, out.step = step, out.decimals = std::max(0, -p);
    }
  }
  // a hair of room, so that an end that is a tick itself is not lost to rounding
  const double hair = 1e-9 * (to - from);
  const double first = std::ceil((from - hair) / out.step), last = std::floor((to + hair) / out.step);
  for (double i = first; i <= last; ++i) out.values.push_back(i * out.step);
  return out;
}

Items axis_below(const Plot& plot, const std::string& title, int about) {
  Items out;
  const Box& a = plot.area;
  out.emplace_back(line(a.min, {a.max.x(), a.min.y()}, kThin));
  const Ticks ticks = nice_ticks(plot.x0, plot.x1, about);
  for (const double v : ticks.values) {
    const Vec2 foot(plot.at(v, plot.y0).x(), a.min.y());
    out.emplace_back(line(foot, foot - Vec2(0, kTick), kThin));
    out.emplace_back(label(foot - Vec2(0, kTick + 1.0 + plot.letters), base::format_number(v, ticks.decimals),
                           plot.letters, Anchor::centre));
  }
  if (!title.empty())
    out.emplace_back(label({a.max.x(), a.min.y() - kTick - 1.0 - (1 + kLineOfText) * plot.letters}, title,
                           plot.letters, Anchor::right));
  return out;
}

Items axis_left(const Plot& plot, const std::string& title, int about) {
  Items out;
  const Box& a = plot.area;
  out.emplace_back(line(a.min, {a.min.x(), a.max.y()}, kThin));
  const Ticks ticks = nice_ticks(plot.y0, plot.y1, about);
  for (const double v : ticks.values) {
    const Vec2 foot(a.min.x(), plot.at(plot.x0, v).y());
    out.emplace_back(line(foot, foot - Vec2(kTick, 0), kThin));
    out.emplace_back(label(foot - Vec2(kTick + 1.0, plot.letters / 2), base::format_number(v, ticks.decimals),
                           plot.letters, Anchor::right));
  }
  if (!title.empty())
    out.emplace_back(label({a.min.x() - kTick - 1.0, a.max.y() + 2.5}, title, plot.letters, Anchor::left));
  return out;
}

Items curve(const Plot& plot, const std::vector<Vec2>& data, const Stroke& stroke) {
  Path path{.points = {}, .stroke = stroke};
  for (const Vec2& d : data) path.points.push_back(plot.at(d.x(), d.y()));
  Items out;
  for (Path& piece : clipped(path, plot.area)) out.emplace_back(std::move(piece));
  return out;
}

Items end_labels(const Plot& plot, std::vector<EndLabel> labels) {
  std::sort(labels.begin(), labels.end(), [](const EndLabel& a, const EndLabel& b) { return a.y < b.y; });
  const double apart = kLineOfText * plot.letters, x = plot.area.max.x();
  std::vector<double> ends, ys;
  for (const EndLabel& l : labels) ends.push_back(plot.at(plot.x1, l.y).y());
  ys = ends;
  // from below up each keeps its distance; what was pushed over the top comes down again
  for (std::size_t i = 1; i < ys.size(); ++i) ys[i] = std::max(ys[i], ys[i - 1] + apart);
  double most = plot.area.max.y() + plot.letters;
  for (std::size_t i = ys.size(); i-- > 0; most = ys[i] - apart) ys[i] = std::min(ys[i], most);
  Items out;
  for (std::size_t i = 0; i < ys.size(); ++i) {
    const bool moved = std::abs(ys[i] - ends[i]) > 0.3 * plot.letters;
    if (moved) out.emplace_back(line({x + 0.3, ends[i]}, {x + 3, ys[i]}, kThin));
    out.emplace_back(label({x + (moved ? 3.8 : 1.2), ys[i] - plot.letters / 2}, labels[i].text, plot.letters,
                           Anchor::left));
  }
  return out;
}

Items band(const Plot& plot, double a, double b) {
  const double left = plot.at(std::clamp(a, plot.x0, plot.x1), plot.y0).x();
  const double right = plot.at(std::clamp(b, plot.x0, plot.x1), plot.y0).x();
  if (right <= left) return {};
  return {Area{.rings = {rectangle({{left, plot.area.min.y()}, {right, plot.area.max.y()}}).points},
               .fill = Area::Fill::tone,
               .tone = 0.1}};
}

Items upright(const Plot& plot, double x, const std::string& name, const Stroke& stroke, int lift,
              Anchor anchor) {
  const double on = plot.at(x, plot.y0).x();
  const double top = plot.area.max.y() + lift * kLineOfText * plot.letters;
  Items out{line({on, plot.area.min.y()}, {on, top + 0.6}, stroke)};
  if (name.empty()) return out;
  const double aside = anchor == Anchor::left ? -0.3 : anchor == Anchor::right ? 0.3 : 0;
  Text text = label({on + aside, top + 0.4 * plot.letters + 0.4}, name, plot.letters, anchor);
  text.backed = true;  // a neighbour's line may pass behind it
  out.emplace_back(std::move(text));
  return out;
}

Items columns(const Plot& plot, double start, double width, const std::vector<double>& heights, double low,
              double high) {
  Items tones, hatches;
  Path outline{.points = {plot.at(start, 0)}, .stroke = {.weight = Weight::thin}};
  for (std::size_t i = 0; i < heights.size(); ++i) {
    const double a = start + static_cast<double>(i) * width, b = a + width, h = heights[i];
    outline.points.push_back(plot.at(a, h));
    outline.points.push_back(plot.at(b, h));
    if (h <= 0) continue;
    const bool within = 0.5 * (a + b) >= low && 0.5 * (a + b) <= high;
    Area area{.rings = {{plot.at(a, 0), plot.at(b, 0), plot.at(b, h), plot.at(a, h)}},
              .fill = within ? Area::Fill::tone : Area::Fill::hatch,
              .tone = 0.14,
              .spacing = 0.9};
    (within ? tones : hatches).emplace_back(std::move(area));
  }
  outline.points.push_back(plot.at(start + width * static_cast<double>(heights.size()), 0));
  Items out;
  const auto put = [&](const Item& item) {
    for (Item& piece : clipped(item, plot.area)) out.push_back(std::move(piece));
  };
  for (const Item& item : tones) put(item);
  for (const Item& item : hatches) put(item);
  put(outline);
  return out;
}

Items ranked_bars(const Box& box, const std::vector<RankedBar>& bars, double names, double row,
                  double letters) {
  // a name says which side it is at its end: it is never cut short for the sake of a longer bar
  double figures = 0, longest_name = 0;
  const auto shown = static_cast<std::size_t>(std::max(0.0, std::floor(box.height() / row + 1e-9)));
  for (const RankedBar& b : bars | std::views::take(shown)) {
    figures = std::max(figures, text_width(b.figure, letters));
    longest_name = std::max(longest_name, text_width(b.name, letters) + 1.6);
  }
  names = std::max(names, std::min(longest_name, 0.8 * box.width()));
  const double left = box.min.x() + names, longest = box.width() - names - figures - 2;
  Items out;
  double y = box.max.y();
  for (const RankedBar& b : bars) {
    if (y - row < box.min.y() - 1e-9) break;
    const double middle = y - row / 2, thick = 0.5 * row;
    const double right = left + std::clamp(b.share, 0.0, 1.0) * longest;
    if (right > left) {
      const Box bar{{left, middle - thick / 2}, {right, middle + thick / 2}};
      out.emplace_back(Area{.rings = {rectangle(bar).points}, .fill = Area::Fill::tone, .tone = 0.3});
      out.emplace_back(rectangle(bar, kThin));
    }
    out.emplace_back(label({left - 1.5, middle - letters / 2}, fitted(b.name, letters, names - 1.5), letters,
                           Anchor::right));
    out.emplace_back(label({right + 1.2, middle - letters / 2}, b.figure, letters, Anchor::left));
    y -= row;
  }
  out.emplace_back(line({left, box.max.y()}, {left, y}, kThin));
  return out;
}

}  // namespace halfround::drawing
