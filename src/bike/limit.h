// A limit that somebody set, and how a study's result stands to it. Every study hands its verdicts up in this
// one shape; the check sheet and `halfround check` only collect them. Frame: none.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "base/maths.h"
#include "base/words.h"
#include "bike/part.h"

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
inline constexpr std::array<base::Word<Standing>, 5> kStandings{
    {{Standing::not_met, "not_met", "not met"},
     {Standing::unknown, "not_known", "not known"},
     {Standing::barely_met, "barely_met", "barely met"},
     {Standing::met, "met", "met"},
     {Standing::no_limit, "no_limit", "no limit"}}};
static_assert(base::complete(kStandings));
/// The one wording, for page, command, file and sheet.
[[nodiscard]] constexpr const char* word_of(Standing s) {
  return base::word_of(kStandings, s).words.data();
}

inline constexpr double kBarely = 0.1;  ///< of the limit: met by less than this share is barely met

/// What a builder does about a limit that is not met, worst first.
enum class Grade { cant_be_built, may_break, may_be_tight, shops_aim };
inline constexpr std::array<base::Word<Grade>, 4> kGrades{
    {{Grade::cant_be_built, "cant_be_built", "can't be built"},
     {Grade::may_break, "may_break", "may break or touch"},
     {Grade::may_be_tight, "may_be_tight", "may be tight"},
     {Grade::shops_aim, "shops_aim", "shop's aim"}}};
static_assert(base::complete(kGrades));
[[nodiscard]] constexpr const char* word_of(Grade g) {
  return base::word_of(kGrades, g).words.data();
}

/// The question that a verdict answers, in the order in which they are shown.
enum class Question { hold, clear, steer, come_out_true };
inline constexpr std::array<base::Word<Question>, 4> kQuestions{
    {{Question::hold, "hold", "Will it hold?"},
     {Question::clear, "clear", "Will it clear?"},
     {Question::steer, "steer", "Will it steer?"},
     {Question::come_out_true, "come_out_true", "Will it come out true?"}}};
static_assert(base::complete(kQuestions));
[[nodiscard]] constexpr const char* word_of(Question q) {
  return base::word_of(kQuestions, q).words.data();
}

/// One row a verdict's id: what it asks and how bad it is. docs/verdicts.md explains each.
struct VerdictRule {
  std::string_view code;
  Question question = Question::hold;
  Grade grade = Grade::may_break;
};
[[nodiscard]] std::span<const VerdictRule> verdict_rules();
/// in   code  of the table
[[nodiscard]] const VerdictRule& rule_of(std::string_view code);

/// Where on a member, as data.
struct OnMember {
  Part member;
  double s = 0;                       ///< mm from its lower end
  std::optional<double> u;            ///< clock angle, rad; nothing: all round
  std::optional<base::Vec3> point{};  ///< the place itself, frame F
};

/// A change that was tried and meets the limit.
struct Fix {
  std::string key;    ///< of the job; "" where more than one key says it
  std::string value;  ///< to type there
  std::string what;   ///< "steerer wall 2.3 → 2.6 mm at its lower end"
};

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
  std::string load{};            ///< under which load, with its source; "" where there is none
  std::string not_counted{};     ///< what this verdict does not know, one sentence; ""
  std::optional<OnMember> at{};  ///< the same place as `where`
  Part against{};                ///< of a clearance: the body that comes near; empty: none
  std::optional<Fix> fix{};      ///< only where a limit is not met and a change was found that meets it

  /// What is left, in `unit`; below 0: missing. Nothing without value and limit.
  [[nodiscard]] std::optional<double> margin() const;
  [[nodiscard]] Standing standing() const;
  [[nodiscard]] Grade grade() const { return rule_of(code).grade; }
  [[nodiscard]] Question question() const { return rule_of(code).question; }
  /// Not met or not known, and of a grade that nobody should build over.
  [[nodiscard]] bool stops() const;
};

/// Do they say the same thing of two forks: one id, of one part, against one body, under one load?
[[nodiscard]] bool same_line(const Verdict& a, const Verdict& b);

/// How many stand how; what has no limit is not counted.
struct Tally {
  int not_met = 0, unknown = 0, barely_met = 0, met = 0;
  int stops_not_met = 0, stops_unknown = 0;  ///< those of the first two grades among them
};
[[nodiscard]] Tally tally_of(std::span<const Verdict> verdicts);

/// "2 not met, 4 not known, 13 met, 1 barely met"; with nothing not met "13 met, 4 not known"; "nothing
/// checked"
[[nodiscard]] std::string in_words(const Tally& tally);

}  // namespace halfround::bike
