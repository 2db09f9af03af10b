#include "shop/fits.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <optional>

#include "base/say.h"

namespace halfround::shop {

namespace {

// up to and including, mm; no letter used here is divided more finely
constexpr std::array<double, 6> kUpTo{3, 6, 10, 18, 30, 50};
using Steps = std::array<int, 6>;  // um

// standard tolerances IT5 to IT11 [from memory: ISO 286-1:2010 table 1]
constexpr std::array<Steps, 7> kGrades{{{4, 5, 6, 8, 9, 11},
                                        {6, 8, 9, 11, 13, 16},
                                        {10, 12, 15, 18, 21, 25},
                                        {14, 18, 22, 27, 33, 39},
                                        {25, 30, 36, 43, 52, 62},
                                        {40, 48, 58, 70, 84, 100},
                                        {60, 75, 90, 110, 130, 160}}};

/// Fundamental deviation of a shaft's letter: the upper one where it is below the nominal size, else the
/// lower.
struct Letter {
  std::string_view name;
  bool below;
  Steps um;
};
// [from memory: ISO 286-1:2010 tables 2 and 3]; k holds for grades 4 to 7
constexpr std::array<Letter, 9> kLetters{{{"d", true, {20, 30, 40, 50, 65, 80}},
                                          {"e", true, {14, 20, 25, 32, 40, 50}},
                                          {"f", true, {6, 10, 13, 16, 20, 25}},
                                          {"g", true, {2, 4, 5, 6, 7, 9}},
                                          {"h", true, {0, 0, 0, 0, 0, 0}},
                                          {"k", false, {0, 1, 1, 1, 2, 2}},
                                          {"m", false, {2, 4, 6, 7, 8, 9}},
                                          {"n", false, {4, 8, 10, 12, 15, 17}},
                                          {"p", false, {6, 12, 15, 18, 22, 26}}}};

base::Problem unknown(std::string_view tolerance_class) {
  return {
      "fit-class-unknown",
      {},
      fmt::format("There is no tolerance class \"{}\" in this table.", tolerance_class.substr(0, 20)),
      "Holes F, G, H and shafts d, e, f, g, h, js with a grade of 5 to 11; k, m, n, p of 5 to 7; e.g. H7."};
}

/// Deviations in um.
struct Deviations {
  double lower, upper;
};

std::optional<Deviations> deviations(std::string_view letter, int grade, std::size_t step) {
  const int width = kGrades[static_cast<std::size_t>(grade - 5)][step];
  if (letter == "js") return Deviations{-0.5 * width, 0.5 * width};
  for (const Letter& row : kLetters) {
    const int away = row.um[step];
    if (row.name == letter) {
      if (!row.below && grade > 7) return std::nullopt;
      if (row.below) return Deviations{static_cast<double>(-away - width), static_cast<double>(-away)};
      return Deviations{static_cast<double>(away), static_cast<double>(away + width)};
    }
    // holes F, G, H mirror the shafts of the same letter
    const bool mirrored = row.name == "f" || row.name == "g" || row.name == "h";
    if (mirrored && letter.size() == 1 && letter[0] == row.name[0] - 'a' + 'A') {
      return Deviations{static_cast<double>(away), static_cast<double>(away + width)};
    }
  }
  return std::nullopt;
}

}  // namespace

base::Result<FitLimits> fit_limits(std::string_view tolerance_class, double nominal) {
  if (!(nominal > 0 && nominal <= kUpTo.back())) {
    return tl::unexpected(base::Problem{"fit-size-outside",
                                        {},
                                        base::say("The table of fits has no {:.3f} mm.", nominal),
                                        "It ends at 50 mm."});
  }
  const auto digits = tolerance_class.find_first_of("0123456789");
  int grade = 0;
  if (digits == std::string_view::npos) return tl::unexpected(unknown(tolerance_class));
  const char *first = tolerance_class.data() + digits,
             *last = tolerance_class.data() + tolerance_class.size();
  const auto read = std::from_chars(first, last, grade);
  if (read.ec != std::errc{} || read.ptr != last || grade < 5 || grade > 11) {
    return tl::unexpected(unknown(tolerance_class));
  }
  std::size_t step = 0;
  while (nominal > kUpTo[step]) ++step;
  const auto d = deviations(tolerance_class.substr(0, digits), grade, step);
  if (!d) return tl::unexpected(unknown(tolerance_class));
  return FitLimits{std::string(tolerance_class), nominal, d->lower / 1000, d->upper / 1000};
}

Clearance clearance(const FitLimits& hole, const FitLimits& shaft) {
  return {hole.least() - shaft.most(), hole.most() - shaft.least()};
}

}  // namespace halfround::shop
