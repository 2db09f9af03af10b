#include "base/text_mark.h"

#include <gtest/gtest.h>

namespace halfround::base {
namespace {

// [source: the published test values of FNV-1a, 32 bits: "", "a", "foobar"]
TEST(TextMark, IsFnv1aInEightDigits) {
  EXPECT_EQ(text_mark(""), "811c9dc5");
  EXPECT_EQ(text_mark("a"), "e40c292c");
  EXPECT_EQ(text_mark("foobar"), "bf9cf968");
}

}  // namespace
}  // namespace halfround::base
