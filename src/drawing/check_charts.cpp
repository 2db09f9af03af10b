#include "drawing/check_charts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/result.h"
#include "drawing/plot.h"
#include "paper/typeface.h"

namespace halfround::drawing {
namespace {

using base::format_number;

constexpr double kLetters = 2.5;
constexpr double kMostPerS = 10;  // 1/s; what dies out faster than this needs no picture
constexpr double kKmhPerMs = 3.6;

/// How a mode shows: swinging, or dying out (or growing) without a swing; the quickest of those apart.
enum class Mode { weave, straight, castering };

Mode mode_of(const std::array<std::complex<double>, 4>& per_s, std::size_t k) {
  if (per_s[k].imag() != 0) return Mode::weave;
  return k == 3 ? Mode::castering : Mode::straight;
}

Stroke stroke_of(Mode mode) {
  if (mode == Mode::weave) return {.weight = Weight::thick};
  return {.weight = mode == Mode::straight ? Weight::medium : Weight::thin};
}

/// Real parts by rank run on without a jump, whatever pairs up or parts: one polyline a rank, its stroke
/// changing with the mode.
void put_real_parts(Items& out, const Plot& plot, const std::vector<study::SpeedRow>& rows) {
  for (std::size_t k = 0; k < 4; ++k) {
    std::vector<Vec2> run;
    Mode mode{};
    const auto flush = [&] {
      if (run.size() > 1)
        for (Item& item : curve(plot, run, stroke_of(mode))) out.push_back(std::move(item));
    };
    for (const study::SpeedRow& row : rows) {
      const Vec2 p(row.speed_m_s, row.per_s[k].real());
      // of a pair the second one lies under the first
      const bool twin = k > 0 && row.per_s[k].imag() < 0;
      const Mode now = mode_of(row.per_s, k);
      if (!run.empty() && (now != mode || twin)) {
        run.push_back(p);
        flush();
        run.clear();
      }
      mode = now;
      if (!twin || run.empty()) run.push_back(p);
      if (twin) run = {p};
    }
    flush();
  }
}

/// Imaginary part of the swinging mode; where the pair is born it rises from 0.
void put_swing(Items& out, const Plot& plot, const std::vector<study::SpeedRow>& rows) {
  std::vector<Vec2> run;
  const auto flush = [&] {
    for (Item& item : curve(plot, run, {Weight::thin, Dash::dashed, Ink::graphite}))
      out.push_back(std::move(item));
    run.clear();
  };
  for (std::size_t i = 0; i < rows.size(); ++i) {
    double swing = 0;
    for (const auto& e : rows[i].per_s) swing = std::max(swing, e.imag());
    if (swing > 0 && run.empty() && i > 0)
      run.emplace_back(0.5 * (rows[i].speed_m_s + rows[i - 1].speed_m_s), 0);
    if (swing > 0)
      run.emplace_back(rows[i].speed_m_s, swing);
    else if (!run.empty())
      flush();
  }
  if (!run.empty()) flush();
}

/// Names at the right edge for what is still inside the plot there.
void put_names(Items& out, const Plot& plot, const std::vector<study::SpeedRow>& rows) {
  std::vector<EndLabel> names;
  const auto name = [&](double y, const std::string& text) {
    if (y >= plot.y0 && y <= plot.y1) names.push_back({y, text});
  };
  const auto& last = rows.back().per_s;
  bool straight_named = false;
  for (std::size_t k = 0; k < 4; ++k) {
    if (last[k].imag() > 0) name(last[k].real(), "weave"), name(last[k].imag(), "its swing, rad/s");
    if (mode_of(last, k) == Mode::straight && !straight_named)
      name(last[k].real(), "capsize"), straight_named = true;
    if (mode_of(last, k) == Mode::castering) name(last[k].real(), "castering");
  }
  for (Item& item : end_labels(plot, names)) out.push_back(std::move(item));
  // where the castering leaves at the bottom
  for (std::size_t i = 1; i < rows.size(); ++i) {
    if (rows[i].per_s[3].imag() != 0 || rows[i].per_s[3].real() > plot.y0) continue;
    if (rows[i - 1].per_s[3].real() <= plot.y0 && i > 1) break;
    out.emplace_back(Text{.at = plot.at(rows[i].speed_m_s, plot.y0) + Vec2(1.5, 1.2),
                          .text = "castering",
                          .height = kLetters,
                          .backed = true});
    break;
  }
}

/// "steady 15.5 to 21.7 km/h (4.29 to 6.02 m/s)"
std::string words_of(const study::Steadiness& s) {
  if (!s.steady) return "at no speed steady hands off";
  const double from = s.steady->from_m_s;
  if (!s.steady->to_m_s)
    return fmt::format("steady hands off from {} km/h on ({} m/s)", format_number(kKmhPerMs * from, 1),
                       format_number(from, 2));
  const double to = *s.steady->to_m_s;
  return fmt::format("steady {} to {} km/h ({} to {} m/s)", format_number(kKmhPerMs * from, 1),
                     format_number(kKmhPerMs * to, 1), format_number(from, 2), format_number(to, 2));
}

/// Decimals at which the whole spread of a measure still shows three figures.
int decimals_for(double spread) {
  if (spread <= 0) return 2;
  return std::clamp(2 - static_cast<int>(std::floor(std::log10(spread))), 0, 4);
}

std::string percent(double share) {
  const double v = 100 * share;
  if (v > 0 && v < 0.1) return "< 0.1 %";
  return format_number(v, v < 10 ? 1 : 0) + " %";
}

}  // namespace

std::string scatter_in_words(const study::MeasureResult& m, std::uint64_t draws) {
  const int d = decimals_for(m.spread95);
  // of a measure that goes both ways the middle is next to nothing and says nothing
  const bool both_ways = m.p5 < 0 && m.p95 > 0;
  std::string out =
      both_ways
          ? fmt::format("9 of 10 forks come out between {} and {} {}", format_number(m.p5, d),
                        format_number(m.p95, d), m.unit)
          : fmt::format("Half of the forks come out below {}, 9 of 10 between {} and {} {}",
                        format_number(m.p50, d), format_number(m.p5, d), format_number(m.p95, d), m.unit);
  if (m.limit) out += fmt::format("; {} outside the limit", percent(m.below + m.above));
  return out + fmt::format(" ({} draws).", draws);
}

Group stability_plot(const study::Handling& handling, const Box& box) {
  base::check(!handling.curve.empty(), "a stability plot wants its rows");
  Group g{.name = "stability", .label = "stability of the bicycle over speed", .items = {}, .clip = {}};
  const auto& rows = handling.curve;
  constexpr double kNames = 27, kHead = 9;
  const Plot plot{.area = {box.min + Vec2(kAxisLeft, kAxisBelow), box.max - Vec2(kNames, kHead)},
                  .x0 = rows.front().speed_m_s,
                  .x1 = rows.back().speed_m_s,
                  .y0 = -kMostPerS,
                  .y1 = kMostPerS,
                  .letters = kLetters};
  const auto& steady = handling.drawn.steady;
  if (steady) add(g, band(plot, steady->from_m_s, steady->to_m_s.value_or(plot.x1)));
  add(g, axis_below(plot, "speed, m/s"));
  add(g, axis_left(plot, "1/s; below 0 it dies out", 4));
  add(g, curve(plot, {{plot.x0, 0}, {plot.x1, 0}}, {.weight = Weight::thin}));
  put_swing(g.items, plot, rows);
  put_real_parts(g.items, plot, rows);
  put_names(g.items, plot, rows);
  g.items.emplace_back(Text{.at = {box.min.x(), box.max.y() - kLetters},
                            .text = words_of(handling.drawn),
                            .height = kLetters,
                            .bold = true});
  return g;
}

Group tolerance_histogram(const study::MeasureResult& m, const Box& box) {
  Group g{.name = "histogram", .label = "scatter of " + m.name, .items = {}, .clip = {}};
  const double end = m.bin_start + m.bin_width * static_cast<double>(m.bins.size());
  double low = -INFINITY, high = INFINITY;
  if (m.limit && m.limit->low) low = *m.limit->low;
  if (m.limit && m.limit->high) high = *m.limit->high;
  // as far as there is something to see: the draws, and a limit that is not out of sight
  double left = std::min(m.p1, m.nominal), right = std::max(m.p99, m.nominal);
  const double span = std::max(m.p99 - m.p1, m.bin_width);
  if (std::isfinite(low) && low > left - 2 * span) left = std::min(left, low);
  if (std::isfinite(high) && high < right + 2 * span) right = std::max(right, high);
  left -= 0.2 * span, right += 0.2 * span;
  std::vector<double> heights;
  double most = 1;
  for (const std::uint64_t n : m.bins) {
    heights.push_back(static_cast<double>(n));
    most = std::max(most, heights.back());
  }
  constexpr double kHead = 14, kFoot = 5.5;
  const Plot plot{.area = {box.min + Vec2(1, kFoot), box.max - Vec2(1, kHead)},
                  .x0 = left,
                  .x1 = right,
                  .y0 = 0,
                  .y1 = 1.05 * most,
                  .letters = kLetters};
  base::check(end > m.bin_start, "a histogram wants columns of some width");
  add(g, columns(plot, m.bin_start, m.bin_width, heights, low, high));
  add(g, axis_below(plot, ""));
  const Stroke limit{Weight::medium, Dash::chain, Ink::graphite};
  const auto limit_at = [&](double x, Anchor anchor) {
    add(g, upright(plot, x, "limit " + format_number(x, decimals_for(span)), limit, 1, anchor));
  };
  // two labels turn their backs on each other, where the box has room for that
  const bool both = low > left && high < right;
  const auto room = [&](double x) {
    const double wide = text_width("limit " + format_number(x, decimals_for(span)), kLetters) + 1;
    const double at = plot.at(x, 0).x();
    return std::pair{at - wide > box.min.x(), at + wide < box.max.x()};
  };
  if (low > left)
    limit_at(low, both && room(low).first ? Anchor::right : both ? Anchor::left : Anchor::centre);
  if (high < right)
    limit_at(high, both && room(high).second ? Anchor::left : both ? Anchor::right : Anchor::centre);
  const Stroke thin{Weight::thin, Dash::dashed, Ink::graphite};
  const double apart = (m.p95 - m.p50) / (right - left) * plot.area.width();
  const double of_five = plot.at(m.p5, 0).x() - text_width("5 %", kLetters) * (apart > 9 ? 0.5 : 1);
  const Anchor five = of_five < box.min.x() ? Anchor::left : apart > 9 ? Anchor::centre : Anchor::right;
  add(g, upright(plot, m.p5, "5 %", thin, 0, five));
  const double before = (m.p50 - m.p5) / (right - left) * plot.area.width();  // a lopsided scatter has little
  if (std::min(apart, before) > 9 && five != Anchor::left) add(g, upright(plot, m.p50, "50 %", thin, 0));
  add(g, upright(plot, m.p95, "95 %", thin, 0, apart > 9 ? Anchor::centre : Anchor::left));
  // the unit where there is room for it; the sentence beside the picture has it in any case
  const std::string with_unit = m.name + ", " + m.unit;
  const bool fits = text_width(with_unit, kLetters, true) <= box.width();
  const std::string& title = fits ? with_unit : m.name;
  g.items.emplace_back(Text{.at = {box.min.x(), box.max.y() - kLetters},
                            .text = fitted(title, kLetters, box.width(), true),
                            .height = kLetters,
                            .bold = true});
  return g;
}

Group tolerance_ranking(const study::MeasureResult& m, const std::vector<bike::Dimension>& dimensions,
                        const Box& box) {
  Group g{
      .name = "ranking", .label = "which dimension makes " + m.name + " scatter", .items = {}, .clip = {}};
  constexpr double kHead = 5.5;
  std::vector<RankedBar> bars;
  double most = 0;
  for (const study::Contribution& c : m.contributions)
    most = std::max(most, c.share.value_or(c.linear_share));
  for (const study::Contribution& c : m.contributions) {
    const auto it = std::find_if(dimensions.begin(), dimensions.end(),
                                 [&](const bike::Dimension& d) { return d.name == c.of; });
    const bool angle = it != dimensions.end() && it->angle;
    const double share = c.share.value_or(c.linear_share);
    const std::string held = angle ? "±" + format_number(base::to_deg(c.plus_minus), 2) + "°"
                                   : "±" + format_number(c.plus_minus, 2);
    bars.push_back({it != dimensions.end() ? it->what : c.of, most > 0 ? share / most : 0,
                    percent(share) + "  at " + held});
  }
  g.items.emplace_back(Text{.at = {box.min.x(), box.max.y() - kLetters},
                            .text = "its scatter comes from",
                            .height = kLetters,
                            .bold = true});
  add(g, ranked_bars({box.min, box.max - Vec2(0, kHead)}, bars, 0.62 * box.width()));
  return g;
}

}  // namespace halfround::drawing
