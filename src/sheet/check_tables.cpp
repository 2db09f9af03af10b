#include "sheet/check_tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/number.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using bike::Standing;
using bike::Verdict;

constexpr double kLetters = 2.5, kRow = 4.4;

int decimals_of(const std::string& unit) {
  if (unit == "MPa" || unit == "N") return 0;
  return unit == "mm" || unit == "%" ? 1 : 2;
}

std::string with_unit(double v, const std::string& unit) {
  const std::string figure = format_number(v, std::abs(v) >= 100 ? 0 : decimals_of(unit));
  return unit.empty() ? figure : figure + " " + unit;
}

/// A limit as it was set: no zeros behind it.
std::string limit_with_unit(double v, const std::string& unit) {
  int decimals = 0;
  while (decimals < 3 && std::abs(v - std::round(v * std::pow(10, decimals)) / std::pow(10, decimals)) > 1e-9)
    ++decimals;
  return format_number(v, decimals) + (unit.empty() ? "" : " " + unit);
}

/// The same as a share of the limit (its logarithm), so that millimetres and margins stand in one row.
double nearness(const Verdict& v) {
  if (!v.value || !v.limit) return INFINITY;
  if (*v.value <= 0 || v.limit->value <= 0) return *v.margin();
  const double share = std::log(*v.value / v.limit->value);
  return v.limit->bound == bike::Bound::at_least ? share : -share;
}

std::string signed_margin(const Verdict& v) {
  const double m = *v.margin();
  return (m > 0 ? "+" : "") + with_unit(m, v.unit);
}

Cell standing_cell(const Verdict& v) {
  const std::string word = bike::word_of(v.standing());
  switch (v.standing()) {
    case Standing::not_met:
      return {.text = "✗ " + word, .bold = true};
    case Standing::unknown:
      return {.text = "? " + word, .bold = true};
    case Standing::barely_met:
    case Standing::met:
      return {.text = "✓ " + word};
    case Standing::no_limit:
      break;
  }
  return {.text = "– " + word};
}

std::string what_of(const Verdict& v, bool full) {
  const bool open = v.standing() == Standing::not_met || v.standing() == Standing::unknown;
  std::string out = (open ? std::string(bike::word_of(v.grade())) + ": " : "") + v.what;
  if (full && !v.where.empty()) out += " (" + v.where + ")";
  if (v.fix) out += "; to meet it: " + v.fix->what;
  // an unknown one is of no use without its reason
  if (!v.note.empty() && (full || !v.value)) out += "; " + v.note;
  return out;
}

std::string before_after(const std::optional<double>& before, const std::optional<double>& after) {
  if (!before || !after) return "unknown";
  return format_number(*before, 2) + " → " + format_number(*after, 2);
}

}  // namespace

Table verdict_table(const std::vector<Verdict>& verdicts, double width, bool full) {
  constexpr double kStanding = 22, kValue = 19, kLimit = 20, kMargin = 20, kSource = 46;
  Table out{.columns = {{"", kStanding, Anchor::left},
                        {"what", width - kStanding - kValue - kLimit - kMargin - kSource, Anchor::left},
                        {"value", kValue, Anchor::right},
                        {"limit", kLimit, Anchor::right},
                        {"margin", kMargin, Anchor::right},
                        {"by", kSource, Anchor::left}},
            .rows = {},
            .row = kRow,
            .height = kLetters,
            .rule_every = 1};
  std::vector<Verdict> ordered = verdicts;
  if (full) std::ranges::stable_sort(ordered, {}, [](const Verdict& v) { return v.question(); });
  const Verdict* before = nullptr;
  for (const Verdict& v : ordered) {
    if (full && (!before || before->question() != v.question()))
      out.rows.push_back(
          {Cell{}, {.text = bike::word_of(v.question()), .bold = true}, Cell{}, Cell{}, Cell{}, Cell{}});
    before = &v;
    const bool judged = v.value && v.limit, bold = v.standing() == Standing::not_met;
    std::string limit;
    if (v.limit)
      limit =
          (v.limit->bound == bike::Bound::at_least ? "≥ " : "≤ ") + limit_with_unit(v.limit->value, v.unit);
    out.rows.push_back({standing_cell(v),
                        {.text = what_of(v, full)},
                        {.text = v.value ? with_unit(*v.value, v.unit) : "–", .bold = bold},
                        {.text = limit},
                        {.text = judged ? signed_margin(v) : "", .bold = bold},
                        {.text = v.limit ? v.limit->source : ""}});
  }
  return out;
}

std::vector<Verdict> told_first(const std::vector<Verdict>& verdicts, const std::vector<double>& heights,
                                double room) {
  std::vector<std::size_t> order(verdicts.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto rank = [&](std::size_t i) {
    const Verdict& v = verdicts[i];
    const bool first = std::none_of(verdicts.begin(), verdicts.end(), [&](const Verdict& w) {
      return w.study == v.study && (nearness(w) < nearness(v) || (nearness(w) == nearness(v) && &w < &v));
    });
    if (first || v.standing() == Standing::unknown) return 0;
    return v.standing() == Standing::not_met ? 1 : 2;
  };
  const auto study = [&](std::size_t i) {
    return std::find_if(verdicts.begin(), verdicts.end(),
                        [&](const Verdict& v) { return v.study == verdicts[i].study; });
  };
  // among equals the studies keep their order: what can break comes before what is hard to make
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const int ra = rank(a), rb = rank(b);
    if (ra != rb) return ra < rb;
    if (study(a) != study(b)) return study(a) < study(b);
    return nearness(verdicts[a]) < nearness(verdicts[b]);
  });
  std::vector<bool> told(verdicts.size());
  for (const std::size_t i : order) {
    if (heights[i] > room) break;
    room -= heights[i];
    told[i] = true;
  }
  std::vector<Verdict> out;
  for (std::size_t i = 0; i < verdicts.size(); ++i)
    if (told[i]) out.push_back(verdicts[i]);
  return out;
}

Table change_table(const std::vector<study::Change>& changes, double width) {
  constexpr double kMargins = 22, kGrams = 13;
  Table out{.columns = {{"what if", width - 2 * kMargins - kGrams, Anchor::left},
                        {"yield", kMargins, Anchor::right},
                        {"fatigue", kMargins, Anchor::right},
                        {"grams", kGrams, Anchor::right}},
            .rows = {},
            .row = kRow,
            .height = kLetters};
  for (const study::Change& c : changes) {
    const double grams = 1000 * c.mass_change;
    out.rows.push_back({{.text = c.what},
                        {.text = before_after(c.yield_before, c.yield_after)},
                        {.text = before_after(c.fatigue_before, c.fatigue_after)},
                        {.text = (grams > 0 ? "+" : "") + format_number(grams, 0)}});
  }
  return out;
}

Table offset_table(const study::Handling& handling) {
  Table out{.columns = {{"offset, mm", 22, Anchor::right},
                        {"trail, mm", 22, Anchor::right},
                        {"wheelbase, mm", 28, Anchor::right},
                        {"steady hands off, km/h", 44, Anchor::right}},
            .rows = {},
            .row = kRow,
            .height = kLetters};
  for (const study::Steadiness& s : handling.by_offset) {
    std::string steady = "at no speed";
    if (s.steady) {
      steady = "from " + format_number(3.6 * s.steady->from_m_s, 1);
      if (s.steady->to_m_s) steady += " to " + format_number(3.6 * *s.steady->to_m_s, 1);
    }
    const bool bold = s.offset == handling.drawn.offset;
    out.rows.push_back({{.text = format_number(s.offset, 1), .bold = bold},
                        {.text = format_number(s.trail, 1), .bold = bold},
                        {.text = format_number(s.wheelbase, 0), .bold = bold},
                        {.text = steady, .bold = bold}});
  }
  return out;
}

}  // namespace halfround::sheet
