// So many a minute, of one address.
#include "serve/tally.h"

#include <gtest/gtest.h>

namespace halfround::serve {
namespace {

using std::chrono::seconds;

TEST(Tally, WhoDidItTooOftenWaitsUntilTheMinuteIsOver) {
  Tally tally(3);
  const Tally::Time start{seconds(1000)};
  for (int i = 0; i < 3; ++i) EXPECT_EQ(tally.take("phone", start + seconds(i)), 0) << i;
  EXPECT_EQ(tally.take("phone", start + seconds(10)), 50);
  EXPECT_EQ(tally.take("laptop", start + seconds(10)), 0);
  EXPECT_EQ(tally.wait("phone", start + seconds(59)), 1);
  EXPECT_EQ(tally.wait("phone", start + seconds(60)), 0);
  for (int i = 0; i < 3; ++i) EXPECT_EQ(tally.take("phone", start + seconds(60)), 0) << i;
  EXPECT_EQ(tally.take("phone", start + seconds(61)), 59);
}

TEST(Tally, OldAddressesAreForgotten) {
  Tally tally(1);
  Tally::Time now{seconds(1000)};
  for (int i = 0; i < 100'000; ++i, now += seconds(1)) tally.count(std::to_string(i), now);
  EXPECT_LE(tally.known(), 200U);
  // within one minute nobody is
  Tally flood(1);
  for (int i = 0; i < 1000; ++i) flood.count(std::to_string(i), now);
  EXPECT_EQ(flood.wait("0", now), 60);
}

}  // namespace
}  // namespace halfround::serve
