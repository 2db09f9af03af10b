// The strength study's lines of the check sheet.
#include <fmt/format.h>

#include <cmath>

#include "base/clock.h"
#include "study/strength.h"

namespace halfround::study {

namespace {

std::string where(const WeakPlace& weak) {
  return fmt::format("{}, {:.0f} mm from its lower end, at {} on the clock (0° at the mark line)",
                     weak.member, weak.s, base::format_clock(weak.u));
}

bike::Verdict line(std::string code, std::string what) {
  bike::Verdict out;
  out.study = "strength", out.code = std::move(code), out.what = std::move(what);
  return out;
}

bike::Verdict margin_line(const CaseResult& c, const Strength& s) {
  const bool repeated = c.load.cycle != Cycle::once;
  bike::Verdict out = line(repeated ? "strength-fatigue" : "strength-yield",
                           fmt::format("{}, margin against {}", c.load.name, repeated ? "fatigue" : "yield"));
  const std::optional<WeakPlace>& weak = repeated ? c.fatigue : c.yield;
  const double least = repeated ? s.options.fatigue_margin : s.options.yield_margin;
  out.limit = bike::Limit{least, bike::Bound::at_least, "the builder's wish; load: " + c.load.source};
  if (!weak) {
    out.note = c.note.empty() ? "nothing is loaded" : c.note;
    return out;
  }
  out.value = weak->margin, out.where = where(*weak);
  out.note = fmt::format("{:.0f} MPa against {:.0f}{}", weak->stress, weak->strength,
                         weak->beside_joint ? " beside a joint" : "");
  if (repeated) out.note += "; rule: " + s.options.fatigue.edition;
  return out;
}

bike::Verdict impact_line(const CaseResult& c) {
  bike::Verdict out = line("strength-impact", c.load.name + ", permanent set at the axle");
  out.unit = "mm";
  if (c.load.set_limit > 0) out.limit = bike::Limit{c.load.set_limit, bike::Bound::at_most, c.load.source};
  out.value = c.set, out.note = c.note;
  if (c.yield) out.where = where(*c.yield);
  return out;
}

}  // namespace

std::vector<bike::Verdict> verdicts(const Strength& strength) {
  std::vector<bike::Verdict> out;
  for (const CaseResult& c : strength.cases) {
    out.push_back(c.load.kind == LoadKind::impact ? impact_line(c) : margin_line(c, strength));
  }
  bike::Verdict ratio =
      line("strength-stiffness", "deflection at the axle under 1200 N by the dummy fork's yardstick");
  if (strength.unknown.empty()) {
    ratio.value = strength.deflection_ratio;
    ratio.note = fmt::format(
        "{:.2f} mm, {:.0f} N/mm; 1 is the dummy fork's (TBIS 4210-6:2019 Annex A), a "
        "yardstick and no requirement",
        strength.dummy_deflection, strength.fore_aft);
  } else {
    ratio.note = strength.unknown;
  }
  out.push_back(ratio);
  return out;
}

}  // namespace halfround::study
