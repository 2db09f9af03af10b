#include "speak/proof_text.h"

#include <fmt/format.h>

#include "base/number.h"

namespace halfround::speak {

using base::format_number;

namespace {

constexpr const char* kStandClear =
    "Stand clear and wear eye protection: a fork under load springs when something lets go.";

}  // namespace

std::string in_words(const study::ProofTest& t) {
  std::string out = fmt::format(
      "Hold the steerer at the race seat and {} mm above it, push the axle to the rear with {} N: it moves "
      "{} mm",
      format_number(t.held_above, 0), format_number(t.force, 0), format_number(t.moves, 1));
  if (!t.stays) return out + ", and does not come back: push with less.";
  return out + fmt::format(" and comes back to within {} mm.", format_number(*t.stays + 0.1, 1));
}

std::string in_words(study::ProofSays says) {
  switch (says) {
    case study::ProofSays::as_calculated:
      return "It gives as calculated.";
    case study::ProofSays::joints_give:
      return "It gives a little more than calculated: the joints, or walls at the thin end of what is sold.";
    case study::ProofSays::too_soft:
      return "It gives too much: a wall is thinner than typed, or a joint gives. Don't ride it; find out "
             "why.";
    case study::ProofSays::too_stiff:
      return "It gives less than calculated: walls are thicker than typed, or the gauge or the hold moved "
             "with it.";
    case study::ProofSays::bent:
      return "It does not come back: something has bent or a joint has let go. Don't ride it; find out what.";
  }
  return "";
}

std::string proof_text(const study::Strength& strength) {
  std::string out;
  for (const study::ProofTest& t : study::proof_tests(strength)) {
    out += fmt::format("Proof test, {}\n  {}\n", t.load, in_words(t));
    out += fmt::format(
        "  up to {} mm: the joints give a little; more: a wall is thinner than typed, or a joint gives\n"
        "  more than {} mm, or it does not come back: don't ride it, find out why\n  {}\n",
        format_number(t.joints_give, 1), format_number(t.wrong, 1), kStandClear);
  }
  return out;
}

std::string proof_text(const study::ProofFinding& f, const study::ProofReading& r) {
  std::string out =
      fmt::format("Calculated: {}\nMeasured: it moved {} mm", in_words(f.test), format_number(r.moved, 1));
  if (r.stayed) out += fmt::format(" and {} mm stayed", format_number(*r.stayed, 1));
  out += ".\n" + in_words(f.says) + "\n";
  if (f.wall_share)
    out += fmt::format("Walls alone would explain it if both blades had {} % of the wall that was typed.\n",
                       format_number(100 * *f.wall_share, 0));
  else if (f.says != study::ProofSays::as_calculated)
    out += "No wall of the blades explains it: look at joints, crown, axle and how it was held.\n";
  return out +
         "The calculation is an estimate. A fork that passes this is not thereby safe: look at every "
         "joint.\n";
}

}  // namespace halfround::speak
