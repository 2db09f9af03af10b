// A limit that somebody set, and how a study's result stands to it. Every study hands its verdicts up in this
// one shape; the check sheet and `halfround check` only collect them. Frame: none.
#pragma once

#include <optional>
#include <string>

namespace halfround::bike {

/// On which side of the limit the value must stay.
enum class Bound { at_least, at_most };
[[nodiscard]] constexpr const char* word_of(Bound b) {
  return b == Bound::at_least ? "at least" : "at most";
}

struct Limit {
  double value = 0;  ///< in the unit of the verdict
  Bound bound = Bound::at_least;
  std::string source;  ///< who says so: "EN 14781 4.10.2, as quoted", "the job's wish"
};

enum class Standing { met, not_met, unknown };
[[nodiscard]] constexpr const char* word_of(Standing s) {
  return s == Standing::met ? "met" : s == Standing::not_met ? "not met" : "unknown";
}

/// One line of the check sheet.
struct Verdict {
  std::string study;            ///< "clearance", "strength", "tolerance", "handling"
  std::string code;             ///< stable, docs/problems.md: "clearance-least", "strength-fatigue"
  std::string what;             ///< one plain line: "tyre to left blade, with mud and an untrue wheel"
  std::string where;            ///< member and place in words, or ""
  std::string unit;             ///< "mm", "MPa", "%", "" for a bare ratio
  std::optional<double> value;  ///< in `unit`; nothing: unknown, and `note` says what is missing
  std::optional<Limit> limit;   ///< in `unit`; nothing: told for information
  std::string note;

  [[nodiscard]] Standing standing() const {
    if (!value || !limit) return Standing::unknown;
    const bool fine = limit->bound == Bound::at_least ? *value >= limit->value : *value <= limit->value;
    return fine ? Standing::met : Standing::not_met;
  }
};

}  // namespace halfround::bike
