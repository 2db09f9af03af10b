// A whole fork worked with a pocket calculator: docs/worked-fork.md. Every number here is copied from there,
// digit for digit, and must still stand there; the program has to agree to the last digit printed.
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <sstream>

#include "base/maths.h"
#include "job/read.h"
#include "parts.h"
#include "solve/solve.h"

namespace halfround::job {
namespace {

std::string slurp(const std::string& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

class WorkedFork : public testing::Test {
 protected:
  void SetUp() override {
    const auto read = read_job(slurp(SOURCE_DIR "/tests/jobs/v1/worked-fork.toml"), "worked-fork.toml");
    ASSERT_TRUE(read) << base::sentence(read.error().front());
    auto solved = solve::solve(*read);
    ASSERT_TRUE(solved) << base::sentence(solved.error());
    answer = std::move(*solved);
    document = slurp(SOURCE_DIR "/docs/worked-fork.md");
  }

  /// Within one of the last digit of `by_hand`, or within `within` where that is given.
  void expect(const char* what, double found, const std::string& by_hand, double within = 0) const {
    EXPECT_NE(document.find(by_hand), std::string::npos)
        << what << ": the document no longer says " << by_hand;
    const auto point = by_hand.find('.');
    const auto decimals = point == std::string::npos ? 0 : by_hand.size() - point - 1;
    const double last_digit = std::pow(10.0, -static_cast<double>(decimals));
    EXPECT_NEAR(found, std::stod(by_hand), within > 0 ? within : last_digit) << what;
  }

  [[nodiscard]] const study::Mitre& mitre(const bike::Part& member, bike::End end) const {
    for (const study::Mitre& m : answer.mitres) {
      if (m.member == member && m.end == end) return m;
    }
    throw std::logic_error("no such mitre");
  }

  solve::Answer answer;
  std::string document;
};

TEST_F(WorkedFork, TheLayoutIsTheOneWorkedByHand) {
  const layout::Placed& p = answer.fork.left;
  expect("drop", answer.handling.axle_to_crown_along, "426.633");
  expect("s_crown", p.s_crown, "444.366");
  expect("tilt share", p.shares.tilt, "45.0000");
  expect("tilt", base::to_deg(p.tilt_angle), "6.56698");
  expect("crown height", p.crown_height, "35.7365");
  expect("top angle", base::to_deg(p.top_angle), "72.1221");
  EXPECT_NEAR(p.shares.sum(), 45, 1e-9);
}

TEST_F(WorkedFork, ClearanceAndSteeringAreTheOnesWorkedByHand) {
  expect("clearance", answer.fork.left.clearance.value, "13.7999");
  expect("clearance, right", answer.fork.right.clearance.value, "13.7999");
  expect("steerer to tyre", answer.crown_gap, "17.4026");
  expect("trail", answer.handling.trail, "74.4712");
  expect("flop", answer.handling.flop, "22.9245");
  // read off the cut's points: within the chord tolerance of the curve
  expect("below the seat", answer.seat_gap, "27.7403", 1e-3);
}

struct Depth {
  int clock_deg;
  const char *outer, *inner;
};

TEST_F(WorkedFork, TheUpperMitreIsTheOneWorkedByHand) {
  const study::Mitre& left = mitre("blade.left"_part, bike::End::end);
  const study::Mitre& right = mitre("blade.right"_part, bike::End::end);
  expect("scribe line", left.s_scribe, "420.214");
  expect("scribe line from the end", left.scribe_from_end.centre, "35", 1e-6);
  EXPECT_EQ(left.passed_by, 0);
  for (const Depth& d : {Depth{0, "13.0457", "12.7132"},
                         {90, "15.3754", "14.0247"},
                         {180, "5.36026", "5.66823"},
                         {270, "16.3057", "14.8775"}}) {
    const study::ClockDepth& l = left.clock.at(static_cast<std::size_t>(d.clock_deg / 15));
    expect("outer", l.outer, d.outer);
    expect("inner", l.inner, d.inner);
    // on the mirror image, the mirrored clock angle
    const study::ClockDepth& r = right.clock.at(static_cast<std::size_t>((360 - d.clock_deg) % 360 / 15));
    expect("outer, right", r.outer, d.outer);
    expect("inner, right", r.inner, d.inner);
  }
}

TEST_F(WorkedFork, TheLowerMitreIsTheOneWorkedByHand) {
  const study::Mitre& left = mitre("blade.left"_part, bike::End::start);
  expect("scribe line", left.s_scribe, "36", 1e-6);
  expect("scribe line from the end", left.scribe_from_end.centre, "36", 1e-6);
  EXPECT_EQ(left.passed_by, 0);
  for (const Depth& d : {Depth{0, "6.60831", "6.55590"},
                         {90, "11.9876", "10.7880"},
                         {180, "5.35052", "5.40293"},
                         {270, "11.9876", "10.7880"}}) {
    const study::ClockDepth& l = left.clock.at(static_cast<std::size_t>(d.clock_deg / 15));
    expect("outer", l.outer, d.outer);
    expect("inner", l.inner, d.inner);
  }
}

}  // namespace
}  // namespace halfround::job
