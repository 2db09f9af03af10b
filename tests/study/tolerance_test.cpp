// The tolerance study: the same counts for any split and any vector code, spreads that follow the tolerances,
// mirror images, and plain sentences for contradictory input.
#include "study/tolerance.h"

#include <gtest/gtest.h>

#include <cmath>

#include "layout/as_built.h"
#include "layout_scene.h"

namespace halfround::study {
namespace {

bike::Chain fork_chain() {
  const auto intent = layout::scene();
  return layout::as_built(intent, *layout::lay_out(intent));
}

Tolerances shop(const bike::Chain& chain, double times = 1) {
  Tolerances t;
  for (const auto& s : layout::shop_tolerances(chain)) t.dimensions.push_back({s.of, s.plus_minus * times});
  return t;
}

const MeasureResult& named(const ToleranceStudy& study, const std::string& key) {
  for (const auto& m : study.measures) {
    if (m.key == key) return m;
  }
  throw base::Bug("no such measure");
}

void expect_same(const Tally& a, const Tally& b, const std::string& what) {
  EXPECT_EQ(a.draws, b.draws) << what;
  EXPECT_EQ(a.counts, b.counts) << what;
  EXPECT_EQ(a.below, b.below) << what;
  EXPECT_EQ(a.above, b.above) << what;
  EXPECT_EQ(a.least, b.least) << what;  // to the last bit
  EXPECT_EQ(a.most, b.most) << what;
}

TEST(Tolerance, AnySplitOfTheDrawsMergesToTheSameCounts) {
  const auto chain = fork_chain();
  Tolerances t = shop(chain);
  t.limits = {{"centring", -1, 1, "wish"}};
  const auto plan = plan_tolerance(chain, t, {.draws = 5000});
  ASSERT_TRUE(plan);
  const Tally whole = count(*plan, 0, 5000);
  for (const std::uint64_t parts : {2, 3, 7}) {
    Tally sum;
    for (std::uint64_t k = parts; k-- > 0;)
      sum = merged(sum, count(*plan, 5000 * k / parts, 5000 * (k + 1) / parts));
    expect_same(sum, whole, std::to_string(parts));
  }
}

TEST(Tolerance, EveryVectorCodeGivesTheSameBits) {
  const auto chain = fork_chain();
  Tolerances t = shop(chain);
  t.dimensions[0].spread = Spread::uniform, t.dimensions[6].spread = Spread::triangular;
  t.dimensions[9].plus_minus = 0.2;  // a wide angle: the long sine
  for (const Code code : {Code::avx2, Code::avx512}) {
    if (!can_run(code)) {
      std::cout << "this processor can't run vector code " << static_cast<int>(code) << "\n";
      continue;
    }
    const auto plain = plan_tolerance(chain, t, {.draws = 5000, .code = Code::plain});
    const auto wide = plan_tolerance(chain, t, {.draws = 5000, .code = code});
    ASSERT_TRUE(plain && wide);
    expect_same(count(*plain, 0, 5000), count(*wide, 0, 5000), std::to_string(static_cast<int>(code)));
  }
}

/// The vector code against plain library functions, draw by draw.
TEST(Tolerance, TheFastChainIsThePlainOne) {
  auto chain = fork_chain();
  for (const double wide : {1.0, 20.0}) {
    const Tolerances t = shop(chain, wide);
    std::vector<Spread> spreads(t.dimensions.size(), Spread::normal);
    std::vector<DeviateBlock> unit(spreads.size());
    for (std::uint64_t first = 0; first < 10 * kBlock; first += kBlock) {
      draw_block(1, first, spreads, best_code(), unit);
      for (std::size_t i = 0; i < kBlock; i += 41) {
        std::vector<double> off(chain.dimensions.size());
        for (std::size_t v = 0; v < spreads.size(); ++v)
          for (std::size_t d = 0; d < off.size(); ++d)
            if (chain.dimensions[d].name == t.dimensions[v].of)
              off[d] = t.dimensions[v].plus_minus / 2 * static_cast<double>(unit[v][i]);
        const auto expected = bike::measured(chain, off);
        const auto plan = plan_tolerance(chain, t, {.hold_each = false});
        ASSERT_TRUE(plan);
        const Tally one = count(*plan, first + i, first + i + 1);
        for (std::size_t m = 0; m < expected.size(); ++m)
          // single precision of what moved, not of where it stands: millionths of the spread
          EXPECT_NEAR(one.least[m], expected[m], 2e-6 * wide) << bike::key_of(chain.measures[m]);
      }
    }
  }
}

/// Deviates against the generator's words in double precision.
TEST(Tolerance, DeviatesAreBoxMullerOfTheStreamsWords) {
  const std::vector<Spread> spreads{Spread::normal, Spread::normal, Spread::normal,
                                    Spread::normal, Spread::normal, Spread::uniform};
  std::vector<DeviateBlock> unit(spreads.size());
  const std::uint64_t seed = 0x123456789abcdefULL,
                      first = (1ULL << 32) - 64;  // the counter's carry within the block
  draw_block(seed, first, spreads, best_code(), unit);
  const std::array<std::uint32_t, 2> key{static_cast<std::uint32_t>(seed),
                                         static_cast<std::uint32_t>(seed >> 32)};
  const double k = 1 / 2147483648.0;
  for (std::uint64_t i = 0; i < kBlock; ++i) {
    const auto draw = first + i;
    const auto words = [&](std::uint32_t c2, std::uint32_t c3) {
      return philox({static_cast<std::uint32_t>(draw), static_cast<std::uint32_t>(draw >> 32), c2, c3}, key);
    };
    const Words w = words(0, 0);
    for (std::size_t pair = 0; pair < 2; ++pair) {
      const double r = std::sqrt(-2 * std::log(((w[2 * pair] >> 1) + 0.5) * k));
      const double a = base::kPi * static_cast<std::int32_t>(w[2 * pair + 1]) * k;
      EXPECT_NEAR(static_cast<double>(unit[2 * pair][i]), r * std::cos(a), 3e-6);
      EXPECT_NEAR(static_cast<double>(unit[2 * pair + 1][i]), r * std::sin(a), 3e-6);
    }
    EXPECT_NEAR(static_cast<double>(unit[5][i]), (static_cast<std::int32_t>(words(1, 1)[1]) + 0.5) * k, 1e-6);
  }
}

TEST(Tolerance, HalfTheTolerancesHalveTheSpreads) {
  const auto chain = fork_chain();
  const auto whole = tolerance(chain, shop(chain)), half = tolerance(chain, shop(chain, 0.5));
  ASSERT_TRUE(whole && half);
  for (std::size_t m = 0; m < whole->measures.size(); ++m) {
    EXPECT_NEAR(half->measures[m].spread95 / whole->measures[m].spread95, 0.5, 0.01)
        << whole->measures[m].key;
  }
}

TEST(Tolerance, BothSidesCountTheSame) {
  const auto chain = fork_chain();
  const auto study = tolerance(chain, shop(chain), {.draws = 200'000});
  ASSERT_TRUE(study);
  const auto &l = named(*study, "clearance_left"), &r = named(*study, "clearance_right");
  EXPECT_NEAR(l.sd, r.sd, 4 * l.sd / std::sqrt(400'000.0) * 1.5);
  EXPECT_NEAR(named(*study, "centring").mean, 0, 4 * named(*study, "centring").sd / std::sqrt(200'000.0));
  for (const auto& c : named(*study, "centring").contributions) {
    const auto dot = c.of.find(".left");
    if (dot == std::string::npos) continue;
    for (const auto& other : named(*study, "centring").contributions) {
      if (other.of == c.of.substr(0, dot) + ".right") {
        EXPECT_NEAR(c.effect, -other.effect, 1e-9) << c.of;
      }
    }
  }
}

TEST(Tolerance, WhatIsRunAgainAgreesWithTheLinearShares) {
  const auto chain = fork_chain();
  const auto study = tolerance(chain, shop(chain));
  ASSERT_TRUE(study);
  for (const std::string key : {"centring", "offset", "height", "spacing"}) {
    const auto& m = named(*study, key);
    double sum = 0;
    for (const auto& c : m.contributions) {
      sum += c.linear_share;
      if (c.share) {
        EXPECT_NEAR(*c.share, c.linear_share, 0.04) << key << " " << c.of;
      }
      if (c.held_spread && c.linear_share > 0.05) {
        EXPECT_LT(*c.held_spread, m.spread95) << key << " " << c.of;
      }
    }
    EXPECT_NEAR(sum, 1, 1e-9);
    EXPECT_NE(advice(m, chain.dimensions), "");
  }
}

TEST(Tolerance, ChancesAreCountedAndTold) {
  const auto chain = fork_chain();
  Tolerances t = shop(chain);
  t.limits = {{"spacing", -0.5, 1, "common practice"}};
  const auto study = tolerance(chain, t, {.draws = 100'000});
  ASSERT_TRUE(study);
  const auto& m = named(*study, "spacing");
  const auto phi = [](double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); };
  EXPECT_NEAR(m.below, phi((-0.5 - m.mean) / m.sd), 0.01);
  EXPECT_NEAR(m.above, phi((m.mean - 1) / m.sd), 0.01);
  const auto told = verdicts(*study);
  ASSERT_EQ(told.size(), 1U);
  EXPECT_EQ(told[0].standing(), bike::Standing::not_met);
  std::uint64_t sum = 0;
  for (const auto n : m.bins) sum += n;
  EXPECT_EQ(sum, study->draws);
  EXPECT_LE(m.bins.size(), 64U);
}

TEST(Tolerance, ContradictionsGetAPlainSentence) {
  const auto chain = fork_chain();
  const auto code = [&](Tolerances t) {
    const auto study = tolerance(chain, t, {.draws = 10});
    if (study) return std::string("none");
    EXPECT_FALSE(study.error().what.empty());
    EXPECT_FALSE(study.error().fits.empty());
    return study.error().code;
  };
  EXPECT_EQ(code({{{"lenght.left", 0.3}}, {}}), "tolerance-unknown");
  EXPECT_EQ(code({{{"length.left", -0.3}}, {}}), "tolerance-negative");
  EXPECT_EQ(code({{{"length.left", NAN}}, {}}), "tolerance-negative");
  EXPECT_EQ(code({{{"length.left", 0.3}, {"length.left", 0.2}}, {}}), "tolerance-twice");
  EXPECT_EQ(code({{{"splay.left", 0.5}}, {}}), "tolerance-too-wide");
  EXPECT_EQ(code({{{"length.left", 0}}, {}}), "tolerance-empty");
  EXPECT_EQ(code({{}, {}}), "tolerance-empty");
  EXPECT_EQ(code({{{"length.left", 0.3}}, {{"centring", 1, -1, ""}}}), "limits-contradict");
  EXPECT_EQ(code({{{"length.left", 0.3}}, {{"centring", 1, 1, ""}}}), "limits-contradict");
  EXPECT_EQ(code({{{"length.left", 0.3}}, {{"centering", 1, 2, ""}}}), "tolerance-unknown");
  EXPECT_EQ(code({{{"length.left", 0.3}}, {{"centring", -1, 1, ""}}}), "none");
}

}  // namespace
}  // namespace halfround::study
