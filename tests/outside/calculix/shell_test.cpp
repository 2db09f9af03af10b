// Blades and a whole simplified fork as shells (S8R, on the middle of the wall) solved by CalculiX, against
// the beams of the strength study. Rings at the ends and at the joints are rigid in both, so that it is the
// beam theory with its tapers, ovals and bends that is compared, not the joint's own give: docs/strength.md,
// "What shells say".
#include <gtest/gtest.h>

#include "layout_scene.h"
#include "outside/calculix/shell_deck.h"
#include "parts.h"
#include "study/strength.h"
#include "study/strength_stress.h"

namespace halfround {
namespace {

using base::Vec3;
using outside::ShellDeck;
using shape::Centreline;
using shape::Profile;
using shape::Tube;

constexpr double kE = 205e3, kNu = 0.3;

study::StrengthOptions beam_options() {
  study::StrengthOptions o;
  o.published = false;
  o.material.E = kE, o.material.G = kE / (2 * (1 + kNu));
  o.axle = {60, 0, 1e9, 1e9, true};  // the lower rings are one rigid body
  return o;
}

study::LoadCase push(const std::string& name, const Vec3& force) {
  study::LoadCase c;
  c.name = name, c.force = force;
  return c;
}

/// A tube held fast at its end and loaded at its start.
struct Blade {
  Tube tube;
  int around, along;

  [[nodiscard]] Vec3 by_beams(const Vec3& force) const {
    bike::Assembly a;
    const double length = tube.length();
    const Vec3 top = tube.centreline.point(length);
    bike::Material stiff = *bike::find_material("Cr-Mo 4130");
    stiff.E = stiff.G = 1e14;
    a.members.push_back(
        {"steerer"_part,
         {Centreline::from_runs({{200, 0, 0}}, top, Vec3::UnitZ(), Vec3::UnitX()), Profile::round(2, 0.9)},
         0,
         200,
         200});
    a.members.push_back({"blade.left"_part, tube, 0, length, length});
    a.joints.push_back({"blade.left"_part, bike::End::end, "steerer"_part, bike::JointKind::mitred});
    a.axle = tube.centreline.point(0);
    study::StrengthOptions o = beam_options();
    o.bearings.lower = top.z(), o.bearings.upper = top.z() + 150;
    o.other_materials = {{"steerer"_part, stiff}};
    o.own = {push("push", force)};
    const auto s = study::strength(a, o);
    EXPECT_TRUE(s) << base::sentence(s.error());
    return s->cases[0].deflection;
  }
  [[nodiscard]] Vec3 by_shells(const Vec3& force, const std::string& name) const {
    ShellDeck deck(kE, kNu);
    const auto ends = deck.add_tube(tube, 0, tube.length(), around, along);
    const auto tip = deck.rigid(ends.first, tube.centreline.point(0));
    const auto top = deck.rigid(ends.last, tube.centreline.point(tube.length()));
    deck.hold(top.move, 1, 3), deck.hold(top.turn, 1, 3);
    for (int k = 0; k < 3; ++k) {
      if (force[k] != 0) deck.load(tip.move, k + 1, force[k]);
    }
    return deck.run(BINARY_DIR "/calculix", name, {tip.move})[tip.move];
  }
};

/// The share by which the beams give more than the shells, along the force.
double excess(const Blade& blade, const Vec3& force, const std::string& name) {
  const double beams = blade.by_beams(force).dot(force), shells = blade.by_shells(force, name).dot(force);
  const double out = beams / shells - 1;
  std::cout << fmt::format("{}: shells {:.4f} mm, beams {:.4f} mm, {:+.2f} %\n", name, shells / force.norm(),
                           beams / force.norm(), 100 * out);
  return out;
}

const Vec3 kForeAft(0, 100, 0), kLateral(100, 0, 0);  // the mark line, and with it x, lies across the bicycle

class Shells : public testing::Test {
 protected:
  void SetUp() override {
    if (!outside::have_calculix()) {
      GTEST_SKIP()
          << "CalculiX is missing (Debian package calculix-ccx), so the beams are not checked against shells";
    }
  }
};

TEST_F(Shells, AStraightTaperedOvalBladeBendsAsTheBeamsSay) {
  const Blade blade{{Centreline::from_runs({{400, 0, 0}}, Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitX()),
                     Profile({{0, 14, 14, 1, nullptr}, {400, 20, 28, 1, nullptr}})},
                    16,
                    50};
  EXPECT_NEAR(excess(blade, kForeAft, "taper_fore_aft"), 0, 0.01);
  EXPECT_NEAR(excess(blade, kLateral, "taper_lateral"), 0, 0.01);
}

TEST_F(Shells, ARakedTaperedBladeBendsAsTheBeamsSay) {
  const Blade blade{
      {Centreline::from_runs({{120, 0.4, base::kPi / 2}, {250, 0, 0}}, Vec3::Zero(), Vec3::UnitZ(),
                             Vec3::UnitX()),
       Profile({{0, 14, 14, 1, nullptr}, {220, 20, 28, 1, nullptr}, {370, 20, 28, 1, nullptr}})},
      16,
      50};
  EXPECT_NEAR(excess(blade, kForeAft, "raked_fore_aft"), 0, 0.015);
  EXPECT_NEAR(excess(blade, kLateral, "raked_lateral"), 0, 0.015);
}

TEST_F(Shells, ATaperedOvalBladeWithATightBendGivesAsTheBeamsSay) {
  const Blade blade{bike::on_bench(layout::scene_blade()), 16, 60};
  // on the bench y lies across the bicycle. Plain beams are 33 and 50 % too stiff here: the bend's section
  // flattens
  EXPECT_NEAR(excess(blade, Vec3(100, 0, 0), "bent_fore_aft"), 0, 0.025);
  EXPECT_NEAR(excess(blade, Vec3(0, 100, 0), "bent_lateral"), 0, 0.025);
}

TEST_F(Shells, ABendTheRuleWasNotFittedToGivesAsTheBeamsSay) {
  const Blade blade{{Centreline::from_runs({{250, 0, 0}, {110 * 1.25, 1.25, base::kPi}, {120, 0, 0}},
                                           Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitX()),
                     Profile({{0, 20, 26, 1, nullptr}})},
                    16,
                    50};
  // the bend's rule is one term of a series, fitted to other tubes: 2.03 % was found sideways
  EXPECT_NEAR(excess(blade, kForeAft, "other_bend_fore_aft"), 0, 0.025);
  EXPECT_NEAR(excess(blade, kLateral, "other_bend_lateral"), 0, 0.025);
}

TEST_F(Shells, TheBendsStressIsNotUnderstated) {
  const Tube tube = bike::on_bench(layout::scene_blade());
  const double length = tube.length();
  const bike::Member member{"blade.left"_part, tube, 0, length, length};
  const study::Seen range{0, length, true, true};
  constexpr int around = 16, along = 60;
  for (const auto& [force, name] :
       {std::pair{Vec3(100, 0, 0), "stress_fore_aft"}, {Vec3(0, 100, 0), "stress_lateral"}}) {
    ShellDeck deck(kE, kNu);
    const auto ends = deck.add_tube(tube, 0, length, around, along);
    const Vec3 tip = tube.centreline.point(0);
    const auto low = deck.rigid(ends.first, tip), top = deck.rigid(ends.last, tube.centreline.point(length));
    deck.hold(top.move, 1, 3), deck.hold(top.turn, 1, 3), deck.print_stresses();
    for (int k = 0; k < 3; ++k) {
      if (force[k] != 0) deck.load(low.move, k + 1, force[k]);
    }
    ASSERT_FALSE(deck.run(BINARY_DIR "/calculix", name, {low.move}).empty());
    constexpr int first = 44, last = 55;  // the rows of elements within the bend
    const auto shells =
        ShellDeck::greatest_stress(BINARY_DIR "/calculix", name, first * around + 1, (last + 1) * around);
    double section = 0, surface = 0;
    for (int i = first; i <= last; ++i) {
      study::StressPlace q;
      q.s = length * (i + 0.5) / along, q.frame = tube.centreline.at(q.s);
      q.section = *study::beam_section(tube.profile, q.s), q.centre = q.frame.c;
      q.bend = study::bend_at({}, member, range, q.frame, q.section, q.s);
      study::Vec6 w = study::Vec6::Zero();
      w.head<3>() = -force;
      section = std::max(section, study::stress_at(q, tip, w, study::BendStress::section).von_mises);
      surface = std::max(surface, study::stress_at(q, tip, w, study::BendStress::surface).von_mises);
    }
    std::cout << fmt::format("{}: surface {:.1f} here {:.1f}, mid-wall {:.1f} here {:.1f} MPa\n", name,
                             shells.surface, surface, shells.middle, section);
    EXPECT_GT(surface / shells.surface, 0.98);
    EXPECT_LT(surface / shells.surface, 1.25);
    EXPECT_GT(section / shells.middle, 0.9);
    EXPECT_LT(section / shells.middle, 1.25);
  }
}

/// The scene's fork without inserts: blades to the steerer's surface, lower rings joined by a rigid axle.
struct WholeFork {
  bike::Assembly assembly;
  double z_joint = 0;

  WholeFork() {
    assembly = layout::lay_out(layout::scene())->assembly;
    std::erase_if(assembly.members,
                  [](const bike::Member& m) { return m.part.kind == bike::PartKind::insert; });
    std::erase_if(assembly.joints, [](const bike::Joint& j) { return j.onto != "steerer"_part; });
    const shape::TubeReader steerer(assembly.members[0].tube);
    for (bike::Member& m : assembly.members) {
      if (m.part == "steerer"_part) continue;
      while (shape::level(steerer, m.tube.centreline.point(m.s_end)).value < 0) m.s_end -= 0.01;
      z_joint = m.tube.centreline.point(m.s_end).z();
    }
  }
  [[nodiscard]] Vec3 by_beams(const Vec3& force) const {
    study::StrengthOptions o = beam_options();
    o.own = {push("push", force)};
    const auto s = study::strength(assembly, o);
    EXPECT_TRUE(s) << base::sentence(s.error());
    return s->cases[0].deflection;
  }
  [[nodiscard]] Vec3 by_shells(const Vec3& force, const std::string& name) const {
    ShellDeck deck(kE, kNu);
    const Tube& steerer = assembly.members[0].tube;
    const double s_joint = z_joint - steerer.centreline.point(0).z(),
                 s_low = -steerer.centreline.point(0).z();
    const auto below = deck.add_tube(steerer, s_joint, s_low, 16, 6);
    const auto above = deck.add_tube(steerer, s_low, s_low + 150, 16, 16);
    std::vector<int> joint = below.first, lower = below.last, tips;
    lower.insert(lower.end(), above.first.begin(), above.first.end());
    for (const bike::Member& m : assembly.members) {
      if (m.part == "steerer"_part) continue;
      const auto ends = deck.add_tube(m.tube, m.s_start, m.s_end, 16, 60);
      joint.insert(joint.end(), ends.last.begin(), ends.last.end());
      tips.insert(tips.end(), ends.first.begin(), ends.first.end());
    }
    deck.rigid(joint, Vec3(0, 0, z_joint));
    const auto axle = deck.rigid(tips, assembly.axle);
    const auto low = deck.rigid(lower, Vec3::Zero()), high = deck.rigid(above.last, Vec3(0, 0, 150));
    deck.hold(low.move, 1, 3);
    deck.hold(high.move, 1, 2), deck.hold(high.turn, 3, 3);
    for (int k = 0; k < 3; ++k) {
      if (force[k] != 0) deck.load(axle.move, k + 1, force[k]);
    }
    return deck.run(BINARY_DIR "/calculix", name, {axle.move})[axle.move];
  }
};

TEST_F(Shells, AWholeForkGivesForeAndAftAndSidewaysAsTheBeamsSay) {
  const WholeFork fork;
  for (const auto& [force, name] :
       {std::pair{Vec3(-1000, 0, 0), "fork_fore_aft"}, {Vec3(0, 500, 0), "fork_lateral"}}) {
    const double beams = fork.by_beams(force).dot(force), shells = fork.by_shells(force, name).dot(force);
    std::cout << fmt::format("{}: shells {:.4f} mm, beams {:.4f} mm, {:+.2f} %\n", name,
                             shells / force.norm(), beams / force.norm(), 100 * (beams / shells - 1));
    EXPECT_NEAR(beams / shells, 1, 0.02) << name;
  }
}

}  // namespace
}  // namespace halfround
