// From the job's text to the answer for every construction: wheels from 203 to 635, every crown with every
// lower end, unlike sides, wide hubs; and the sentence for a fork that can't be laid out. Numbers invented.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "job/read.h"
#include "parts.h"
#include "solve/solve.h"
#include "speak/answer_json.h"

namespace halfround::solve {
namespace {

struct Wheel {
  int bead_seat;
  const char* tyre;
  double drop;  ///< axle to crown along the axis, leaving air over the tyre
};
// bead seats of ISO 5775-2
constexpr Wheel kWheels[] = {{203, "50-203", 235}, {305, "47-305", 285}, {349, "40-349", 300},
                             {406, "54-406", 340}, {451, "47-451", 355}, {507, "57-507", 395},
                             {559, "54-559", 420}, {584, "50-584", 430}, {622, "32-622", 420},
                             {635, "40-635", 435}};

std::string wheel(const Wheel& w, double hub = 100) {
  return fmt::format(
      "version = 1\n[job]\nname = \"round\"\n[wheel]\nbead_seat = {}\nrim_width = 25\ntyre = \"{}\"\n"
      "[hub]\nover_locknut = {}\naxle = 9\n[steering]\nhead_angle = 71\noffset = 40\naxle_to_crown = {}\n"
      "axle_to_crown_is = \"along the axis\"\n[steerer]\ndiameter = 28.6\nwall = 2.4\nlength = "
      "240\nbelow_seat = 68\n",
      w.bead_seat, w.tyre, hub, w.drop);
}
std::string straight_blades(double length) {
  return fmt::format("[blades]\nstations = [[0, 22, 22, 1.4]]\nshape = [{{straight = {}}}]\n", length);
}
const char* const kSegmented =
    "[crown]\nkind = \"segmented\"\ndiameter = 31.8\nwall = 1.6\nheight = 40\nangle = 80\nabove = 24\ncap = "
    "2\n";
const char* const kPlate =
    "[crown]\nkind = \"plate\"\nplates = 2\nthickness = 7\nheight = 16\nbetween = 36\nabove = 8\ncap = 2\n";
const char* const kWishes = "[wishes]\nspacing = 124\nlower_trim = 3\n";

std::string lower_end(const std::string& kind, double blade_from_hub = 15) {
  const std::string head =
      fmt::format("[lower_end]\nkind = \"{}\"\nblade_from_hub = {}\n", kind, blade_from_hub);
  if (kind == "insert") return head + "diameter = 26\nlength = 30\nbore = 9\n";
  if (kind == "tab dropout") return head + "rise = 24\nthickness = 6\nslot_depth = 20\nslot_width = 9\n";
  if (kind == "hooded dropout")
    return head + "rise = 24\nthickness = 6\nslot_width = 9\ndiameter = 26\nlength = 22\n";
  return head + "rise = 20\nthickness = 36\nbore = 9\nsocket_depth = 20\nedge = 2\n";
}
const char* const kLowerEnds[] = {"insert", "tab dropout", "hooded dropout", "axle block"};

Answer answered(const std::string& text, const std::string& what) {
  const auto job = job::read_job(text, "f");
  EXPECT_TRUE(job) << what << ": " << (job ? "" : base::sentence(job.error()[0]));
  if (!job) return {};
  auto a = solve(*job, {.tolerance = false, .changes = false});
  EXPECT_TRUE(a) << what << ": " << (a ? "" : base::sentence(a.error()));
  return a ? *a : Answer{};
}
void expect_whole(const Answer& a, const std::string& what) {
  EXPECT_NEAR(a.fork.left.shares.sum(), a.intent.offset, 1e-9) << what;
  EXPECT_GT(a.fork.left.clearance.value, 0) << what;
  EXPECT_EQ(a.strength.unknown, "") << what;
  EXPECT_GT(a.mass.total.value_or(0), 0.3) << what;
  EXPECT_FALSE(a.joining.joints.empty()) << what;
  EXPECT_FALSE(nlohmann::json::parse(speak::to_json(a)).empty()) << what;
}

TEST(Constructions, EveryWheelFrom203To635WithEveryLowerEnd) {
  for (const Wheel& w : kWheels) {
    for (const char* kind : kLowerEnds) {
      for (const char* crown : {kSegmented, kPlate}) {
        const std::string what =
            fmt::format("{} {} {}", w.tyre, kind, crown == kPlate ? "plate" : "segmented");
        expect_whole(answered(wheel(w) + crown + straight_blades(500) + lower_end(kind) + kWishes, what),
                     what);
      }
    }
  }
}

TEST(Constructions, AUnicrownForWheelsFrom305To635) {
  for (const Wheel& w : kWheels) {
    if (w.bead_seat < 305) continue;
    for (const char* kind : kLowerEnds) {
      const std::string what = fmt::format("unicrown {} {}", w.tyre, kind);
      const std::string blades = fmt::format(
          "[blades]\nstations = [[0, 22, 22, 1.4]]\nshape = [{{straight = {}}}, {{bend = 66, radius = 60, "
          "toward = "
          "\"inward\"}}, {{straight = 60}}]\n",
          w.drop - 52);
      expect_whole(
          answered(wheel(w) + blades + lower_end(kind, 18) + "[wishes]\nclearance = 12\ncrown_height = 36\n",
                   what),
          what);
    }
  }
}

TEST(Constructions, AWideHubForACargoForkAndASmallWheelForATrailer) {
  for (const double hub : {74.0, 100.0, 135.0, 150.0}) {
    for (const Wheel& w : {kWheels[0], kWheels[3]}) {
      const std::string what = fmt::format("{} in {}", w.tyre, hub);
      const std::string wishes =
          fmt::format("[wishes]\nspacing = {}\nlower_trim = 3\n", std::max(hub + 24, 108.0));
      const Answer a = answered(
          wheel(w, hub) + kPlate + straight_blades(400) + lower_end("tab dropout", 6) + wishes, what);
      expect_whole(a, what);
      EXPECT_NEAR(a.fork.assembly.plates[0].X_FP.translation().y(), hub / 2 + 3, 1e-9) << what;
    }
  }
}

TEST(Constructions, ASideMayBeHeavierOrMountedLower) {
  for (const char* crown : {kSegmented, kPlate}) {
    const std::string fork =
        wheel(kWheels[6]) + crown + straight_blades(500) + lower_end("tab dropout") + kWishes;
    const Answer like = answered(fork, "alike");
    const Answer heavy = answered(fork + "[blades.left]\nstations = [[0, 22, 22, 2.2]]\n", "left heavier");
    expect_whole(heavy, "left heavier");
    EXPECT_FALSE(heavy.fork.mirrored);
    const auto mass_of = [](const Answer& a, const bike::Part& part) {
      for (const auto& m : a.mass.parts)
        if (m.part == part) return m.mass.value_or(0);
      return 0.0;
    };
    EXPECT_GT(mass_of(heavy, "blade.left"_part), 1.4 * mass_of(heavy, "blade.right"_part));
    EXPECT_NEAR(mass_of(heavy, "blade.right"_part), mass_of(like, "blade.right"_part), 1e-6);
    // the axle stays where it is; a blade that ends lower is longer below its crown
    const Answer low = answered(fork + "[lower_end.right]\nrise = 16\n", "right lower");
    expect_whole(low, "right lower");
    const auto end_of = [](const Answer& a, const bike::Part& blade) {
      const bike::Member* m = bike::find_member(a.fork.assembly, blade);
      return m->tube.centreline.point(m->s_start).z() - a.fork.assembly.axle.z();
    };
    EXPECT_NEAR(end_of(low, "blade.left"_part), 24, 1e-9);
    EXPECT_NEAR(end_of(low, "blade.right"_part), 16, 1e-9);
  }
}

TEST(Constructions, AForkBeyondTheLayoutIsRefusedInPlainWords) {
  const std::string fork = wheel(kWheels[6]) + straight_blades(500) + lower_end("insert") + kWishes;
  for (const auto& [kind, has] : {std::pair{"single-sided", "one blade"},
                                  {"double crown", "two crowns"},
                                  {"two steerers", "two steerer tubes"}}) {
    const auto job = job::read_job(fork + fmt::format("[crown]\nkind = \"{}\"\n", kind), "f");
    ASSERT_FALSE(job) << kind;
    ASSERT_EQ(job.error().size(), 1u) << base::sentence(job.error().back());
    EXPECT_EQ(job.error()[0].code, "construction-beyond");
    EXPECT_EQ(job.error()[0].where.key, "crown.kind");
    EXPECT_GT(job.error()[0].where.line, 0);
    EXPECT_NE(job.error()[0].what.find(has), std::string::npos) << job.error()[0].what;
  }
}

TEST(Constructions, SmallPartsComeByRuleFromTheJob) {
  const std::string fork =
      wheel(kWheels[6]) + kPlate + straight_blades(500) + lower_end("tab dropout") + kWishes;
  const Answer a = answered(fork +
                                "[[features]]\nkind = \"cage bosses\"\non = \"right blade\"\n"
                                "[[features]]\nkind = \"wire passage\"\non = \"left blade\"\nsize = 5\n",
                            "by rule");
  int bosses = 0, passages = 0;
  for (const study::Feature& f : a.features) {
    if (f.kind == study::FeatureKind::cage_bosses) ++bosses;
    if (f.kind != study::FeatureKind::wire_passage) continue;
    ++passages;
    EXPECT_EQ(f.size, 5);
  }
  EXPECT_EQ(bosses, 2);
  EXPECT_EQ(passages, 2);
  const auto missing =
      job::read_job(fork + "[[features]]\nkind = \"boss\"\non = \"left blade\"\nsize = 9\n", "f");
  ASSERT_FALSE(missing);
  EXPECT_EQ(missing.error()[0].where.key, "features[1].at");
}

}  // namespace
}  // namespace halfround::solve
