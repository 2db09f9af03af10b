// The sheets of the shop: mirrored pairs that can't be swapped, the plan's own numbers, tidy on both papers.
#include "sheet/shop_sheets.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "answer_scene.h"
#include "job/shop_read.h"
#include "sheet/cards.h"
#include "sheet/fit_up_sheet.h"
#include "sheet/measuring_plan.h"
#include "sheet/work_order.h"

namespace halfround::sheet {
namespace {

struct InShop {
  job::Job job;
  solve::Answer answer;
  shop::Shop shop;
  solve::ShopPlan plan;
};

/// An example solved in the island's shed; once for all tests.
const InShop& in_the_shed(const std::string& name) {
  static std::map<std::string, InShop> all;
  const auto found = all.find(name);
  if (found != all.end()) return found->second;
  Solved s = solved_example(name);
  std::ostringstream text;
  text << std::ifstream(SOURCE_DIR "/examples/island-mail/shop.toml", std::ios::binary).rdbuf();
  const auto read = job::read_shop(text.str(), "shop.toml");
  base::check(read.has_value(), "the example's shop reads");
  solve::ShopPlan plan = solve::shop_plan(s.job, s.answer, read->shop);
  return all.emplace(name, InShop{std::move(s.job), std::move(s.answer), read->shop, std::move(plan)})
      .first->second;
}

std::vector<Sheet> all_sheets(const InShop& s, Paper paper) {
  return {shop_cards(s.job, s.answer, s.plan, paper, plain_title()),
          adapter_sheet(s.plan, paper, plain_title()), cut_list_sheet(s.answer, s.plan, paper, plain_title()),
          traveller_sheet(s.job, s.answer, s.plan, paper, plain_title()),
          measuring_sheet(s.job, s.answer, paper, plain_title())};
}

std::string words_of(const Group& group) {
  std::string out;
  for (const Item& item : group.items)
    if (const auto* text = std::get_if<Text>(&item)) out += text->text + " ";
  return out;
}
std::string words_of(const Sheet& sheet) {
  std::string out;
  for (const Page& page : sheet.pages)
    for (const Group& group : page.groups)
      if (!is_furniture(group)) out += words_of(group);
  return out;
}

std::vector<const Group*> cards_of(const Page& page) {
  std::vector<const Group*> out;
  for (const Group& group : page.groups)
    if (group.name == "card") out.push_back(&group);
  return out;
}

bool says(const Group& group, const std::string& word) {
  return std::ranges::any_of(group.items, [&](const Item& item) {
    const auto* text = std::get_if<Text>(&item);
    return text && text->text == word;
  });
}

TEST(ShopSheets, AreTidyOnBothPapersWithLettersForTheBench) {
  for (const char* name : {"island-mail", "harbour-mail"}) {
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      for (const Sheet& sheet : all_sheets(in_the_shed(name), paper)) {
        for (const Page& page : sheet.pages) {
          expect_tidy(page);
          for (const Group& group : page.groups) {
            if (is_furniture(group)) continue;
            for (const Item& item : group.items) {
              const auto* text = std::get_if<Text>(&item);
              if (text) {
                EXPECT_GE(text->height, 2.5) << sheet.stem << ": " << text->text;
              }
            }
          }
        }
      }
    }
  }
}

Page page_called(const Sheet& sheet, const std::string& name) {
  const auto found = std::ranges::find(sheet.pages, name, &Page::name);
  if (found != sheet.pages.end()) return *found;
  ADD_FAILURE() << "no page " << name;
  return {};
}

/// The island's fork with a disc in place of its rim brake.
InShop with_a_disc() {
  const InShop& shed = in_the_shed("island-mail");
  std::ostringstream text;
  text << std::ifstream(SOURCE_DIR "/examples/island-mail/fork.toml", std::ios::binary).rdbuf();
  std::string disc = text.str();
  const std::string rim = "mount = \"rim\"";
  disc.replace(disc.find(rim), rim.size(), "mount = \"post\"\nrotor = 160");
  auto job = job::read_job(disc, "disc.toml");
  base::check(job.has_value(), "the island's job with a disc reads");
  auto answer = solve::solve(*job);
  base::check(answer.has_value(), "the island's fork with a disc solves");
  solve::ShopPlan plan = solve::shop_plan(*job, *answer, shed.shop);
  return {std::move(*job), std::move(*answer), shed.shop, std::move(plan)};
}

TEST(Cards, SmallPartsAndTheBrakeMountHaveTheirs) {
  const InShop s = with_a_disc();
  ASSERT_TRUE(s.answer.mount);
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const Sheet sheet = shop_cards(s.job, s.answer, s.plan, paper, plain_title());
    Sheet one = sheet;
    one.pages = {page_called(sheet, "mount card"), page_called(sheet, "mount foot card")};
    const std::string mount = words_of(one);
    const auto expect = [](const std::string& words, const std::string& what) {
      EXPECT_NE(words.find(what), std::string::npos) << what;
    };
    expect(mount, base::format_number(s.answer.mount->face, 1) + " mm");
    expect(mount, base::format_number(std::abs(s.answer.mount->lateral), 1) + " mm");
    for (const study::MountFoot& foot : s.answer.mount->feet)
      for (const Vec2& d : foot.depths)
        if (std::lround(base::to_deg(d.x())) % 45 == 0) expect(mount, base::format_number(d.y(), 1));
    int scales = 0;
    for (const shop::FixtureSheet& f : s.plan.fixtures)
      for (const shop::Reading& r : f.readings)
        if (shop::of_mount(r.measures)) expect(mount, r.text), ++scales;
    EXPECT_EQ(scales, 4);
    const std::string all = words_of(sheet);
    for (const study::Feature& f : s.answer.features)
      if (f.kind != study::FeatureKind::brake_mount) expect(all, base::format_number(f.s, 1) + " mm");
    for (const Page& page : sheet.pages)
      for (const Group& g : page.groups) {
        const auto box = bounds_of(g.items);
        ASSERT_TRUE(!box || (box->min.y() > 0 && box->max.y() < page.height)) << page.name << " " << g.label;
      }
  }
}

TEST(Cards, EveryPairHasLeftAtTheLeftAndRightAtTheRightAndNeverBothOnOne) {
  const InShop& s = in_the_shed("island-mail");
  int pairs = 0;
  for (const Page& page : shop_cards(s.job, s.answer, s.plan, Paper::a4, plain_title()).pages) {
    const auto cards = cards_of(page);
    if (cards.size() != 2 || !says(*cards[0], "LEFT") || says(*cards[0], "RIGHT")) continue;
    ++pairs;
    EXPECT_TRUE(says(*cards[1], "RIGHT"));
    EXPECT_FALSE(says(*cards[1], "LEFT"));
    EXPECT_LT(bounds_of(cards[0]->items)->max.x(), bounds_of(cards[1]->items)->min.x());
  }
  EXPECT_GE(pairs, 4);  // two ends cut, one of them filed, the joints
}

/// Corners of all strokes of a card's head (what lies above `y`), rounded to 0.01 mm.
std::multiset<std::pair<long, long>> corners(const Group& card, double y, double middle, bool mirrored) {
  std::multiset<std::pair<long, long>> out;
  for (const Item& item : card.items) {
    const auto* path = std::get_if<Path>(&item);
    if (!path || bounds_of({item})->min.y() < y) continue;
    // a circle's points don't mirror onto its points
    if (path->closed && !path->filled && path->stroke.weight == Weight::medium) continue;
    for (const Vec2& p : path->points) {
      const double x = mirrored ? 2 * middle - p.x() : p.x();
      out.emplace(std::lround(50 * x), std::lround(50 * p.y()));
    }
  }
  return out;
}

TEST(Cards, TheRightCardsForkIsTheLeftOnesMirrorImage) {
  const InShop& s = in_the_shed("island-mail");
  const Page page = page_called(shop_cards(s.job, s.answer, s.plan, Paper::a4, plain_title()), "cut cards");
  const auto cards = cards_of(page);
  ASSERT_EQ(cards.size(), 2u);
  const double top = bounds_of(cards[0]->items)->max.y();
  // the word's bar and the fork below the bar of the order of work, which is longer on the later card
  std::multiset<std::pair<long, long>> left, right;
  const auto fork = [&](const Group& card, bool mirrored) {
    Group some = card;
    std::erase_if(some.items, [&](const Item& item) { return bounds_of({item})->max.y() > top - 13; });
    return corners(some, top - 40, page.width / 2, mirrored);
  };
  left = fork(*cards[0], false), right = fork(*cards[1], true);
  ASSERT_GT(left.size(), 100u);
  ASSERT_EQ(left.size(), right.size());
  // sorted points of both stand within 0.04 mm of each other: rounding may tip a hundredth
  for (auto a = left.begin(), b = right.begin(); a != left.end(); ++a, ++b)
    EXPECT_LE(std::abs(a->first - b->first), 2);
}

TEST(Cards, ShowTheNumbersOfThePlan) {
  for (const char* name : {"island-mail", "harbour-mail"}) {
    const InShop& s = in_the_shed(name);
    const Sheet sheet = shop_cards(s.job, s.answer, s.plan, Paper::a4, plain_title());
    const std::string words = words_of(sheet);
    const auto expect = [&](const std::string& what) {
      EXPECT_NE(words.find(what), std::string::npos) << what;
    };
    for (const shop::MachineSetUp& e : s.plan.set_ups) {
      if (e.cutters.empty() || !e.cutters.front().serves) continue;
      expect(base::format_number(base::to_deg(e.angle), 1) + "°");
      expect(base::format_number(base::to_deg(e.u_up), 0) + "°");
      expect(base::format_number(std::abs(e.cutters.front().offset), 2) + " mm");
    }
    for (const shop::LengthCheck& c : s.plan.lengths) expect(base::format_number(c.length, 2) + " mm");
    for (const shop::FixtureSheet& f : s.plan.fixtures)
      for (const shop::Reading& r : f.readings) expect(r.in_range ? r.text : "OUT OF RANGE");
    for (const study::Step& c : s.answer.joining.cautions) expect(c.what.substr(0, 20));
  }
}

TEST(Traveller, TellsEveryStepOnceInOrderAndTheLugBeforeTheJoint) {
  const InShop& s = in_the_shed("island-mail");
  const auto order = order_of_work(s.job, s.answer, s.plan);
  for (std::size_t i = 0; i < order.size(); ++i) EXPECT_EQ(order[i].number, static_cast<int>(i) + 1);
  const auto first = [&](Stage stage) {
    return std::ranges::find(order, stage, &WorkStep::stage) - order.begin();
  };
  EXPECT_LT(first(Stage::measure), first(Stage::lay_out));
  EXPECT_LT(first(Stage::small_parts), first(Stage::cut));
  EXPECT_LT(first(Stage::cut), first(Stage::set));
  EXPECT_LT(first(Stage::set), first(Stage::join));
  EXPECT_LT(first(Stage::join), first(Stage::prove));
  const Sheet sheet = traveller_sheet(s.job, s.answer, s.plan, Paper::letter, plain_title());
  std::size_t boxes = 0;
  for (const Page& page : sheet.pages)
    for (const Group& group : page.groups) boxes += group.name == "step";
  EXPECT_EQ(boxes, order.size());
}

TEST(Traveller, AsksForNothingThatTheJobReportsAsFinished) {
  const InShop& s = in_the_shed("island-mail");
  job::Job job = s.job;
  job.done.emplace();
  job.done->left.short_by = base::Quantity{.value = 0.4, .typed = "0.4"};
  job.done->right_insert.length = base::Quantity{.value = 20, .typed = "20"};
  job.done->steerer_length = job.steerer.length;
  const auto before = order_of_work(s.job, s.answer, s.plan), now = order_of_work(job, s.answer, s.plan);
  ASSERT_LE(now.size(), before.size());  // what is cut and filed is one step when it is done
  int done = 0;
  for (std::size_t i = 0; i < now.size(); ++i) {
    EXPECT_EQ(now[i].number, static_cast<int>(i) + 1);
    if (!now[i].done) continue;
    ++done;
    EXPECT_TRUE(now[i].blanks.empty()) << now[i].what;
    EXPECT_NE(now[i].what.find("Done"), std::string::npos) << now[i].what;
  }
  EXPECT_GE(done, 6);  // laid out and cut at both ends, the steerer, the right insert
  const auto asked = [&](const std::string& words) {
    return std::ranges::any_of(now, [&](const WorkStep& w) {
      return !w.done && w.stage != Stage::measure && w.what.find(words) != std::string::npos;
    });
  };
  EXPECT_FALSE(asked("Left blade, upper end: strike"));
  EXPECT_TRUE(asked("Right blade, upper end: strike"));
  // nor has a finished end a card that would cut it again
  for (const Page& page : shop_cards(job, s.answer, s.plan, Paper::a4, plain_title()).pages) {
    if (page.name != "cut cards" && page.name != "file cards") continue;
    for (const Group* card : cards_of(page)) EXPECT_FALSE(says(*card, "LEFT")) << page.name;
  }
}

TEST(MeasuringPlan, ReadsTheForkAsTheToleranceChainMeasuresIt) {
  const InShop& s = in_the_shed("island-mail");
  const auto plan = measuring_plan(s.job, s.answer);
  const auto value = [&](const std::string& mark) {
    const auto it = std::ranges::find(plan, mark, &PlateMeasure::mark);
    return it == plan.end() ? NAN : it->expected;
  };
  const std::vector<double> none(s.answer.chain.dimensions.size(), 0.0);
  const auto measured = bike::measured(s.answer.chain, none);
  const auto of = [&](bike::Measure m) {
    const auto it = std::ranges::find(s.answer.chain.measures, m);
    return it == s.answer.chain.measures.end() ? NAN : measured[it - s.answer.chain.measures.begin()];
  };
  EXPECT_NEAR(value("D"), of(bike::Measure::offset), 1e-6);
  EXPECT_NEAR(std::hypot(value("A"), value("D")), of(bike::Measure::axle_to_crown), 1e-6);
  EXPECT_NEAR(value("F + G"), s.job.hub.over_locknut.value, 1e-6);
  EXPECT_NEAR(value("½(F − G) − R/W·(B − A)"), of(bike::Measure::centring), 1e-6);
}

TEST(MeasuringPlan, ItsCentringFollowsTheChainWhenABladeIsLonger) {
  InShop s = in_the_shed("island-mail");
  const auto of = [&](const bike::Chain& chain) {
    const auto measured = bike::measured(chain, std::vector<double>(chain.dimensions.size(), 0.0));
    const auto it = std::ranges::find(chain.measures, bike::Measure::centring);
    return measured[it - chain.measures.begin()];
  };
  s.answer.chain.limbs.front().end += base::Vec3(0, 0.3, -0.8);
  const auto plan = measuring_plan(s.job, s.answer);
  const auto it = std::ranges::find(plan, "½(F − G) − R/W·(B − A)", &PlateMeasure::mark);
  ASSERT_NE(it, plan.end());
  EXPECT_NEAR(it->expected, of(s.answer.chain), 0.01);
  EXPECT_GT(std::abs(it->expected), 2) << "0.8 mm of length throw the tyre's top aside";
}

TEST(CutList, NamesEveryPieceAndWhatHasToBeBought) {
  const InShop& s = in_the_shed("harbour-mail");
  const std::string words = words_of(cut_list_sheet(s.answer, s.plan, Paper::a4, plain_title()));
  for (const shop::Served& p : s.plan.cutting.pieces)
    EXPECT_NE(words.find(base::format_number(p.piece.length, 1)), std::string::npos) << p.piece.what;
  for (const study::Shopping& f : s.answer.joining.shopping)
    EXPECT_NE(words.find(f.filler), std::string::npos) << f.filler;
}

TEST(Adapter, IsDrawnToScale) {
  const InShop& s = in_the_shed("island-mail");
  const Sheet sheet = adapter_sheet(s.plan, Paper::a4, plain_title());
  ASSERT_EQ(sheet.pages.size(), 1u);
  const shop::Adapter& a = s.plan.fixtures.front().pieces.front();
  EXPECT_NE(words_of(sheet).find("scale 2:1"), std::string::npos);
  // the hatched halves are as long as the piece, twice
  for (const Group& group : sheet.pages[0].groups) {
    if (group.name != "outline") continue;
    const auto hatch =
        std::ranges::find_if(group.items, [](const Item& i) { return std::holds_alternative<Area>(i); });
    ASSERT_NE(hatch, group.items.end());
    const Box box = *bounds_of({*hatch});
    EXPECT_NEAR(box.width(), 2 * (a.shoulder + a.spigot), 1e-9);
    EXPECT_NEAR(box.height(), a.shoulder_diameter - a.bore_fit->nominal, 1e-9);
  }
}

TEST(Adapter, OfEveryKindIsTidy) {
  solve::ShopPlan plan;
  for (const auto& [width, axle] :
       {std::pair{92.0, 12.0}, {100.0, 9.0}, {92.0, 9.0}, {110.0, 12.0}, {100.0, 15.0}}) {
    const auto made = shop::adapter({100, 12, 20, 24}, {width, axle, 30});
    ASSERT_TRUE(made.has_value());
    if (!*made) continue;
    shop::FixtureSheet f;
    f.fixture = "bed", f.pieces = {**made}, f.dummy = shop::DummyAxle{width, axle, 30};
    plan.fixtures.push_back(f);
  }
  ASSERT_EQ(plan.fixtures.size(), 5u);
  for (const Paper paper : {Paper::a4, Paper::letter})
    for (const Page& page : adapter_sheet(plan, paper, plain_title()).pages) expect_tidy(page);
}

/// The shed with a race stop that a seat of 30 mm falls through.
InShop with_wide_stop() {
  InShop out = in_the_shed("island-mail");
  out.shop.fixtures.front().race_stop = 30.2;
  out.plan = solve::shop_plan(out.job, out.answer, out.shop);
  return out;
}

TEST(ShopSheets, ARingForTheRaceStopIsOnAdapterSheetCutListAndTraveller) {
  const InShop s = with_wide_stop();
  const std::string ring = "flanged ring for the race stop";
  const auto expect = [&](const Sheet& sheet, std::string what) {
    std::string words = words_of(sheet);
    EXPECT_NE(words.find(what), std::string::npos) << sheet.stem << ": " << words;
  };
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const Sheet adapter = adapter_sheet(s.plan, paper, plain_title());
    ASSERT_EQ(adapter.pages.size(), 2u);
    expect(adapter, ring), expect(adapter, "ø30.2 g6"), expect(adapter, "3.00");
    for (const Page& page : adapter.pages) expect_tidy(page);
    expect(cut_list_sheet(s.answer, s.plan, paper, plain_title()), ring);
    const Sheet traveller = traveller_sheet(s.job, s.answer, s.plan, paper, plain_title());
    expect(traveller, ring), expect(traveller, "flange, thick");
    const Sheet cards = shop_cards(s.job, s.answer, s.plan, paper, plain_title());
    expect(cards, "lifts the seat by");
    for (const Page& page : cards.pages) expect_tidy(page);
  }
}

TEST(Cards, AfterMillingOnlyTheFlatsAreAskedFor) {
  const InShop& s = in_the_shed("island-mail");
  const Page page = page_called(shop_cards(s.job, s.answer, s.plan, Paper::a4, plain_title()), "file cards");
  for (const Group* card : cards_of(page)) {
    const std::string words = words_of(*card);
    const auto after = words.find("After milling"), all = words.find("All by hand, without the mill");
    ASSERT_NE(after, std::string::npos);
    ASSERT_NE(all, std::string::npos);
    const std::string first = words.substr(after, all - after);
    EXPECT_NE(first.find("runs past"), std::string::npos) << first;
    EXPECT_EQ(first.find("hollow"), std::string::npos) << first;
    EXPECT_EQ(first.find("hacksaw"), std::string::npos) << first;
    EXPECT_NE(words.find("Saw the second plane"), std::string::npos) << words;
  }
}

TEST(Cards, SayWhereTheJawsTakeHold) {
  const InShop& s = in_the_shed("island-mail");
  const std::string words = words_of(shop_cards(s.job, s.answer, s.plan, Paper::a4, plain_title()));
  EXPECT_NE(words.find("Jaws 60 mm long"), std::string::npos);
}

TEST(Cards, SayThatScalesDisagreeAndByHowMuch) {
  const InShop& s = in_the_shed("island-mail");
  const std::string words = words_of(shop_cards(s.job, s.answer, s.plan, Paper::a4, plain_title()));
  ASSERT_EQ(s.plan.fixtures.front().disagreements.size(), 1u);
  EXPECT_NE(words.find("disagrees with"), std::string::npos);
}

// Of every example: no minus before a nought, no whole turn as a clock angle, no shoulder of nothing; nothing
// of a card outside its frame.
TEST(Cards, OfEveryExampleStayInTheirFramesAndPrintNoNumberNobodyWouldWrite) {
  for (const char* name :
       {"island-mail", "harbour-mail", "ferry-mail", "pier-mail", "quarry-mail", "slip-mail"}) {
    const InShop& s = in_the_shed(name);
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      for (const Sheet& sheet : all_sheets(s, paper)) {
        const std::string words = words_of(sheet);
        for (const char* never : {"360°", "-0°", "−0°", "−0.0 ", "−0.00 ", "-0.0", "shoulder, thick 0.00"})
          EXPECT_EQ(words.find(never), std::string::npos)
              << name << ", " << sheet.stem << ": "
              << words.substr(std::max<std::size_t>(words.find(never), 60) - 60, 90);
      }
      for (const Page& page : shop_cards(s.job, s.answer, s.plan, paper, plain_title()).pages) {
        for (const Group* card : cards_of(page)) {
          // the first closed rectangle is the frame
          const auto* frame = std::get_if<Path>(&card->items.front());
          ASSERT_TRUE(frame);
          const Box box = *bounds_of({*frame});
          for (const Item& item : card->items) {
            const auto* text = std::get_if<Text>(&item);
            if (!text) continue;
            const Box ink = *bounds_of({item});
            EXPECT_GE(ink.min.y(), box.min.y() - 0.5) << name << ", " << page.name << ": " << text->text;
            EXPECT_LE(ink.max.x(), box.max.x() + 0.5) << name << ", " << page.name << ": " << text->text;
            EXPECT_GE(ink.min.x(), box.min.x() - 0.5) << name << ", " << page.name << ": " << text->text;
          }
        }
      }
    }
  }
}

TEST(Cards, SayFromWhereTheSmallForkIsSeen) {
  const InShop& s = in_the_shed("slip-mail");
  for (const Page& page : shop_cards(s.job, s.answer, s.plan, Paper::a4, plain_title()).pages)
    for (const Group* card : cards_of(page)) {
      const bool sided = says(*card, "LEFT") || says(*card, "RIGHT");
      if (sided && page.name != "length card") {
        EXPECT_TRUE(says(*card, "from the saddle")) << page.name;
      }
    }
}

/// The island's left upper end with a known lean filed into it.
study::FitUp found_fit_up(const InShop& s) {
  std::vector<study::GapReading> readings;
  for (const double u : {0.0, 40.0, 120.0, 160.0, 200.0, 230.0, 300.0, 340.0})
    readings.push_back({base::to_rad(u), 0.2 + 0.2 * std::cos(base::to_rad(u - 30))});
  const auto found = study::fit_up(s.answer.fork.assembly, s.answer.mitres.front(), readings,
                                   {.no_touch = {base::to_rad(180)}});
  base::check(found.has_value(), "the scene's fit-up can be had");
  return *found;
}

TEST(FitUpSheet, ShowsTheTablesNumbersAndIsTidy) {
  const study::FitUp found = found_fit_up(in_the_shed("island-mail"));
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const Sheet sheet = fit_up_sheet(found, paper, plain_title());
    for (const Page& page : sheet.pages) expect_tidy(page);
    const std::string words = words_of(sheet);
    double most = 0;
    for (const study::TakeOff& t : found.table)
      if (t.met && !t.no_touch) most = std::max(most, t.take_off);
    EXPECT_NE(words.find(base::format_number(most, 2) + " mm"), std::string::npos);
    EXPECT_NE(words.find("keep off"), std::string::npos);
    EXPECT_NE(words.find(base::format_number(base::to_deg(found.lean), 2) + "°"), std::string::npos);
  }
}

TEST(ShopSheets, FirstCardsAndAdapterOfTheIslandForkAreAsAccepted) {
  const InShop& s = in_the_shed("island-mail");
  Sheet cards = shop_cards(s.job, s.answer, s.plan, Paper::a4, plain_title());
  cards.pages = {page_called(cards, "cut cards")};
  expect_golden(cards, "cards");
  expect_golden(adapter_sheet(s.plan, Paper::a4, plain_title()), "adapter");
}

/// The numbers printed right of each blade's name on the cut list.
std::vector<std::vector<double>> blade_rows(const Sheet& sheet) {
  std::vector<std::vector<double>> out;
  for (const Page& page : sheet.pages) {
    for (const Group& group : page.groups) {
      for (const Item& item : group.items) {
        const auto* name = std::get_if<Text>(&item);
        if (!name || (name->text != "left blade" && name->text != "right blade")) continue;
        std::vector<std::pair<double, double>> cells;
        for (const Item& other : group.items) {
          const auto* cell = std::get_if<Text>(&other);
          if (!cell || std::abs(cell->at.y() - name->at.y()) > 0.5 || cell->at.x() <= name->at.x()) continue;
          cells.emplace_back(cell->at.x(), std::stod(cell->text));
        }
        std::ranges::sort(cells);
        out.emplace_back();
        for (const auto& cell : cells) out.back().push_back(cell.second);
      }
    }
  }
  return out;
}

TEST(ShopSheets, EveryBladesRowOfTheCutListAddsUpToItsStock) {
  for (const char* name :
       {"island-mail", "harbour-mail", "ferry-mail", "quarry-mail", "pier-mail", "slip-mail"}) {
    const InShop& s = in_the_shed(name);
    const auto rows = blade_rows(cut_list_sheet(s.answer, s.plan, Paper::a4, plain_title()));
    ASSERT_EQ(rows.size(), 2u) << name;
    for (const auto& row : rows) {
      ASSERT_EQ(row.size(), 4u) << name;
      EXPECT_NEAR(row[0], row[1] + row[2] + row[3], 1e-6) << name;
      EXPECT_GT(row[2], 200) << name;
    }
  }
}

}  // namespace
}  // namespace halfround::sheet
