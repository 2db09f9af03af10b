// The order of work as numbered steps: what the traveller ticks off and the cards count by. Frame: none.
#pragma once

#include <string>
#include <vector>

#include "job/job.h"
#include "solve/shop_plan.h"
#include "solve/solve.h"

namespace halfround::sheet {

enum class Stage { measure, lay_out, small_parts, cut, set, join, prove };
inline constexpr int kStages = 7;
[[nodiscard]] std::string name_of(Stage stage);  ///< "small parts"

/// Something to measure, with room for what it came out at.
struct Blank {
  std::string what;      ///< "left blade between its cuts"
  std::string expected;  ///< "340.37 mm"
  std::string limit;     ///< "±0.50", "" where nobody set one
};

struct WorkStep {
  Stage stage = Stage::measure;
  int number = 0;    ///< 1 first
  std::string key;   ///< what a card asks for: "cut blade.left upper"; "" where there is no card
  std::string what;  ///< one or two sentences
  std::vector<Blank> blanks;
  bool done =
      false;  ///< the job reports it finished ([done]): nothing is asked for, nothing is measured anew
};

/// Every step from the measuring of the parts to the proof on the surface plate.
[[nodiscard]] std::vector<WorkStep> order_of_work(const job::Job& job, const solve::Answer& answer,
                                                  const solve::ShopPlan& plan);

/// Does the job report this end of a member as cut?
[[nodiscard]] bool is_cut(const job::Job& job, const bike::Part& member, bike::End end);

/// The key of a card's step.
[[nodiscard]] std::string slot_key(const bike::Part& member);
[[nodiscard]] std::string cut_key(const bike::Part& member, bike::End end);
[[nodiscard]] std::string file_key(const bike::Part& member, bike::End end);

/// Made while the part can still be held, or when the main joints are cold?
[[nodiscard]] bool is_before_joining(const study::Feature& feature);
/// The key of the answer's n-th feature, 0 first.
[[nodiscard]] std::string feature_key(std::size_t index);

/// The step with that key; our bug where there is none.
[[nodiscard]] const WorkStep& step_with(const std::vector<WorkStep>& order, const std::string& key);

}  // namespace halfround::sheet
