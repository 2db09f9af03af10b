// Which length serves which piece: nothing cut twice or beyond its end, the thinnest and shortest that
// serves.
#include "shop/cut_list.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <map>

#include "parts.h"

namespace halfround::shop {
namespace {

Piece bar(double diameter, double length) {
  return {"piece", StockKind::bar, diameter, 0, length, length};
}
Stock rack_bar(double diameter, double length, int count = 1) {
  return {"bar", StockKind::bar, diameter, 0, length, count};
}

TEST(CutList, TakesTheThinnestThenTheShortestThatServes) {
  const std::vector<Stock> rack{rack_bar(40, 100), rack_bar(25, 300), rack_bar(25, 90), rack_bar(20, 500)};
  const CutList list = cut_list({bar(24, 60)}, rack);
  EXPECT_EQ(list.pieces[0].stock, 2u);
  ASSERT_EQ(list.off_cuts.size(), 1u);
  EXPECT_DOUBLE_EQ(list.off_cuts[0].length, 90 - 60 - 1.5);
}

TEST(CutList, ATubeServesOnlyItsOwnSize) {
  const Stock thin{"t", StockKind::tube, 28.6, 0.9, 400, 1}, right{"r", StockKind::tube, 28.575, 1.6, 400, 1};
  const Piece steerer{"steerer", StockKind::tube, 28.6, 1.6, 241, 240};
  EXPECT_EQ(cut_list({steerer}, {thin, right}).pieces[0].stock, 1u);
  const CutList none = cut_list({steerer, steerer}, {thin});
  ASSERT_EQ(none.buy.size(), 1u);
  EXPECT_DOUBLE_EQ(none.buy[0].length, 2 * 241 + 1.5) << "one saw cut between the two";
  EXPECT_EQ(none.buy[0].pieces.size(), 2u);
}

TEST(CutList, APieceAsLongAsItsStockNeedsNoSawCut) {
  const CutList list = cut_list({bar(20, 100)}, {rack_bar(20, 100)});
  EXPECT_TRUE(list.pieces[0].stock);
  EXPECT_DOUBLE_EQ(list.off_cuts.at(0).length, 0);
}

RC_GTEST_PROP(CutList, NoPlaceOnALengthIsUsedTwice, ()) {
  std::vector<Stock> rack;
  std::vector<Piece> pieces;
  for (int i = *rc::gen::inRange(0, 5); i > 0; --i)
    rack.push_back(rack_bar(*rc::gen::inRange(10, 30), *rc::gen::inRange(20, 300), *rc::gen::inRange(1, 3)));
  for (int i = *rc::gen::inRange(0, 12); i > 0; --i)
    pieces.push_back(bar(*rc::gen::inRange(8, 30), *rc::gen::inRange(5, 120)));
  const CutList list = cut_list(pieces, rack);
  RC_ASSERT(list.pieces.size() == pieces.size());
  std::map<std::pair<std::size_t, int>, std::map<double, double>> cuts;
  std::size_t bought = 0;
  for (const Served& s : list.pieces) {
    if (!s.stock) {
      ++bought;
      continue;
    }
    RC_ASSERT(rack[*s.stock].diameter >= s.piece.diameter);
    RC_ASSERT(s.nth < rack[*s.stock].count);
    RC_ASSERT(s.from + s.piece.length <= rack[*s.stock].length + 1e-9);
    auto& places = cuts[std::pair(*s.stock, s.nth)];
    RC_ASSERT(places.emplace(s.from, s.from + s.piece.length).second);
  }
  for (const auto& [length, places] : cuts) {
    double end = -1.5;
    for (const auto& [from, to] : places) {
      RC_ASSERT(from >= end + 1.5 - 1e-9);
      end = to;
    }
  }
  std::size_t listed = 0;
  for (const Buy& b : list.buy) listed += b.pieces.size();
  RC_ASSERT(listed == bought);
}

}  // namespace
}  // namespace halfround::shop
