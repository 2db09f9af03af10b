// What holds for every construction, over a table of wheels and steerers: the offset adds up, the lower ends
// stand at the axle, the wishes are met, left and right are mirror images unless asked otherwise, and the
// chain of as-built dimensions ends where the layout does. Numbers invented.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "layout/as_built.h"
#include "layout_scene.h"
#include "parts.h"

namespace halfround::layout {
namespace {

using namespace base::literals;

struct Wheel {
  const char* tyre;
  double drop;
};
// bead seats of ISO 5775-2 from 203 to 635, each with a drop that leaves air over its tyre
constexpr Wheel kWheels[] = {{"50-203", 235}, {"47-305", 285}, {"40-349", 300}, {"54-406", 340},
                             {"47-451", 355}, {"57-507", 395}, {"54-559", 420}, {"50-584", 430},
                             {"32-622", 420}, {"40-635", 435}};

std::vector<shape::Station> steerer_of(double low, double high) {
  return {{0, low, low, 2.4, nullptr}, {90, low, low, 2.4, nullptr}, {130, high, high, 1.8, nullptr}};
}

/// A socket crown whose sockets point where the blades of this wheel come from.
Intent socket_at(const Wheel& w) {
  Intent u = socket_scene();
  auto& crown = std::get<SocketCrown>(u.crown);
  const double high = w.drop - crown.height - crown.thickness / 2;
  crown.lean = std::atan2(u.offset, high);
  crown.splay = std::atan2(u.over_locknut / 2 + u.lower_end.blade_from_hub - crown.spacing / 2, high);
  return u;
}

Intent at_wheel(Intent u, const Wheel& w) {
  u.tyre = bike::tyre_surface(*bike::tyre_from_designation(w.tyre, 25));
  u.drop = w.drop;
  u.left.stock_length = 500;
  u.left.runs = {{500, 0, 0}};
  return u;
}

void expect_sound(const Intent& u, const std::string& what) {
  const auto fork = lay_out(u);
  ASSERT_TRUE(fork) << what << ": " << base::sentence(fork.error());
  for (const Placed* p : {&fork->left, &fork->right}) {
    EXPECT_NEAR(p->shares.sum(), u.offset, 1e-9) << what;
    EXPECT_GT(p->clearance.value, 0) << what;
  }
  for (const char* side : {"left", "right"}) {
    const bool left = std::string(side) == "left";
    const LowerEnd e = own_side(u, left).lower_end;
    const bike::Member* b = bike::find_member(fork->assembly, part_of(std::string("blade.") + side));
    ASSERT_TRUE(b) << what;
    const double y = (left ? 1 : -1) * (u.over_locknut / 2 + e.blade_from_hub);
    EXPECT_NEAR((b->tube.centreline.point(b->s_start) - Vec3(u.offset, y, -u.drop + e.rise)).norm(), 0, 1e-8)
        << what << ", " << side;
  }
  if (u.mirrored()) {
    const bike::Assembly other = bike::mirrored(fork->assembly);
    for (const bike::Member& m : fork->assembly.members) {
      const bike::Member* q = bike::find_member(other, m.part);
      ASSERT_TRUE(q) << what << ", " << m.part;
      for (const double s : {m.s_start, m.s_end})
        EXPECT_NEAR((q->tube.centreline.point(s) - m.tube.centreline.point(s)).norm(), 0, 1e-8) << what;
    }
  }
  for (const bike::Joint& j : fork->assembly.joints) {
    EXPECT_TRUE(bike::find_member(fork->assembly, j.member)) << what << ", " << j.member;
    EXPECT_TRUE(bike::find_member(fork->assembly, j.onto) || bike::find_plate(fork->assembly, j.onto))
        << what << ", " << j.onto;
  }
  const bike::Chain chain = as_built(u, *fork);
  const std::vector<double> nothing_off(chain.dimensions.size(), 0.0);
  EXPECT_NEAR(
      (bike::lower_end(chain.limbs[0], nothing_off).end - Vec3(u.offset, u.over_locknut / 2, -u.drop)).norm(),
      0, 1e-9)
      << what;
  // every dimension of the chain has a usual plus-minus: none is taken as exact by being forgotten
  EXPECT_EQ(shop_tolerances(chain).size(), chain.dimensions.size()) << what;
}

TEST(Constructions, EveryWheelFrom203To635) {
  for (const Wheel& w : kWheels) {
    expect_sound(at_wheel(segmented_scene(), w), std::string("segmented, ") + w.tyre);
    expect_sound(at_wheel(plate_scene(), w), std::string("plate, ") + w.tyre);
    expect_sound(at_wheel(socket_at(w), w), std::string("socket, ") + w.tyre);
  }
}

TEST(Constructions, OneInchToOneAndAHalfAndTapered) {
  const std::pair<double, double> steerers[] = {
      {1.0_in, 1.0_in}, {1.125_in, 1.125_in}, {1.5_in, 1.125_in}, {1.5_in, 1.5_in}};
  for (const Intent& scene : {scene(), segmented_scene(), plate_scene(), socket_scene()}) {
    for (const auto& [low, high] : steerers) {
      Intent u = scene;
      u.steerer.stations = steerer_of(low, high);
      expect_sound(u, name_of(u.crown) + fmt::format(", steerer {:.1f}", low));
    }
  }
}

TEST(Constructions, EveryLowerEndOnStraightAndRakedBlades) {
  for (const Intent& scene : {scene(), segmented_scene(), plate_scene(), socket_scene()}) {
    for (const LowerEndKind kind : {LowerEndKind::insert, LowerEndKind::tab_dropout,
                                    LowerEndKind::hooded_dropout, LowerEndKind::axle_block}) {
      for (const bool raked : {false, true}) {
        Intent u = scene;
        u.lower_end.kind = kind;
        if (kind != LowerEndKind::insert) {
          u.lower_end.rise = 24, u.lower_end.thickness = 6, u.lower_end.slot_depth = 20;
          u.lower_end.slot_width = 9;
        }
        if (kind == LowerEndKind::axle_block) {
          u.lower_end.thickness = 36, u.lower_end.blade_from_hub = 17, u.lower_end.edge = 2;
          u.lower_end.socket_depth = 20;
        }
        if (raked) {
          std::vector<shape::Run> low{{40, 0, 0}, {250 * 0.2, 0.2, bike::kForward}};
          u.left.runs.front().length -= 90;
          u.left.runs.insert(u.left.runs.begin(), low.begin(), low.end());
        }
        expect_sound(u, name_of(u.crown) + (raked ? ", raked" : ", straight"));
      }
    }
  }
}

TEST(Constructions, ASideMayBeHeavierOrStandLower) {
  for (const Intent& scene : {segmented_scene(), plate_scene(), socket_scene()}) {
    Intent heavier = scene;
    heavier.right = scene.left;
    for (shape::Station& s : heavier.right->stations) s.wall = 0.8;
    expect_sound(heavier, name_of(scene.crown) + ", left heavier");
    Intent other = scene;
    other.right_lower_end = scene.lower_end;
    other.right_lower_end->blade_from_hub += 3;
    expect_sound(other, name_of(scene.crown) + ", right farther out");
  }
}

TEST(Constructions, MovedTwoSmallStepsTheForkMovesEvenly) {
  // refine: the lower end's tilt is smooth in the offset, so that halving a step halves the change
  for (const Intent& scene : {segmented_scene(), plate_scene(), socket_scene()}) {
    const auto splay_at = [&](double offset) {
      Intent u = scene;
      u.offset = offset;
      return lay_out(u)->left.tilt_angle;
    };
    const double a = splay_at(44), b = splay_at(44.1), c = splay_at(44.2);
    EXPECT_NEAR((c - b) / (b - a), 1, 1e-3);
  }
}

}  // namespace
}  // namespace halfround::layout
