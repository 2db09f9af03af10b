// One blade is cut too short: what stays, what moves, and that each way really is a fork.
#include "replan/replan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "job/read.h"
#include "parts.h"
#include "shop/set_up.h"
#include "solve/documented.h"
#include "solve/fit_up.h"
#include "solve/solve.h"
#include "speak/fit_up_text.h"
#include "speak/replan_text.h"

namespace halfround::replan {
namespace {

std::string island(const std::string& more) {
  std::ostringstream out;
  out << std::ifstream(SOURCE_DIR "/examples/island-mail/fork.toml").rdbuf();
  return out.str() + "\n" + more;
}

job::Job job_of(const std::string& text) {
  auto job = job::read_job(text, "island.toml");
  EXPECT_TRUE(job) << (job ? "" : base::sentence(job.error()[0]));
  return job ? *job : job::Job{};
}

Replan plan_of(const std::string& more) {
  auto plan = replan(job_of(island(more)));
  EXPECT_TRUE(plan) << (plan ? "" : base::sentence(plan.error()));
  return plan ? *plan : Replan{};
}

/// The length that proves a blade, measured on a laid-out fork.
double measured(const layout::Fork& fork, const bike::Part& member) {
  const auto mitres = study::mitres(fork.assembly, {.scribe_gap = 20, .paper = 0.1});
  EXPECT_TRUE(mitres);
  for (const auto& check : shop::length_checks(fork.assembly, *mitres)) {
    if (check.member == member) return check.length;
  }
  ADD_FAILURE() << "no length of " << member;
  return 0;
}

std::vector<const Alternative*> all(const Replan& plan) {
  std::vector<const Alternative*> out;
  for (const auto* list : {&plan.ways, &plan.outside}) {
    for (const Alternative& a : *list) out.push_back(&a);
  }
  return out;
}

const Move* move_of(const Alternative& a, const std::string& key) {
  for (const Move& m : a.moves) {
    if (m.key == key) return &m;
  }
  return nullptr;
}

const char* const kShort = "[done.blades.left]\nshort_by = 1.4\n";
const char* const kShortBelow = "[done.blades.left]\nshort_by = 1.4\nshort_at = \"lower end\"\n";

TEST(Replan, NothingDoneMovesNothing) {
  for (const char* more :
       {"", "[done]\n", "[done.blades]\nshort_by = 0\n", "[done]\nsteerer_length = 240\n"}) {
    const Replan plan = plan_of(more);
    ASSERT_EQ(plan.ways.size(), 1u) << more;
    EXPECT_TRUE(plan.ways[0].unchanged()) << more;
    EXPECT_EQ(plan.ways[0].cost, 0) << more;
    for (const Piece& p : plan.ways[0].pieces) {
      EXPECT_NEAR(p.length, p.length_was, 1e-6);
      EXPECT_TRUE(p.fate == Fate::to_cut || p.fate == Fate::kept);
    }
  }
}

TEST(Replan, AKeptBladeHasItsLengthInEveryFork) {
  for (const char* more : {kShort, kShortBelow}) {
    const Replan plan = plan_of(more);
    int kept = 0;
    for (const Alternative* a : all(plan)) {
      if (a->stands) continue;
      for (const Piece& p : a->pieces) {
        EXPECT_NEAR(measured(a->fork, p.member), p.length, p.member == "blade.left"_part ? 1e-6 : 1e-3)
            << a->title;
        if (p.fate != Fate::kept && p.fate != Fate::file) continue;
        EXPECT_NEAR(p.length, plan.length_left - 1.4, kSeats) << a->title;
        ++kept;
      }
    }
    EXPECT_GE(kept, 3);
  }
}

TEST(Replan, ShortBelowComesOutOfTheAxleToCrownOrTheCrownHeight) {
  // the lower run leans 2.4 deg and tilts 6: 1.4 mm along it are 1.39 mm upright
  const Replan plan = plan_of(kShortBelow);
  bool height = false, length = false;
  for (const Alternative& a : plan.ways) {
    const Move *h = move_of(a, "crown_height"), *l = move_of(a, "axle_to_crown");
    if (!h) continue;
    if (std::abs(l->difference()) < 1e-9) height = height || std::abs(h->difference() - 1.4) < 0.06;
    if (std::abs(h->difference()) < 0.06) length = length || std::abs(l->difference() + 1.4) < 0.06;
  }
  EXPECT_TRUE(height && length) << speak::replan_text(plan);
}

TEST(Replan, TheMirroredFactHasTheMirroredAnswer) {
  const Replan left = plan_of(kShort);
  const Replan right = plan_of("[done.blades.right]\nshort_by = 1.4\n");
  ASSERT_EQ(left.ways.size(), right.ways.size());
  ASSERT_EQ(left.outside.size(), right.outside.size());
  for (std::size_t i = 0; i < left.ways.size(); ++i) {
    const Alternative &a = left.ways[i], &b = right.ways[i];
    EXPECT_NEAR(a.cost, b.cost, 1e-9);
    EXPECT_EQ(a.pieces[0].fate, b.pieces[1].fate);
    EXPECT_NEAR(a.pieces[0].length, b.pieces[1].length, 1e-9);
    EXPECT_NEAR(a.fork.left.splay, b.fork.right.splay, 1e-9);
    EXPECT_NEAR(a.fork.right.crown_height, b.fork.left.crown_height, 1e-9);
  }
}

TEST(Replan, LessShortIsLessChange) {
  double before = INFINITY;
  for (const char* by : {"2", "1", "0.5", "0.1"}) {
    const Replan plan = plan_of(std::string("[done.blades.left]\nshort_by = ") + by + "\n");
    ASSERT_FALSE(plan.ways.empty()) << by;
    EXPECT_LT(plan.ways[0].cost, before);
    before = plan.ways[0].cost;
  }
  EXPECT_LT(before, 0.05);
}

TEST(Replan, RankedByScrapThenCost) {
  for (const char* more :
       {kShort, kShortBelow, "[done.blades.left]\nshort_by = 1.4\n[done.blades.right]\nshort_by = 0\n"}) {
    const Replan plan = plan_of(more);
    for (std::size_t i = 1; i < plan.ways.size(); ++i) {
      const Alternative &a = plan.ways[i - 1], &b = plan.ways[i];
      const bool a_level = a.joints_apart <= 0.5, b_level = b.joints_apart <= 0.5;
      EXPECT_TRUE(
          a.scrapped < b.scrapped ||
          (a.scrapped == b.scrapped && (a_level > b_level || (a_level == b_level && a.cost <= b.cost))));
    }
    for (const Alternative& a : plan.ways) EXPECT_TRUE(a.allowed());
    for (const Alternative& a : plan.outside) EXPECT_FALSE(a.allowed());
  }
}

TEST(Replan, AFinishedBladeThatMustGoIsNeverHidden) {
  // the right one is finished as planned: like the left one it has to be cut again
  const Replan again = plan_of("[done.blades.left]\nshort_by = 1.4\n[done.blades.right]\nshort_by = 0\n");
  bool cut_again = false;
  for (const Alternative* a : all(again)) {
    for (const Piece& p : a->pieces)
      cut_again = cut_again || (p.member == "blade.right"_part && p.fate == Fate::cut_again);
    EXPECT_EQ(a->pieces.size(), 2u);
  }
  EXPECT_TRUE(cut_again);
  // too long a left one can't be matched by a right one that is cut already
  const Replan scrap = plan_of("[done.blades.left]\nshort_by = -2\n[done.blades.right]\nshort_by = 0\n");
  bool scrapped = false;
  for (const Alternative* a : all(scrap)) {
    for (const Piece& p : a->pieces)
      scrapped = scrapped || (p.member == "blade.right"_part && p.fate == Fate::scrap && !p.why.empty());
  }
  EXPECT_TRUE(scrapped);
  EXPECT_NE(speak::replan_text(scrap).find("SCRAP"), std::string::npos);
}

TEST(Replan, BeyondTheFreedomsTheNeedIsSaid) {
  const Replan plan =
      plan_of(std::string(kShort) +
              "[freedoms]\nsplay = 0\nblade_from_hub = 0\ncrown_height = 0\naxle_to_crown = 0\n");
  EXPECT_TRUE(plan.ways.empty());
  EXPECT_FALSE(plan.outside.empty());
  const std::string text = speak::replan_text(plan);
  EXPECT_NE(text.find("No way lies within your freedoms"), std::string::npos);
  EXPECT_NE(text.find("you allow 0.0 mm"), std::string::npos) << text;
}

TEST(Replan, ABladeThatIsJoinedKeepsItsSplay) {
  const Replan plan = plan_of(std::string(kShort) + "joined = \"yes\"\n");
  for (const Alternative* a : all(plan)) {
    const Move* splay = move_of(*a, "splay.left");
    if (!splay) splay = move_of(*a, "splay");
    // set otherwise, its finished lower end no longer fits: that is said
    if (splay && std::abs(splay->difference()) > base::to_rad(0.1)) {
      EXPECT_EQ(a->pieces[0].fate, Fate::scrap) << a->title;
    }
  }
}

TEST(Replan, WhatIsWrittenSolvesToTheSameFork) {
  for (const char* more : {kShort, kShortBelow, "[done.blades.left]\nlower_trim = 39\n"}) {
    const std::string text = island(more);
    const job::Job job = job_of(text);
    const auto plan = replan(job);
    ASSERT_TRUE(plan);
    int written = 0;
    for (const Alternative& a : plan->ways) {
      if (a.stands) continue;
      const auto mended = mended_text(text, job, a);
      ASSERT_TRUE(mended) << base::sentence(mended.error());
      EXPECT_NE(mended->find("# measured on this rim at riding pressure"), std::string::npos);
      const job::Job next = job_of(*mended);
      const auto answer = solve::solve(next, {.tolerance = false, .changes = false});
      ASSERT_TRUE(answer) << base::sentence(answer.error());
      EXPECT_NEAR(answer->fork.left.splay, a.fork.left.splay, 1e-8);
      EXPECT_NEAR(answer->fork.left.crown_height, a.fork.left.crown_height, 1e-5);
      EXPECT_NEAR(answer->intent.offset, a.left.offset, 1e-6);
      EXPECT_NEAR(measured(answer->fork, "blade.left"_part), a.pieces[0].length, 1e-5);
      // and the mended plan needs no mending
      const auto twice = replan(next);
      ASSERT_TRUE(twice);
      ASSERT_FALSE(twice->ways.empty());
      for (const Move& m : twice->ways[0].moves) EXPECT_NEAR(m.is, m.was, 1e-4) << m.key << "\n" << *mended;
      ++written;
    }
    EXPECT_GE(written, 2) << speak::replan_text(*plan);
  }
}

void expect_as_said(const layout::Placed& got, const layout::Placed& said, const std::string& what) {
  EXPECT_NEAR(got.splay, said.splay, 1e-8) << what;
  EXPECT_NEAR(got.lower_trim, said.lower_trim, 1e-6) << what;
  EXPECT_NEAR(got.crown_height, said.crown_height, 1e-5) << what;
  EXPECT_NEAR(got.clearance.value, said.clearance.value, 1e-4) << what;
}

void expect_as_said(const layout::LowerEnd& got, const layout::LowerEnd& said, const std::string& what) {
  EXPECT_NEAR(got.blade_from_hub, said.blade_from_hub, 1e-6) << what;
  EXPECT_NEAR(got.diameter, said.diameter, 1e-6) << what;
  EXPECT_NEAR(got.length, said.length, 1e-6) << what;
  EXPECT_NEAR(got.bore, said.bore, 1e-6) << what;
}

TEST(Replan, EveryWayCanBeWrittenAndSolvesToWhatItSaid) {
  int two_sided = 0, written = 0;
  for (const char* more : {
           kShort,
           "[done.blades.left]\nshort_by = 1.4\njoined = \"yes\"\n",
           "[done.blades.right]\nshort_by = 1\nshort_at = \"lower end\"\n",
           "[done.blades.left]\nshort_by = 0.8\n[freedoms]\nother_blade = \"no\"\n",
           "[done.blades.left]\nshort_by = 1.4\n[done.blades.right]\nshort_by = 0.6\n",
           "[done.blades.left]\nshort_by = -1\n",
           "[done.blades.right]\nlower_trim = 39\n",
           "[done.inserts.right]\ndiameter = 23.4\n",
           "[done.blades.left]\nshort_by = 1\n[done.inserts.left]\nlength = 19.5\n",
           "[done]\naxle_to_crown = 406.2\n",
           "[wishes.right]\nsplay = 2.3\nlower_trim = 38\n[lower_end.right]\nblade_from_hub = 9.5\n"
           "[done.blades.left]\nshort_by = 1\n",
       }) {
    const std::string text = island(more);
    const job::Job job = job_of(text);
    const auto plan = replan(job);
    ASSERT_TRUE(plan) << more;
    ASSERT_FALSE(plan->ways.empty() && plan->outside.empty()) << more;
    for (const Alternative& a : plan->ways) {
      const std::string what = std::string(more) + a.title;
      const auto mended = mended_text(text, job, a);
      ASSERT_TRUE(mended) << what << base::sentence(mended.error());
      const job::Job next = job_of(*mended);
      const auto answer = solve::solve(next, {.tolerance = false, .changes = false});
      ASSERT_TRUE(answer) << what << base::sentence(answer.error());
      ++written;
      if (a.stands) {
        ASSERT_TRUE(answer->stands) << what;
        EXPECT_NEAR(answer->stands->centring, a.stands->centring, 1e-6) << what;
        EXPECT_NEAR(answer->stands->height, a.stands->height, 1e-6) << what;
        EXPECT_NEAR(answer->stands->axle_to_crown, a.stands->axle_to_crown, 1e-6) << what;
        EXPECT_NEAR(answer->stands->offset, a.stands->offset, 1e-6) << what;
        continue;
      }
      EXPECT_FALSE(answer->stands) << what;
      expect_as_said(answer->fork.left, a.fork.left, what),
          expect_as_said(answer->fork.right, a.fork.right, what);
      expect_as_said(layout::own_side(answer->intent, true).lower_end, a.left.lower_end, what);
      expect_as_said(layout::own_side(answer->intent, false).lower_end, a.right.lower_end, what);
      EXPECT_NEAR(answer->intent.offset, a.left.offset, 1e-6) << what;
      EXPECT_NEAR(answer->intent.drop, a.left.drop, 1e-5) << what;
      const bool alike = answer->fork.mirrored;
      two_sided += alike ? 0 : 1;
      for (const Piece& p : a.pieces)
        EXPECT_NEAR(measured(answer->fork, p.member), p.length, alike ? 1e-5 : 1e-3) << what;
    }
  }
  EXPECT_GE(two_sided, 6);
  EXPECT_GE(written, 20);
}

TEST(Replan, UnderACrownThatStaysBothBladesStandLessFarPastIt) {
  int written = 0;
  for (const char* name : {"ferry-mail", "quarry-mail", "pier-mail", "slip-mail"}) {
    for (const char* more : {kShort, kShortBelow, "[done.blades.right]\nlength = 0\n"}) {
      std::ostringstream in;
      in << std::ifstream(std::string(SOURCE_DIR "/examples/") + name + "/fork.toml").rdbuf();
      std::string text = in.str() + "\n" + more;
      const std::string what = std::string(name) + " " + more;
      if (const auto at = text.find("length = 0\n"); at != std::string::npos) {
        // told as a length, of the other side
        const auto plan = replan(job_of(in.str()));
        ASSERT_TRUE(plan) << what;
        text.replace(at, 10, "length = " + std::to_string(plan->length_right - 0.8));
      }
      const job::Job job = job_of(text);
      const auto plan = replan(job);
      ASSERT_TRUE(plan) << what << base::sentence(plan.error());
      ASSERT_FALSE(plan->ways.empty()) << what;
      const Alternative& a = plan->ways[0];
      EXPECT_EQ(a.scrapped, 0) << what;
      const Move* past = move_of(a, "past_crown");
      ASSERT_TRUE(past) << what;
      const bool right = std::string(more).find("right") != std::string::npos;
      EXPECT_NEAR(past->difference(), right ? -0.8 : -1.4, 0.05) << what;
      for (const Move& m : a.moves) {
        if (&m == past) continue;
        EXPECT_NEAR(m.difference(), 0, 0.03) << what << m.key;
      }
      const Piece& kept = a.pieces[right ? 1 : 0];
      EXPECT_EQ(kept.fate, Fate::kept) << what;
      EXPECT_NEAR(kept.length, (right ? plan->length_right - 0.8 : plan->length_left - 1.4), kSeats) << what;
      const auto mended = mended_text(text, job, a);
      ASSERT_TRUE(mended) << what << base::sentence(mended.error());
      const auto answer = solve::solve(job_of(*mended), {.tolerance = false, .changes = false});
      ASSERT_TRUE(answer) << what << base::sentence(answer.error());
      for (const bool left : {true, false}) {
        const layout::Placed &got = left ? answer->fork.left : answer->fork.right,
                             &said = left ? a.fork.left : a.fork.right;
        EXPECT_NEAR(got.splay, said.splay, 1e-6) << what;
        EXPECT_NEAR(got.lower_trim, said.lower_trim, 1e-4) << what;
        EXPECT_NEAR(got.s_top, said.s_top, 1e-4) << what;
      }
      ++written;
    }
  }
  EXPECT_EQ(written, 12);
}

TEST(Replan, ABladeTooShortForItsCrownIsRefusedWithWhatIsMissing) {
  std::ostringstream in;
  in << std::ifstream(SOURCE_DIR "/examples/quarry-mail/fork.toml").rdbuf();
  const auto plan = replan(job_of(in.str() + "\n[done.blades.left]\nshort_by = 9\n"));
  ASSERT_FALSE(plan);
  EXPECT_EQ(solve::told(plan.error()).code, "done-unreachable");
  // 10 mm past the plate's middle are planned, 3.5 hold it
  EXPECT_NE(plan.error().fits.find("2.5 mm too short"), std::string::npos) << plan.error().fits;
}

TEST(Replan, ABrazedBladeThatIsShortIsMendedAtItsInsertsFace) {
  const Replan plan = plan_of(std::string(kShort) + "joined = \"yes\"\n[freedoms]\nblade_from_hub = 3\n");
  EXPECT_TRUE(plan.mends());
  bool faced = false;
  for (const Alternative& a : plan.ways) {
    const double came = 10 - a.left.lower_end.blade_from_hub;
    if (a.scrapped > 0 || a.stands || came < 0.1) continue;
    faced = true;
    EXPECT_NEAR(20 - a.left.lower_end.length, came, 1e-9) << a.title;
    EXPECT_NEAR(a.fork.left.splay, a.fork.right.splay, 1e-3) << a.title;
    EXPECT_NE(a.pieces[0].why.find("Face "), std::string::npos) << a.pieces[0].why;
  }
  EXPECT_TRUE(faced) << speak::replan_text(plan);
  // with nothing allowed no way is a mending one
  EXPECT_FALSE(plan_of(std::string(kShort) + "joined = \"yes\"\n[freedoms]\nblade_from_hub = 0\n"
                                             "axle_to_crown = 0\noffset = 0\n")
                   .mends());
}

TEST(Replan, OnlyAnUnchangedPlanIsSaidToStand) {
  EXPECT_EQ(plan_of("[done]\nsteerer_length = 240\n").ways.at(0).title, "the plan stands");
  for (const Alternative& a : plan_of("[done]\naxle_to_crown = 406.2\n").ways)
    EXPECT_EQ(a.title.find("the plan stands"), std::string::npos) << a.title;
}

/// What is offered and written is what a file and a steel rule can do: whole tenths.
bool in_tenths(const std::string& number) {
  const auto point = number.find('.');
  return point == std::string::npos || number.size() - point <= 2;
}

TEST(Replan, NoStepIsSmallerThanAFileCanDo) {
  int numbers = 0;
  for (const char* more :
       {kShort, kShortBelow, "[done.blades.left]\nshort_by = 2\n[done.blades.right]\nshort_by = 0\n",
        "[done.blades.left]\nshort_by = 0.3\n", "[done.blades.left]\nshort_by = 1.37\njoined = \"yes\"\n",
        "[done.blades.left]\nlower_trim = 39\n", "[done.blades]\nshort_by = 0.5\n",
        "[done.blades.left]\nshort_by = 1.4\n[done.blades.right]\nshort_by = 0.6\n"}) {
    const Replan plan = plan_of(more);
    const std::string text = speak::replan_text(plan);
    EXPECT_EQ(text.find(" 0.0 mm "), std::string::npos) << more << text;
    EXPECT_EQ(text.find("−0.0"), std::string::npos) << more << text;
    for (std::size_t at = 0; (at = text.find('.', at)) != std::string::npos; ++at) {
      std::size_t end = at + 1;
      while (end < text.size() && std::isdigit(static_cast<unsigned char>(text[end]))) ++end;
      EXPECT_LE(end - at, 2u) << text.substr(at < 10 ? 0 : at - 10, 30);
    }
    for (const Alternative* a : all(plan)) {
      for (const Setting& s : a->set) {
        if (s.key == "done.as_cut") continue;
        EXPECT_TRUE(in_tenths(s.value)) << a->title << ": " << s.key << " = " << s.value;
        ++numbers;
      }
    }
  }
  EXPECT_GT(numbers, 60);
}

TEST(Replan, ABladeCutTwoMillimetresShortCanBeCutAgain) {
  // its mitre would gape by more than a file takes off in the place its length leads to; cut deeper it serves
  for (const char* more : {"[done.blades.left]\nshort_by = 2\n", "[done.blades.left]\nshort_by = 2.6\n",
                           "[done.blades.left]\nshort_by = 2\n[done.blades.right]\nshort_by = 0\n"}) {
    const Replan plan = plan_of(
        std::string(more) + "[freedoms]\nsplay = 3\ncrown_height = 8\naxle_to_crown = 4\nclearance = 5\n");
    bool again = false;
    for (const Alternative& a : plan.ways) {
      if (a.scrapped > 0) continue;
      for (const Piece& p : a.pieces) again = again || p.fate == Fate::cut_again;
    }
    EXPECT_TRUE(again) << more << speak::replan_text(plan);
    EXPECT_EQ(speak::replan_text(plan).find("no longer fits"), std::string::npos)
        << more << speak::replan_text(plan);
  }
}

TEST(Replan, BothBladesHalfAMillimetreShortNeedNoNewOnes) {
  const Replan plan = plan_of("[done.blades]\nshort_by = 0.5\n");
  ASSERT_TRUE(plan.mends()) << speak::replan_text(plan);
  EXPECT_EQ(speak::replan_text(plan).find("SCRAP"), std::string::npos) << speak::replan_text(plan);
}

TEST(Replan, ABladeThatIsCutAgainHasSteelAllRound) {
  for (const char* more : {"[done.blades.left]\nshort_by = 2\n",
                           "[done.blades.left]\nshort_by = 2\n[done.blades.right]\nshort_by = 0\n"}) {
    const job::Job job =
        job_of(island(more) + "[freedoms]\nsplay = 3\ncrown_height = 8\naxle_to_crown = 4\nclearance = 5\n");
    const auto plan = replan(job);
    ASSERT_TRUE(plan);
    const auto planned = solve::solve(job_of(island("")), {.tolerance = false, .changes = false});
    ASSERT_TRUE(planned);
    const auto upper = [](const auto& mitres, const bike::Part& member) {
      return *std::ranges::find_if(
          mitres, [&](const study::Mitre& m) { return m.member == member && m.end == bike::End::end; });
    };
    int seen = 0;
    for (const Alternative& a : plan->ways) {
      for (const Piece& p : a.pieces) {
        if (p.fate != Fate::cut_again) continue;
        const auto mitres = study::mitres(a.fork.assembly, {.scribe_gap = 20, .paper = 0.1});
        ASSERT_TRUE(mitres);
        const study::Mitre now = upper(*mitres, p.member), was = upper(planned->mitres, p.member);
        // the old cut: the planned one, farther down the tube by what was measured
        const double gone = p.member == "blade.left"_part ? 2 : 0;
        for (std::size_t i = 0; i < now.clock.size(); ++i) {
          if (!now.clock[i].met || !was.clock[i].met) continue;
          EXPECT_LT(now.s_scribe + now.clock[i].outer, was.s_scribe + was.clock[i].outer - gone + 0.3)
              << a.title << ", " << p.member << " at " << base::to_deg(now.clock[i].u);
        }
        ++seen;
      }
    }
    EXPECT_GT(seen, 0) << speak::replan_text(*plan);
  }
}

TEST(Replan, AnEvenForkComesBeforeOneWhoseJointsStandApart) {
  const Replan plan = plan_of("[done.blades.left]\nshort_by = 2\n[done.blades.right]\nshort_by = 0\n");
  bool apart = false;
  for (const Alternative& a : plan.ways) {
    if (a.scrapped > 0) break;
    if (a.stands) continue;
    const double by = std::abs(a.fork.left.crown_height - a.fork.right.crown_height);
    EXPECT_NEAR(a.joints_apart, by, 1e-9) << a.title;
    if (by > 0.5) apart = true;
    EXPECT_FALSE(apart && by <= 0.5) << speak::replan_text(plan);
  }
  ASSERT_FALSE(plan.ways.empty());
  EXPECT_LT(plan.ways[0].joints_apart, 0.5) << speak::replan_text(plan);
}

TEST(Replan, TheOffsetThatWasMeasuredHoldsForAForkThatStandsAsItWasCut) {
  const std::string cut = std::string(kShort) + "[done]\nas_cut = \"yes\"\n";
  const auto stands = [](const std::string& more) {
    const auto answer = solve::solve(job_of(island(more)), {.tolerance = false, .changes = false});
    EXPECT_TRUE(answer && answer->stands);
    return answer && answer->stands ? *answer->stands : Stands{};
  };
  const Stands plain = stands(cut), told = stands(cut + "offset = 46.2\n"),
               both = stands(cut + "offset = 46.2\naxle_to_crown = 405\n");
  EXPECT_GT(std::abs(plain.offset - 46.2), 1);
  EXPECT_NEAR(told.offset, 46.2, 1e-9);
  EXPECT_NEAR(0.5 * (told.left.x() + told.right.x()),
              0.5 * (plain.left.x() + plain.right.x()) + 46.2 - plain.offset, 1e-9);
  EXPECT_NEAR(told.centring, plain.centring, 0.1);
  EXPECT_NEAR(both.axle_to_crown, 405, 1e-9);
  EXPECT_NEAR(both.offset, 46.2, 1e-9);
  EXPECT_NEAR(-0.5 * (both.left.z() + both.right.z()), std::sqrt(405.0 * 405 - 46.2 * 46.2), 0.05);
}

TEST(Replan, FactsThatContradictNameEachOther) {
  const auto problem = [](const std::string& more) {
    const auto job = job::read_job(island(more), "island.toml");
    if (!job) return base::sentence(solve::told(job.error()[0]));
    const auto plan = replan(*job);
    return plan ? std::string() : base::sentence(solve::told(plan.error()));
  };
  const auto names = [&](const std::string& more, const char* one, const char* two) {
    const std::string said = problem(more);
    EXPECT_NE(said.find(one), std::string::npos) << said;
    EXPECT_NE(said.find(two), std::string::npos) << said;
    EXPECT_NE(said.find("line "), std::string::npos) << said;
  };
  names("[done]\nsteerer_length = 55\nbelow_seat = 62\n", "done.below_seat", "done.steerer_length in line");
  names("[done]\nsteerer_length = 55\n", "done.steerer_length", "steerer.below_seat in line");
  names("[done.inserts.left]\nbore = 25\n", "done.inserts.left.bore", "lower_end.diameter in line");
  names("[done.blades.left]\nlength = 500\n", "done.blades.left.length", "blades.stock_length in line");
  names("[done.blades.left]\nlength = 340.37\n[done]\naxle_to_crown = 407\ncrown_height = 45\n",
        "done.crown_height", "axle_to_crown");
  names("[done.blades]\nlength = 340\nshort_by = 1\n", "done.blades.length", "done.blades.short_by");
}

TEST(Replan, TheJsonHasEveryWay) {
  const Replan plan = plan_of(kShortBelow);
  const auto j = nlohmann::json::parse(speak::replan_json(plan));
  ASSERT_EQ(j["ways"].size(), plan.ways.size());
  EXPECT_NEAR(j["ways"][0]["cost"].get<double>(), plan.ways[0].cost, 1e-12);
  EXPECT_EQ(j["ways"][0]["pieces"].size(), 2u);
}

// ---- fit-up
// ------------------------------------------------------------------------------------------------

TEST(FitUpReport, FileAndWordsSayTheSame) {
  const auto file = job::read_fit_up(
      "end = \"left blade, upper end\"\ntouch = [30, \"210 deg\"]\ngaps = [[0, 0.15], [180, \"0.3 mm\"]]\n"
      "no_touch = [45]\nallowed = 0.1\nfeeler = 0.05\n",
      "f.toml");
  ASSERT_TRUE(file) << base::sentence(file.error()[0]);
  const auto words =
      job::fit_up_of({"left blade, upper end", "30 210deg", "0=0.15 180=0.3mm", "45", "0.1", "0.05"});
  ASSERT_TRUE(words) << base::sentence(words.error()[0]);
  ASSERT_EQ(file->readings.size(), 4u);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_DOUBLE_EQ(file->readings[i].u, words->readings[i].u);
    EXPECT_DOUBLE_EQ(file->readings[i].gap, words->readings[i].gap);
  }
  EXPECT_EQ(file->member, "blade.left"_part);
  EXPECT_EQ(file->options.allowed, words->options.allowed);
  EXPECT_DOUBLE_EQ(file->options.sd, 0.025);
  EXPECT_EQ(file->options.no_touch, words->options.no_touch);
}

TEST(FitUpReport, BadReadingsAreLocated) {
  const auto said = [](const std::string& text) {
    const auto r = job::read_fit_up(text, "f.toml");
    return r ? std::string("fine") : base::sentence(solve::told(r.error()[0]));
  };
  const std::string end = "end = \"left blade, upper end\"\n";
  EXPECT_NE(said(end + "touch = [30]\n").find("1 clock position"), std::string::npos);
  EXPECT_NE(said(end + "gaps = [[30, -0.1], [90, 0]]\n").find("line 2, gaps[1].gap: Found -0.1 mm"),
            std::string::npos)
      << said(end + "gaps = [[30, -0.1], [90, 0]]\n");
  EXPECT_NE(said("end = \"left blade\"\ntouch = [0, 90]\n").find("line 1, end"), std::string::npos);
  EXPECT_NE(said(end + "tuch = [0, 90]\n").find("touch"), std::string::npos);
  EXPECT_NE(said(end + "touch = [true, 90]\n").find("line 2"), std::string::npos);
  EXPECT_FALSE(job::fit_up_of({"left blade, upper end", "0 90", "45", "", "", ""}));
  EXPECT_FALSE(job::fit_up_of({"left blade, upper end", "0 90", "45=-1", "", "", ""}));
  EXPECT_FALSE(job::fit_up_of({"the other end", "0 90", "", "", "", ""}));
}

TEST(FitUpReport, ASeatedEndHasNothingToTakeOff) {
  const auto answer = solve::solve(job_of(island("")), {.tolerance = false, .changes = false});
  ASSERT_TRUE(answer);
  const auto report = job::fit_up_of({"left blade, lower end", "0 60 120 180 240 300", "", "", "", ""});
  ASSERT_TRUE(report);
  const auto found = solve::fit_up(*answer, *report);
  ASSERT_TRUE(found) << base::sentence(found.error());
  EXPECT_NEAR(found->found.lean, 0, 1e-6);
  EXPECT_NEAR(found->found.advance, 0, 1e-4);
  EXPECT_EQ(nlohmann::json::parse(speak::fit_up_json(*found))["table"].size(), 24u);
  EXPECT_NE(speak::fit_up_text(*found).find("left blade, lower end, onto the left insert"), std::string::npos)
      << speak::fit_up_text(*found);
}

}  // namespace
}  // namespace halfround::replan
