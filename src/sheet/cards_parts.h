// The single cards; cards.cpp puts them on pages. Frame P, mm.
#pragma once

#include "job/job.h"
#include "job/shop_plan.h"
#include "sheet/card.h"
#include "sheet/work_order.h"

namespace halfround::sheet {

/// What every card is made from.
struct CardTable {
  const job::Job& job;
  const job::Answer& answer;
  const job::ShopPlan& plan;
  std::vector<WorkStep> order;
};

// upright cards, for a pair
[[nodiscard]] Group cut_card(const CardTable& t, const shop::MachineSetUp& set_up, const Box& card);
[[nodiscard]] Group file_card(const CardTable& t, const shop::MachineSetUp& set_up,
                              const shop::HandPlan& hand, const Box& card);
[[nodiscard]] Group depth_card(const CardTable& t, const shop::MachineSetUp& set_up,
                               const shop::HandPlan& hand, const Box& card);
/// The joints of one blade: tacks and passes.
[[nodiscard]] Group join_card(const CardTable& t, const std::string& member, const Box& card);

// wide cards
[[nodiscard]] Group length_card(const CardTable& t, const Box& card);
[[nodiscard]] Group fixture_card(const CardTable& t, const shop::FixtureSheet& fixture, const Box& card);
[[nodiscard]] Group prove_card(const CardTable& t, const Box& card);
/// Heat, support, cooling, cleaning and the cautions; a page.
[[nodiscard]] Group care_card(const CardTable& t, const Box& card);

}  // namespace halfround::sheet
