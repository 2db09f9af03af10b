// A limit that somebody set, and how a study's result stands to it. Every study hands its verdicts up in this
// one shape; the check sheet and `halfround check` only collect them. Frame: none.
#pragma once

#include <optional>
#include <span>
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

/// In the order in which people should read them: what is not known may be as bad as what is not met.
enum class Standing { not_met, unknown, barely_met, met, no_limit };
/// The one wording, for page, command, file and sheet.
[[nodiscard]] constexpr const char* word_of(Standing s) {
  switch (s) {
    case Standing::not_met:
      return "not met";
    case Standing::unknown:
      return "not known";
    case Standing::barely_met:
      return "barely met";
    case Standing::met:
      return "met";
    case Standing::no_limit:
      break;
  }
  return "no limit";
}

inline constexpr double kBarely = 0.1;  ///< of the limit: met by less than this share is barely met

/// One line of the check sheet.
struct Verdict {
  std::string study;            ///< "clearance", "strength", "tolerance", "handling"
  std::string code;             ///< stable, docs/problems.md: "clearance-least", "strength-fatigue"
  std::string what;             ///< one plain line: "tyre to left blade, with mud and an untrue wheel"
  std::string where;            ///< member and place in words, or ""
  std::string unit;             ///< "mm", "MPa", "%", "" for a bare ratio
  std::optional<double> value;  ///< in `unit`; nothing: unknown, and `note` says what is missing
  std::optional<Limit> limit;   ///< in `unit`; nothing beside a value: for information
  std::string note;

  /// What is left, in `unit`; below 0: missing. Nothing without value and limit.
  [[nodiscard]] std::optional<double> margin() const;
  [[nodiscard]] Standing standing() const;
};

/// How many stand how; what has no limit is not counted.
struct Tally {
  int not_met = 0, unknown = 0, barely_met = 0, met = 0;
};
[[nodiscard]] Tally tally_of(std::span<const Verdict> verdicts);

/// "2 not met, 4 not known, 13 met, 1 barely met"; with nothing not met "13 met, 4 not known"; "nothing
/// checked"
[[nodiscard]] std::string in_words(const Tally& tally);

}  // namespace halfround::bike
