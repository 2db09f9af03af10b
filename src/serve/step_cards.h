// The order of work as cards for a small screen: one step, one big number, a few lines.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "serve/engine.h"

namespace halfround::serve {

/// What a measurement of the step is held against.
struct Wanted {
  std::string name;             ///< "left blade between its cuts"
  std::string words;            ///< "340.37 mm"
  bool angle = false;           ///< else a length
  double value = 0;             ///< mm, or degrees
  std::optional<double> limit;  ///< either way, in the same; nothing where nobody set one
};

struct StepCard {
  std::string id;     ///< stays the same while the fork's parts do: "cut blade.left upper", "measure 2"
  std::string stage;  ///< "cut"
  std::string title;
  struct {
    std::string name, value, unit;  ///< "turn from square", "7.2", "°"; empty where there is no one number
  } big;
  std::vector<std::string> lines;
  std::vector<Wanted> wanted;  ///< in their order on the card; empty where nothing is measured
  std::string caution;         ///< or ""
};

///   in  worked  with an answer
[[nodiscard]] std::vector<StepCard> step_cards(const Worked& worked, const solve::ShopPlan& plan);

}  // namespace halfround::serve
