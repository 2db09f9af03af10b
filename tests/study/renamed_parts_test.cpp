// Nobody recognises a part by its key: an assembly whose members and plates go by other keys gets the same
// answers.
#include <gtest/gtest.h>

#include "base/number.h"
#include "layout_scene.h"
#include "study/braze.h"
#include "study/clearance.h"
#include "study/mass.h"
#include "study/plate_edges.h"
#include "study/small_parts.h"
#include "study/socket_fit.h"
#include "study/strength.h"

namespace halfround::study {
namespace {

/// Every key turned round, so that its beginning and its end are another's.
bike::Assembly renamed(bike::Assembly a) {
  const auto turn = [](bike::Part& part) {
    part.name = "x" + std::string(part.name.rbegin(), part.name.rend());
  };
  for (bike::Member& m : a.members) turn(m.part);
  for (bike::Plate& p : a.plates) {
    turn(p.part);
    for (bike::Bore& b : p.bores) turn(b.takes);
  }
  for (bike::Joint& j : a.joints) turn(j.member), turn(j.onto);
  return a;
}

std::vector<bike::Verdict> all_verdicts(const bike::Assembly& a) {
  std::vector<bike::Verdict> out;
  const auto add = [&](const std::vector<bike::Verdict>& more) {
    out.insert(out.end(), more.begin(), more.end());
  };
  ClearanceOptions room;
  room.over_locknut = 100, room.axle_diameter = 12, room.wish = 5;
  add(verdicts(clearance(a, room)));
  StrengthOptions held;
  held.brake = Brake{};
  const auto strong = strength(a, held);
  EXPECT_TRUE(strong) << base::sentence(strong.error());
  if (strong) add(verdicts(*strong));
  const auto cuts = mitres(a, {});
  EXPECT_TRUE(cuts);
  const auto plan = joining_plan(a, *cuts, {});
  EXPECT_TRUE(plan);
  add(verdicts(*plan));
  const auto mount = brake_mount(a, {});
  EXPECT_TRUE(mount);
  add(verdicts(*mount));
  add(verdicts(bore_edges(a)));
  add(verdicts(socket_fits(a)));
  const auto parts = features(
      a, *cuts, {{FeatureKind::rack_boss, bike::part(bike::PartKind::blade, bike::Side::left)}}, plan->vents);
  EXPECT_TRUE(parts) << (parts ? "" : base::sentence(parts.error()));
  const Mass weight = mass(a, *cuts);
  bike::Verdict total{"mass", "mass", "in all", "", "kg", weight.total, std::nullopt, ""};
  if (parts) total.note = parts->front().caution + base::fixed(parts->front().s, 6);
  out.push_back(total);
  return out;
}

TEST(RenamedParts, OtherKeysChangeNoVerdictOfAnyStudy) {
  for (const layout::Intent& u : {layout::scene(), layout::segmented_scene(), layout::plate_scene()}) {
    const auto fork = layout::lay_out(u);
    ASSERT_TRUE(fork) << base::sentence(fork.error());
    const auto as_named = all_verdicts(fork->assembly), otherwise = all_verdicts(renamed(fork->assembly));
    ASSERT_EQ(as_named.size(), otherwise.size());
    for (std::size_t i = 0; i < as_named.size(); ++i) {
      const bike::Verdict &v = as_named[i], &q = otherwise[i];
      EXPECT_EQ(v.code, q.code);
      EXPECT_EQ(v.what, q.what) << "a sentence shows a key";
      EXPECT_EQ(v.where, q.where) << "a place shows a key";
      EXPECT_EQ(v.value, q.value) << v.what;
      EXPECT_EQ(v.standing(), q.standing()) << v.what;
      EXPECT_EQ(v.note, q.note);
    }
  }
}

TEST(RenamedParts, APartIsSpokenByItsKindNotByItsKey) {
  using bike::part, bike::PartKind, bike::Side;
  bike::Part blade = part(PartKind::blade, Side::left);
  EXPECT_EQ(blade.name, "blade.left");
  blade.name = "insert.right";
  EXPECT_EQ(bike::spoken(blade), "left blade");
  EXPECT_EQ(bike::spoken(blade, bike::End::end), "left blade, upper end");
  EXPECT_EQ(bike::spoken(part(PartKind::crown_plate, Side::middle, 2)), "lower crown plate");
  EXPECT_EQ(bike::spoken(part(PartKind::axle_end, Side::right)), "right axle end");
  EXPECT_EQ(bike::spoken(part(PartKind::gusset, Side::left, 2)), "left gusset 2");
  EXPECT_TRUE(bike::other_side(part(PartKind::steerer)).empty());
}

TEST(RenamedParts, AKeyIsLookedUpNotTakenApart) {
  using bike::part, bike::PartKind, bike::Side;
  for (const bike::Part& p :
       {part(PartKind::steerer), part(PartKind::blade, Side::right), part(PartKind::crown),
        part(PartKind::crown_plate, Side::middle, 2), part(PartKind::gusset, Side::left, 3),
        part(PartKind::crown_tube, Side::left)}) {
    EXPECT_EQ(bike::part_called(p.name), p) << p.name;
  }
  for (const char* none : {"", "blade", "blade.", "blade.leftover", "crown.middle", "axle"})
    EXPECT_TRUE(bike::part_called(none).empty()) << none;
}

}  // namespace
}  // namespace halfround::study
