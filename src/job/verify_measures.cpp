// Measures that look like another measure: a row with width and depth exchanged, whole tyre widths given as
// halves, a bead seat of another tyre, an axle that does not go through its bore. Frame: none.
#include "job/verify_measures.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/plain.h"
#include "job/numbers.h"

namespace halfround::job {

namespace {

constexpr double kOval = 1.5;  // mm between width and depth: less is round, or ovalised by the vice

// height over width of a tyre on its rim; ISO 5775-1 takes them alike, measured ones are 0.85 to 1.1
// [common practice], and no tyre is known beyond these
constexpr double kFlattest = 0.68, kTallest = 1.4;

bool known(const Quantity& q) {
  return !q.typed.empty();
}

void complain(const Job& job, base::Problems& problems, const char* code, const std::string& key,
              std::string what, std::string fits) {
  const std::string said = job.lines.contains(key) ? key : said_key(job, key);
  problems.push_back({code, place_of(job, said), std::move(what), std::move(fits)});
}

/// +1: deeper than wide, -1: wider than deep, 0: round or not known.
int lies(const Station& s) {
  if (!s.outline.empty() || !known(s.width) || !known(s.depth)) return 0;
  const double d = s.depth.value - s.width.value;
  return d > kOval ? 1 : d < -kOval ? -1 : 0;
}

/// How far a width and a depth lie from the mean of two rows.
double apart(const Station& a, const Station& b, double width, double depth) {
  return std::abs((a.width.value + b.width.value) / 2 - width) +
         std::abs((a.depth.value + b.depth.value) / 2 - depth);
}

/// One row lies the other way than its neighbours, and exchanged it goes with them.
bool exchanged(const std::vector<Station>& rows, std::size_t i) {
  const int own = lies(rows[i]);
  if (own == 0 || rows.size() < 3) return false;
  int others = 0;
  for (std::size_t k = 0; k < rows.size(); ++k) {
    if (k == i) continue;
    if (lies(rows[k]) == own) return false;
    others += lies(rows[k]) != 0;
  }
  const bool between = i > 0 && i + 1 < rows.size();
  if (others < (between ? 1 : 2)) return false;
  const Station &s = rows[i], &below = rows[i > 0 ? i - 1 : i + 1], &above = between ? rows[i + 1] : below;
  return apart(below, above, s.depth.value, s.width.value) <
         0.6 * apart(below, above, s.width.value, s.depth.value);
}

void blade(const Job& job, const Blade& b, const std::string& at, base::Problems& problems) {
  for (std::size_t i = 0; i < b.stations.size(); ++i) {
    if (!exchanged(b.stations, i)) continue;
    const Station& s = b.stations[i];
    complain(
        job, problems, "width-depth-exchanged", fmt::format("{}.stations[{}]", at, i + 1),
        base::plainly("Row {} is {} mm wide and {} mm deep; the other rows are all {}.", i + 1, s.width.value,
                      s.depth.value, lies(s) > 0 ? "wider than deep" : "deeper than wide"),
        base::plainly("Width is across the bicycle, depth fore and aft: write width {}, depth {}, or "
                      "measure this place as an outline.",
                      s.depth.value, s.width.value));
  }
}

void tyre(const Job& job, base::Problems& problems) {
  const Wheel& w = job.wheel;
  if (!w.tyre.empty() || !known(w.outside_diameter) || !known(w.bead_seat) || w.half_profile.size() < 3)
    return;
  double half = 0;
  std::size_t widest = 0;
  for (std::size_t i = 0; i < w.half_profile.size(); ++i) {
    if (!known(w.half_profile[i].half_width)) return;
    if (w.half_profile[i].half_width.value > half) half = w.half_profile[i].half_width.value, widest = i;
  }
  const double height = (w.outside_diameter.value - w.bead_seat.value) / 2;
  if (half <= 0 || height <= 5) return;  // tyre-smaller-than-rim says that
  const double ratio = height / (2 * half);
  if (ratio >= kFlattest && ratio <= kTallest) return;
  const std::string size =
      base::plainly("{} mm wide (twice {}) and {} mm high over the bead seat", 2 * half, half, height);
  if (height / half >= 0.8 && height / half <= 1.25) {
    complain(job, problems, "tyre-width-whole", fmt::format("wheel.tyre.half_profile[{}]", widest + 1),
             "The tyre would be " + size + ": these look like whole widths.",
             base::plainly("Give half of each width, from the middle of the tread outward: {} instead of {}.",
                           half / 2, half));
    return;
  }
  complain(
      job, problems, "bead-seat-differs", "wheel.bead_seat",
      "The tyre would be " + size + ": no tyre has that shape.",
      base::plainly("A tyre {} mm wide and {} mm over the tread sits on a bead seat of about {} mm; "
                    "read the bead seat off the sidewall (the last number of 54-559).",
                    2 * half, w.outside_diameter.value, std::round(w.outside_diameter.value - 4 * half)));
}

void lower_end(const Job& job, const LowerEnd& e, const std::string& at, base::Problems& problems) {
  const bool bored = layout::row_of(e.kind).axle == layout::AxleHold::bore;
  if (!bored || !known(e.bore) || !known(job.hub.axle) || e.bore.value >= job.hub.axle.value - 1e-9) return;
  const std::string key = said_key(job, at + ".bore");
  complain(job, problems, "bore-too-narrow", key,
           base::plainly("The axle of {} mm does not go through a bore of {} mm.", job.hub.axle.value,
                         e.bore.value),
           fmt::format("Give {} mm or more.",
                       base::shortest(base::reachable(job.hub.axle.value, base::Fits::from, 2))));
  problems.back().offers.push_back(
      {key, base::shortest(base::reachable(job.hub.axle.value, base::Fits::from, 2)), "a wider bore"});
}

}  // namespace

void verify_measures(const Job& job, base::Problems& problems) {
  tyre(job, problems);
  blade(job, job.left, job.right ? "blades.left" : "blades", problems);
  // rows for both sides are complained of once
  if (job.right &&
      (job.lines.contains("blades.right.stations") || job.lines.contains("blades.left.stations")))
    blade(job, *job.right, "blades.right", problems);
  lower_end(job, job.lower_end, job.right_lower_end ? "lower_end.left" : "lower_end", problems);
  if (job.right_lower_end) lower_end(job, *job.right_lower_end, "lower_end.right", problems);
}

}  // namespace halfround::job
