// The single cards; cards.cpp puts them on pages. Frame P, mm.
#pragma once

#include "job/job.h"
#include "sheet/card.h"
#include "sheet/on_paper.h"
#include "sheet/work_order.h"
#include "solve/shop_plan.h"

namespace halfround::sheet {

/// What every card is made from.
struct CardTable {
  const job::Job& job;
  const solve::Answer& answer;
  const solve::ShopPlan& plan;
  std::vector<WorkStep> order;
};

// upright cards, for a pair
[[nodiscard]] Group cut_card(const CardTable& t, const shop::MachineSetUp& set_up, const Box& card);
[[nodiscard]] Group file_card(const CardTable& t, const shop::MachineSetUp& set_up,
                              const shop::HandPlan& hand, const Box& card);
[[nodiscard]] Group depth_card(const CardTable& t, const shop::MachineSetUp& set_up,
                               const shop::HandPlan& hand, const Box& card);
/// The slot for a dropout in a blade's lower end.
[[nodiscard]] Group slot_card(const CardTable& t, const bike::Joint& joint, const Box& card);
/// The joints of one blade: tacks and passes.
[[nodiscard]] Group join_card(const CardTable& t, const bike::Part& member, const Box& card);

/// Features of one side, the middle ones with the left: which of the answer's.
[[nodiscard]] std::vector<std::size_t> features_of(const CardTable& t, bike::Side hand, bool before_joining);
[[nodiscard]] Group feature_card(const CardTable& t, bike::Side hand, const std::vector<std::size_t>& which,
                                 bool before_joining, const Box& card);

/// A scale with its setting, what it is for and what the rounding makes; y of its lower edge.
[[nodiscard]] double put_scale(Group& group, const Box& box, const shop::Reading& reading, double most);

// wide cards
[[nodiscard]] Group length_card(const CardTable& t, const Box& card);
[[nodiscard]] Group fixture_card(const CardTable& t, const shop::FixtureSheet& fixture, const Box& card);
[[nodiscard]] Group prove_card(const CardTable& t, const Box& card);
/// Sockets, bores and slots that filler runs into: how to make the gap, and the rod for it; a page where they
/// are many.
[[nodiscard]] Group gap_card(const CardTable& t, const Box& card);
/// The brake mount's place and its setting; a page.
[[nodiscard]] Group mount_card(const CardTable& t, const Box& card);
/// Its posts' lengths round their clocks.
[[nodiscard]] Group mount_foot_card(const CardTable& t, const Box& card);
/// Heat, support, cooling, cleaning and the cautions; a page.
[[nodiscard]] Group care_card(const CardTable& t, const Box& card);

}  // namespace halfround::sheet
