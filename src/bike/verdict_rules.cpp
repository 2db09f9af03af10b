// Every verdict there is: what it asks and what to do about it when it is not met. A test holds the table
// against docs/verdicts.md.
#include <algorithm>

#include "base/result.h"
#include "bike/limit.h"

namespace halfround::bike {

namespace {

using enum Question;
using enum Grade;

constexpr VerdictRule kRules[] = {
    {"disc-open-slot", hold, may_break},
    {"strength-set", hold, may_break},
    {"strength-fold", hold, may_break},
    {"strength-yield", hold, may_break},
    {"strength-fatigue", hold, may_break},
    {"strength-impact", hold, may_break},
    {"mount-unknown", hold, may_break},
    {"mount-standing", hold, may_break},
    {"mount-foot", hold, may_break},
    {"plate-edge", hold, shops_aim},
    {"socket-gap", hold, may_break},
    {"braze-second-melts-lower", hold, shops_aim},
    {"clearance-law", clear, may_break},
    {"clearance-road", clear, may_break},
    {"clearance-part", clear, may_break},
    {"clearance-published", clear, may_be_tight},
    {"clearance-wish", clear, may_be_tight},
    {"clearance-toe", clear, may_be_tight},
    {"wheel-slot", clear, cant_be_built},
    {"wheel-removal", clear, may_break},
    {"wheel-rotor", clear, shops_aim},
    {"tolerance-offset", steer, shops_aim},
    {"tolerance-axle_to_crown", steer, shops_aim},
    {"tolerance-centring", come_out_true, shops_aim},
    {"tolerance-height", come_out_true, shops_aim},
    {"tolerance-faces", come_out_true, shops_aim},
    {"tolerance-lead", come_out_true, shops_aim},
    {"tolerance-spacing", come_out_true, shops_aim},
    {"tolerance-clearance_left", come_out_true, shops_aim},
    {"tolerance-clearance_right", come_out_true, shops_aim},
    {"tolerance-gap_left", come_out_true, shops_aim},
    {"tolerance-gap_right", come_out_true, shops_aim},
    {"socket-lean", come_out_true, shops_aim},
};

}  // namespace

std::span<const VerdictRule> verdict_rules() {
  return kRules;
}

const VerdictRule& rule_of(std::string_view code) {
  const auto* at = std::ranges::find(kRules, code, &VerdictRule::code);
  base::check(at != std::end(kRules), "every verdict's id stands in the table");
  return *at;
}

}  // namespace halfround::bike
