// How a verdict stands, in one wording for page, command, file and sheet.
#include "bike/limit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace halfround::bike {
namespace {

Verdict verdict(std::optional<double> value, std::optional<double> limit, Bound bound = Bound::at_least) {
  Verdict v;
  v.code = "clearance-wish";
  v.value = value;
  if (limit) v.limit = Limit{*limit, bound, "a test"};
  return v;
}

TEST(Limit, AVerdictIsMetBarelyMetNotMetOrNotKnown) {
  const auto word = [](const Verdict& v) { return std::string(word_of(v.standing())); };
  EXPECT_EQ(word(verdict(7, 6)), "met");
  EXPECT_EQ(word(verdict(6.5, 6)), "barely met");
  EXPECT_EQ(word(verdict(6, 6)), "barely met");
  EXPECT_EQ(word(verdict(5.9, 6)), "not met");
  EXPECT_EQ(word(verdict({}, 6)), "not known");
  EXPECT_EQ(word(verdict(NAN, 6)), "not known");
  EXPECT_EQ(word(verdict({}, {})), "not known");
  EXPECT_EQ(word(verdict(3, {})), "no limit");
  EXPECT_EQ(word(verdict(4, 5, Bound::at_most)), "met");
  EXPECT_EQ(word(verdict(4.6, 5, Bound::at_most)), "barely met");
  EXPECT_EQ(word(verdict(5.1, 5, Bound::at_most)), "not met");
}

TEST(Limit, TheCountNeverSaysAllMetWhileSomethingIsNotKnown) {
  std::vector<Verdict> all{verdict(9, 6), verdict(9, 6), verdict({}, 6), verdict(3, {})};
  EXPECT_EQ(in_words(tally_of(all)), "2 met, 1 not known");
  all.push_back(verdict(6.1, 6));
  EXPECT_EQ(in_words(tally_of(all)), "2 met, 1 barely met, 1 not known");
  all.push_back(verdict(1, 6));
  EXPECT_EQ(in_words(tally_of(all)), "1 not met, 1 not known, 2 met, 1 barely met");
  EXPECT_EQ(in_words(tally_of({})), "nothing checked");
}

TEST(Limit, OnlyWhatMayBreakOrTouchStopsABuilder) {
  std::vector<Verdict> all{verdict(1, 6), verdict({}, 6), verdict(1, 6), verdict({}, 6)};
  all[2].code = "strength-fatigue", all[3].code = "strength-impact";
  EXPECT_EQ(tally_of(all).not_met, 2);
  EXPECT_EQ(tally_of(all).stops_not_met, 1);
  EXPECT_EQ(tally_of(all).stops_unknown, 1);
  EXPECT_FALSE(verdict(9, 6).stops());
}

TEST(Limit, EveryVerdictHasAGradeAndAQuestionOnce) {
  for (const VerdictRule& rule : verdict_rules()) EXPECT_EQ(&rule_of(rule.code), &rule) << rule.code;
}

}  // namespace
}  // namespace halfround::bike
