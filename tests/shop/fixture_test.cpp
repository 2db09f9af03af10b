// Readings, holders and adapters: the trade's own check value, every way a dummy axle can differ, and that a
// scale read back gives the fork again.
#include "shop/fixture.h"

#include <gtest/gtest.h>

#include <cmath>

#include "shop_scene.h"

namespace halfround::shop {
namespace {

using namespace base::literals;

ForkMeasures scene_measures() {
  return measures_of(scene_fork(), 100, 12, 30);
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
  ASSERT_TRUE(s.adapter);
  const Adapter& a = *s.adapter;
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
  const ForkMeasures m = measures_of(fork, 100, 12, 30, &mount);
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
  const ForkMeasures m = measures_of(fork, 100, 12, 30, &mount);
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
  const FixtureSheet none = fixture_sheet({"bed", arm, {}, {}, {}}, measures_of(fork, 100, 12, 30));
  EXPECT_TRUE(none.readings.empty());
  EXPECT_EQ(none.idle.size(), 4u);
  EXPECT_FALSE(none.mount);
}

}  // namespace
}  // namespace halfround::shop
