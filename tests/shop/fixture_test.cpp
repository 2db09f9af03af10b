// Readings, holders and adapters: the trade's own check value, every way a dummy axle can differ, and that a
// scale read back gives the fork again.
#include "shop/fixture.h"

#include <gtest/gtest.h>

#include <cmath>

#include "shop/cut_list.h"
#include "shop_scene.h"

namespace halfround::shop {
namespace {

using namespace base::literals;

ForkMeasures scene_measures() {
  return measures_of(scene_fork(), 100, 12, CrownHeight{34, 34}, 30);
}

Adjuster scale(Measures measures, double zero, double direction, ScaleUnit unit, double step, double least,
               double most) {
  return {"scale", measures, zero, direction, unit, step, least, most};
}

TEST(Fixture, MeasuresAreThoseTheForkWasLaidOutWith) {
  const ForkMeasures m = scene_measures();
  const auto at = [&](Measures what) { return *m.left[static_cast<std::size_t>(what)]; };
  EXPECT_NEAR(at(Measures::offset), 44, 1e-9);
  EXPECT_NEAR(at(Measures::axle_to_crown_along), 400, 1e-9);
  EXPECT_NEAR(at(Measures::axle_to_crown_straight), std::hypot(44, 400), 1e-9);
  EXPECT_NEAR(at(Measures::offset_angle), std::atan(0.11), 1e-12);
  EXPECT_NEAR(at(Measures::crown_height), 34, 1e-6);
  const auto fork = layout::lay_out(layout::scene());
  EXPECT_NEAR(at(Measures::splay), fork->left.splay, 1e-9);
  EXPECT_NEAR(*m.right[static_cast<std::size_t>(Measures::splay)], fork->left.splay, 1e-9);
  EXPECT_NEAR(m.steerer, 28.6, 1e-9);
  EXPECT_NEAR(m.hub.axle, 12, 1e-9);
  EXPECT_NEAR(m.hub.depth, 20, 1e-9);
  EXPECT_NEAR(m.hub.outside, 24, 1e-9);
}

TEST(Fixture, AReadingReadBackIsTheForkAndItsRoundingTheError) {
  for (const double direction : {1.0, -1.0}) {
    for (const double step : {0.5, 1.0, 0.397, 25.4 / 64}) {
      const Adjuster a = scale(Measures::offset, 12.3, direction, ScaleUnit::mm, step, -200, 200);
      const FixtureSheet s = fixture_sheet({"bed", {a}, {}, {}, {}}, scene_measures());
      const Reading& r = s.readings.at(0);
      const double fork = a.zero + direction * r.set;
      EXPECT_NEAR(fork - 44, r.error, 1e-9);
      EXPECT_LE(std::abs(r.error), step / 2 + 1e-9);
      EXPECT_NEAR(r.set / step, std::round(r.set / step), 1e-6);
      EXPECT_DOUBLE_EQ(r.error_at_axle, r.error);
    }
  }
}

TEST(Fixture, TextsAreAsTheScaleIsMarked) {
  const auto text = [](const Adjuster& a) {
    return fixture_sheet({"bed", {a}, {}, {}, {}}, scene_measures()).readings.at(0).text;
  };
  // 44 mm is 110.87 sixty-fourths
  EXPECT_EQ(text(scale(Measures::offset, 0, 1, ScaleUnit::inch, 25.4 / 64, 0, 80)), "1 47/64 in");
  EXPECT_EQ(text(scale(Measures::axle_to_crown_along, 300, 1, ScaleUnit::mm, 0.5, 0, 180)), "100.0 mm");
  // atan(44/400) = 6.28 degrees, on a scale that falls
  EXPECT_EQ(text(scale(Measures::offset_angle, 0, -1, ScaleUnit::degree, 0.25_deg, -12_deg, 0)), "−6.25°");
}

TEST(Fixture, OutOfRangeIsSaidWithTheAmount) {
  const Adjuster past = scale(Measures::axle_to_crown_along, 300, 1, ScaleUnit::mm, 0.5, 0, 92);
  const Adjuster before = scale(Measures::axle_to_crown_along, 420, 1, ScaleUnit::mm, 0.5, 0, 92);
  const FixtureSheet s = fixture_sheet({"bed", {past, before}, {}, {}, {}}, scene_measures());
  EXPECT_FALSE(s.readings[0].in_range);
  EXPECT_NEAR(s.readings[0].out_by, 8, 1e-9);
  EXPECT_FALSE(s.readings[1].in_range);
  EXPECT_NEAR(s.readings[1].out_by, -20, 1e-9);
  EXPECT_FALSE(s.as_set);
}

TEST(Fixture, TheForkAsSetComesFromAnyTwoScalesThatFixTheAxle) {
  const Adjuster offset = scale(Measures::offset, 0, 1, ScaleUnit::mm, 0.6, 0, 100),
                 along = scale(Measures::axle_to_crown_along, 0, 1, ScaleUnit::mm, 0.7, 0, 500),
                 straight = scale(Measures::axle_to_crown_straight, 0, 1, ScaleUnit::mm, 0.7, 0, 500),
                 angle = scale(Measures::offset_angle, 0, 1, ScaleUnit::degree, 0.25_deg, 0, 20_deg);
  for (const auto& pair :
       {std::vector{offset, along}, {offset, straight}, {straight, angle}, {along, angle}}) {
    const auto s = fixture_sheet({"bed", pair, {}, {}, {}}, scene_measures()).as_set;
    ASSERT_TRUE(s);
    EXPECT_NEAR(std::hypot(s->offset, s->along), s->straight, 1e-9);
    EXPECT_NEAR(s->offset - s->offset_error, 44, 1e-9);
    EXPECT_NEAR(s->along - s->along_error, 400, 1e-9);
    EXPECT_LT(std::abs(s->offset_error), 1.2);
    EXPECT_GT(std::abs(s->offset_error), 1e-3);
  }
  EXPECT_FALSE(fixture_sheet({"bed", {along}, {}, {}, {}}, scene_measures()).as_set);
}

TEST(Fixture, HoldersSayWhatIsMissing) {
  const ForkMeasures fork = scene_measures();
  const auto clamp = [&](double least, double most) {
    return fixture_sheet({"bed", {}, {}, {}, SteererClamp{least, most}}, fork).holders.at(0);
  };
  EXPECT_TRUE(clamp(25, 32).fits);
  EXPECT_NE(clamp(31.8, 31.8).note.find("3.20 mm too thin"), std::string::npos);
  EXPECT_NE(clamp(25.4, 25.4).note.find("3.20 mm too thick"), std::string::npos);
  const auto stop = [&](double bore) { return fixture_sheet({"bed", {}, {}, bore, {}}, fork).holders.at(0); };
  EXPECT_TRUE(stop(28.8).fits);
  EXPECT_FALSE(stop(28).fits);
  EXPECT_FALSE(stop(30.5).fits);
}

TEST(Fixture, ARingForTheRaceStopHasAFitAndAFlangeAndIsAmongThePiecesToTurn) {
  // seat 30.0, bore 30.2: a plain ring of 30.2 would fall through as well
  const FixtureSheet s = fixture_sheet({"bed", {}, {}, 30.2, {}}, scene_measures());
  ASSERT_EQ(s.pieces.size(), 1u);
  const Adapter& ring = s.pieces.front();
  EXPECT_EQ(ring.kind, AdapterKind::race_ring);
  EXPECT_GT(ring.shoulder_diameter, 30.2 + 4);  // the flange can't go through
  ASSERT_TRUE(ring.spigot_fit);
  EXPECT_LT(ring.spigot_fit->most(), 30.2);  // and the spigot goes in
  ASSERT_TRUE(ring.bore_fit);
  EXPECT_GT(ring.bore_fit->least(), 28.6);  // over the steerer
  EXPECT_LT(ring.bore_fit->most(), 30);     // under the seat
  EXPECT_NEAR(s.lift, ring.shoulder, 1e-12);
  const auto cut = pieces_of(scene_fork(), s.pieces);
  EXPECT_TRUE(std::ranges::any_of(cut, [&](const Piece& p) { return p.what == ring.title; }));
  // nearly the steerer's size: no room for a spigot
  const FixtureSheet thin = fixture_sheet({"bed", {}, {}, 29.0, {}}, [] {
    ForkMeasures m = scene_measures();
    m.crown_race = 28.9;
    return m;
  }());
  ASSERT_EQ(thin.pieces.size(), 1u);
  EXPECT_EQ(thin.pieces.front().spigot, 0);
  // the table of fits ends at 50 mm: a sentence, no piece
  ForkMeasures wide = scene_measures();
  wide.crown_race = 52, wide.steerer = 51;
  const FixtureSheet none = fixture_sheet({"bed", {}, {}, 53, {}}, wide);
  EXPECT_TRUE(none.pieces.empty());
  EXPECT_EQ(none.lift, 0);
  EXPECT_FALSE(none.adapter_problem.empty());
}

TEST(Fixture, TheRingsFlangeIsInEveryScaleThatCountsFromTheStop) {
  const std::vector<Adjuster> scales{
      scale(Measures::axle_to_crown_along, 0, 1, ScaleUnit::mm, 0.001, 0, 900),
      scale(Measures::axle_to_crown_straight, 0, 1, ScaleUnit::mm, 0.001, 0, 900),
      scale(Measures::offset, 0, 1, ScaleUnit::mm, 0.001, 0, 900),
      scale(Measures::offset_angle, 0, 1, ScaleUnit::degree, 0.0001_deg, -1, 1),
      scale(Measures::crown_height, 0, 1, ScaleUnit::mm, 0.001, 0, 900)};
  const FixtureSheet s = fixture_sheet({"bed", scales, {}, 30.2, {}}, scene_measures());
  const double lift = s.pieces.at(0).shoulder;
  const double expected[] = {400 + lift, std::hypot(400 + lift, 44), 44, std::atan2(44, 400 + lift),
                             34 + lift};
  for (std::size_t i = 0; i < 5; ++i) EXPECT_NEAR(s.readings[i].set, expected[i], 0.001) << i;
  ASSERT_TRUE(s.as_set);
  EXPECT_NEAR(s.as_set->along, 400, 0.002);
  EXPECT_NEAR(s.as_set->offset, 44, 0.002);
  EXPECT_TRUE(s.disagreements.empty());
}

TEST(Fixture, ASteererThinnerThanItsClampGetsASleeveAmongThePieces) {
  const FixtureSheet s = fixture_sheet({"bed", {}, {}, {}, SteererClamp{31.8, 40}}, scene_measures());
  ASSERT_EQ(s.pieces.size(), 1u);
  EXPECT_EQ(s.pieces.front().kind, AdapterKind::clamp_sleeve);
  EXPECT_NEAR(s.pieces.front().spigot_fit->nominal, 31.8, 1e-12);
  EXPECT_NEAR(s.pieces.front().bore_fit->nominal, 28.6, 1e-12);
}

TEST(Fixture, AScaleMoreThanTheForkNeedsIsComparedWithTheOthers) {
  // the shed's old bed: half a millimetre, a sixty-fourth, a quarter of a degree
  Adjuster bed = scale(Measures::axle_to_crown_along, 300, 1, ScaleUnit::mm, 0.5, 0, 180),
           tower = scale(Measures::offset, 0, 1, ScaleUnit::inch, 25.4 / 64, 0, 80),
           board = scale(Measures::offset_angle, 0, -1, ScaleUnit::degree, 0.25_deg, -12_deg, 0);
  bed.name = "bed", tower.name = "tower", board.name = "leaning board";
  const FixtureSheet s = fixture_sheet({"bed", {bed, tower, board}, {}, {}, {}}, scene_measures());
  ASSERT_TRUE(s.as_set);
  // by hand: 47/64 of the second inch are 44.05 mm, on 400 mm that is 6.2843 degrees against 6.25
  ASSERT_EQ(s.disagreements.size(), 1u);
  const Disagreement& d = s.disagreements.front();
  EXPECT_EQ(d.scale, "leaning board");
  EXPECT_EQ(d.others, (std::vector<std::string>{"bed", "tower"}));
  const double they = std::atan2(111 * 25.4 / 64, 400);
  EXPECT_NEAR(d.by, 6.25_deg - they, 1e-9);
  EXPECT_NEAR(d.at_axle, d.by * std::hypot(400, 44), 1e-9);
  EXPECT_NE(words_of(d).find("leaning board as set disagrees with bed and tower by"), std::string::npos)
      << words_of(d);
  // two that fix the axle have nobody to disagree with
  EXPECT_TRUE(fixture_sheet({"bed", {bed, tower}, {}, {}, {}}, scene_measures()).disagreements.empty());
}

TEST(Fixture, HalfAWidthIsComparedWithTheWidth) {
  Adjuster whole = scale(Measures::over_locknut, 0, 1, ScaleUnit::mm, 1, 0, 200),
           half = scale(Measures::half_over_locknut, 0, 1, ScaleUnit::mm, 0.7, 0, 200);
  whole.name = "width", half.name = "left stop";
  const FixtureSheet s = fixture_sheet({"bed", {whole, half}, {}, {}, {}}, scene_measures());
  ASSERT_EQ(s.disagreements.size(), 1u);
  EXPECT_EQ(s.disagreements[0].scale, "left stop");
  EXPECT_NEAR(s.disagreements[0].by, 49.7 - 50, 1e-9);
  // the same thing twice, too
  Adjuster again = whole;
  again.name = "second scale", again.step = 0.7;
  const FixtureSheet t = fixture_sheet({"bed", {whole, again}, {}, {}, {}}, scene_measures());
  ASSERT_EQ(t.disagreements.size(), 1u);
  EXPECT_NEAR(t.disagreements[0].by, 100.1 - 100, 1e-9);
}

Adapter piece(const HubEnd& hub, const DummyAxle& dummy) {
  const auto a = adapter(hub, dummy);
  base::check(a && *a, "the case has an adapter");
  return **a;
}

// Check value of the trade: from 100 to 110 mm takes 5.0 mm a side [common practice].
TEST(Adapter, FromAHundredToAHundredAndTenTakesFiveMillimetresASide) {
  const Adapter a = piece({110, 15, 6, 0}, {100, 15, 0});
  EXPECT_EQ(a.kind, AdapterKind::spacer);
  EXPECT_EQ(a.pieces, 2);
  EXPECT_DOUBLE_EQ(a.shoulder, 5.0);
  EXPECT_EQ(a.bore_fit->tolerance_class, "H7");
  EXPECT_DOUBLE_EQ(a.bore_fit->most(), 15.018);
  EXPECT_GT(a.shoulder_diameter, 15);
}

// The island's fork on a bed made for 92 mm and a 9 mm axle.
TEST(Adapter, TheIslandsForkOnAnOldBedTakesASteppedInsert) {
  const FixtureSheet s = fixture_sheet({"bed", {}, {{92, 9, 30}}, {}, {}}, scene_measures());
  ASSERT_EQ(s.pieces.size(), 1u);
  const Adapter& a = s.pieces.front();
  EXPECT_EQ(a.kind, AdapterKind::stepped_insert);
  EXPECT_DOUBLE_EQ(a.shoulder, 4.0);
  EXPECT_DOUBLE_EQ(a.shoulder_diameter, 20);
  EXPECT_DOUBLE_EQ(a.spigot, 19);
  EXPECT_DOUBLE_EQ(a.spigot_fit->most(), 11.994);
  EXPECT_DOUBLE_EQ(a.spigot_fit->least(), 11.983);
  EXPECT_DOUBLE_EQ(a.bore_fit->most(), 9.015);
  EXPECT_GT(a.relief, 0);
  // 9 H7/h8 at most 15 + 22 um, 12 H8/g6 at most 27 + 17 um; half of both together
  EXPECT_NEAR(a.play, 0.5 * (0.037 + 0.044), 1e-9);
  EXPECT_TRUE(a.notes.empty());
}

TEST(Adapter, EveryOtherWayADummyAxleCanDiffer) {
  EXPECT_EQ(piece({92, 12, 20, 24}, {92, 9, 30}).kind, AdapterKind::sleeve);
  EXPECT_EQ(piece({90, 12, 20, 24}, {92, 9, 30}).kind, AdapterKind::dummy_axle);
  const Adapter thick = piece({100, 9, 6, 0}, {100, 12, 30});
  EXPECT_EQ(thick.kind, AdapterKind::dummy_axle);
  EXPECT_DOUBLE_EQ(thick.over_shoulders, 100);
  EXPECT_NE(thick.notes.at(0).find("3.00 mm too thick"), std::string::npos);
  EXPECT_EQ(piece({90, 12, 20, 24}, {92, 9, 30}).notes.at(0).find("The dummy axle is 2.0 mm too wide"), 0u);
  const auto same = adapter({100, 12, 20, 24}, {100, 12, 30});
  ASSERT_TRUE(same);
  EXPECT_FALSE(*same);
  EXPECT_FALSE(adapter({100, 60, 20, 80}, {92, 9, 30}));
}

TEST(Adapter, ThinAndShortPiecesAreNoted) {
  EXPECT_EQ(piece({100, 10, 20, 24}, {92, 9, 30}).notes.size(), 1u);
  EXPECT_EQ(piece({93, 12, 20, 24}, {92, 9, 30}).notes.size(), 1u);
  const Adapter low = piece({100, 12, 20, 24}, {92, 9, 20});
  ASSERT_EQ(low.notes.size(), 1u);
  EXPECT_NE(low.notes[0].find("4.0 mm too short"), std::string::npos) << low.notes[0];
}

TEST(Adapter, OfSeveralDummyAxlesTheNearestThatCanBeAddedTo) {
  const std::vector<DummyAxle> dummies{{110, 12, 0}, {92, 9, 0}, {100, 9, 0}};
  EXPECT_EQ(nearest_dummy(dummies, {100, 12, 20, 24}), &dummies[2]);
  EXPECT_EQ(nearest_dummy(dummies, {109, 12, 20, 24}), &dummies[2]);
  EXPECT_EQ(nearest_dummy({}, {100, 12, 20, 24}), nullptr);
}

study::Mount scene_mount(const bike::Assembly& fork) {
  study::MountOptions wish;
  wish.rotor_plane = 39.5, wish.bolts_from_rotor = 12.2, wish.turn = 6_deg;
  auto mount = study::brake_mount(fork, wish);
  EXPECT_TRUE(mount);
  return *mount;
}

TEST(Fixture, TheMountsMeasuresAreItsOwnCoordinates) {
  const bike::Assembly fork = scene_fork();
  const study::Mount mount = scene_mount(fork);
  const ForkMeasures m = measures_of(fork, 100, 12, std::nullopt, 30, &mount);
  const auto at = [&](Measures what) { return *m.left[static_cast<std::size_t>(what)]; };
  const study::PostGeometry post = study::post_geometry(160);
  EXPECT_NEAR(at(Measures::mount_face), post.face, 1e-9);
  EXPECT_NEAR(at(Measures::mount_bolt), post.first, 1e-9);
  EXPECT_NEAR(m.bolt_pitch, post.second - post.first, 1e-9);
  EXPECT_NEAR(at(Measures::mount_lean), 6_deg, 1e-12);
  EXPECT_NEAR(at(Measures::mount_aside), 39.5 + 12.2, 1e-9);
}

TEST(Fixture, RoundedScalesBringTheBoltsWhereTheSheetSays) {
  const bike::Assembly fork = scene_fork();
  const study::Mount mount = scene_mount(fork);
  const ForkMeasures m = measures_of(fork, 100, 12, std::nullopt, 30, &mount);
  const std::vector<Adjuster> arm{scale(Measures::mount_face, 30, 1, ScaleUnit::mm, 0.5, 0, 60),
                                  scale(Measures::mount_bolt, 0, -1, ScaleUnit::mm, 1, -60, 60),
                                  scale(Measures::mount_lean, 1_deg, 1, ScaleUnit::degree, 2_deg, -1, 1),
                                  scale(Measures::mount_aside, 25.4, 1, ScaleUnit::inch, 25.4 / 64, 0, 60)};
  const FixtureSheet s = fixture_sheet({"bed", arm, {}, {}, {}}, m);
  ASSERT_EQ(s.readings.size(), 4u);
  ASSERT_TRUE(s.mount);
  // the bolts again, in the plane of the rotor, from what the scales were set to
  double got[4];
  for (std::size_t i = 0; i < 4; ++i) got[i] = arm[i].zero + arm[i].direction * s.readings[i].set;
  double off = 0;
  for (const double up : {0.0, m.bolt_pitch}) {
    const auto place = [](double face, double along, double lean) {
      return Vec2(along * std::sin(lean) - face * std::cos(lean),
                  along * std::cos(lean) + face * std::sin(lean));
    };
    const study::MountFoot& foot = up == 0 ? mount.feet.front() : mount.feet.back();
    const Vec2 wanted(foot.face.x() - fork.axle.x(), foot.face.z() - fork.axle.z());
    off = std::max(off, (place(got[0], got[1] + up, got[2]) - wanted).norm());
  }
  EXPECT_NEAR(s.mount->off, off, 1e-9);
  EXPECT_NEAR(s.mount->aside, got[3] - 51.7, 1e-9);
  EXPECT_FALSE(s.mount->holds());  // a degree over a hundred mm is more than half a mm
  EXPECT_FALSE(s.as_set);
  // and without a mount the arm has nothing to do
  const FixtureSheet none =
      fixture_sheet({"bed", arm, {}, {}, {}}, measures_of(fork, 100, 12, std::nullopt, 30));
  EXPECT_TRUE(none.readings.empty());
  EXPECT_EQ(none.idle.size(), 4u);
  EXPECT_FALSE(none.mount);
}

}  // namespace
}  // namespace halfround::shop
