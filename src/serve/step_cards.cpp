#include "serve/step_cards.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/clock.h"
#include "base/number.h"
#include "base/quantity.h"
#include "sheet/work_order.h"

namespace halfround::serve {

namespace {

using base::format_number;
using base::to_deg;

/// "340.37 mm" in two; words without a unit stay whole.
void put_big(StepCard& card, const std::string& name, const std::string& words) {
  const auto gap = words.rfind(' ');
  card.big = {name, words.substr(0, gap), gap == std::string::npos ? "" : words.substr(gap + 1)};
}

/// Nothing where the sheet expects words, not a measure.
std::optional<Wanted> wanted_of(const sheet::Blank& b) {
  std::optional<double> limit;
  if (b.limit.starts_with("±")) limit = base::read_number(b.limit.substr(std::string("±").size()));
  if (const auto q = base::parse_quantity(b.expected, base::Kind::length))
    return Wanted{b.what, b.expected, false, q->value, limit};
  if (const auto q = base::parse_quantity(b.expected, base::Kind::angle))
    return Wanted{b.what, b.expected, true, to_deg(q->value), limit};
  return std::nullopt;
}

/// What the machine is set to for one end.
void put_set_up(StepCard& card, const shop::MachineSetUp& s) {
  const shop::CutterFit& c = s.cutters.front();
  card.title = s.title;
  card.big = {"turn from square", format_number(to_deg(s.from_square), 1), "°"};
  card.lines = {fmt::format("clock {} faces up", base::format_clock(s.u_up)), "cutter: " + c.name};
  if (std::abs(c.offset) > 0.005)
    card.lines.push_back(fmt::format("cutter's axis {} mm {} the tube's",
                                     format_number(std::abs(c.offset), 2), c.offset > 0 ? "above" : "below"));
  for (const shop::Stop& stop : c.stops)
    card.lines.push_back(fmt::format("{} mm from the {}", format_number(stop.distance, 2), stop.from));
  card.lines.push_back(fmt::format("greatest gap {} mm at clock {}", format_number(c.greatest_gap, 2),
                                   base::format_clock(c.u_greatest)));
  if (!s.held.long_enough) card.caution = "The straight piece to hold is short: support the tube.";
}

/// Saw and file; after the mill only what it left.
void put_hand(StepCard& card, const shop::MachineSetUp& s, const shop::HandPlan& plan) {
  card.title = s.title;
  const bool machine = !s.cutters.empty() && s.cutters.front().serves;
  const auto put = [&](const std::string& head, bool only_after) {
    for (const shop::FilingStep& step : plan.steps)
      if (!only_after || step.after_mill)
        card.lines.push_back(head +
                             (step.file.empty() ? step.what : fmt::format("{} ({})", step.what, step.file)));
  };
  if (machine) {
    card.big = {"saw line, all by hand, leans from square", format_number(to_deg(plan.saw.planes[0].lean), 1),
                "°"};
    put("After milling: ", true);
    put("All by hand: ", false);
  } else {
    card.big = {"saw line leans from square", format_number(to_deg(plan.saw.planes[0].lean), 1), "°"};
    put("", false);
  }
  card.caution = s.why_by_hand;
}

class Cards {
 public:
  Cards(const Worked& worked, const solve::ShopPlan& plan) : worked_(worked), plan_(plan) {}

  StepCard card(const sheet::WorkStep& step) {
    StepCard out;
    out.stage = sheet::name_of(step.stage);
    int& n = counts_[static_cast<std::size_t>(step.stage)];
    ++n;
    out.id = step.key.empty() ? fmt::format("{} {}", out.stage, n) : step.key;
    out.title = step.what;
    if (for_end(out, step)) return out;
    for (std::size_t i = 0; i < step.blanks.size(); ++i) {
      const sheet::Blank& b = step.blanks[i];
      if (auto wanted = wanted_of(b)) out.wanted.push_back(std::move(*wanted));
      if (i == 0) {
        put_big(out, b.what, b.expected);
        if (!b.limit.empty()) out.lines.push_back(b.limit);
      } else {
        out.lines.push_back(fmt::format("{}: {} {}", b.what, b.expected, b.limit));
      }
    }
    if (step.stage == sheet::Stage::join && !worked_.answer->joining.cautions.empty() && n == 1)
      out.caution = worked_.answer->joining.cautions.front().what;
    return out;
  }

 private:
  bool for_end(StepCard& out, const sheet::WorkStep& step) const {
    for (const shop::MachineSetUp& s : plan_.set_ups) {
      if (step.key == sheet::cut_key(s.member, s.end) && !s.cutters.empty()) {
        put_set_up(out, s);
        return true;
      }
      const shop::HandPlan* hand = solve::by_hand(plan_, s);
      if (hand && step.key == sheet::file_key(s.member, s.end)) {
        put_hand(out, s, *hand);
        return true;
      }
    }
    return false;
  }

  const Worked& worked_;
  const solve::ShopPlan& plan_;
  std::array<int, sheet::kStages> counts_{};
};

}  // namespace

std::vector<StepCard> step_cards(const Worked& worked, const solve::ShopPlan& plan) {
  Cards cards(worked, plan);
  std::vector<StepCard> out;
  for (const sheet::WorkStep& step : sheet::order_of_work(*worked.job, *worked.answer, plan))
    out.push_back(cards.card(step));
  return out;
}

}  // namespace halfround::serve
