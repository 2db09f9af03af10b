// The strength study's lines of the check sheet.
#include <fmt/format.h>

#include <cmath>

#include "base/clock.h"
#include "base/number.h"
#include "base/say.h"
#include "study/strength.h"

namespace halfround::study {

namespace {

using base::fixed;

constexpr const char* kNotCounted = "Not counted: poor fillets, dents, rust, and how much the joints give.";

std::string where(const WeakPlace& weak) {
  const std::string part = weak.both_sides ? "both " + std::string(bike::noun_of(weak.member.kind)) + "s"
                                           : bike::spoken(weak.member);
  return base::say("{}, {:.0f} mm from {} lower end, {} on the clock", part, weak.s,
                   weak.both_sides ? "the" : "its", base::format_clock(weak.u));
}

void put_place(bike::Verdict& out, const WeakPlace& weak) {
  out.where = where(weak);
  out.at = bike::OnMember{weak.member, weak.s, weak.u, weak.point};
}

bike::Verdict line(std::string code, std::string what, const CaseResult& c) {
  bike::Verdict out;
  out.study = "strength", out.code = std::move(code), out.what = std::move(what);
  out.load = fmt::format("{}: {}", c.load.name, c.load.source);
  out.not_counted = kNotCounted;
  return out;
}

std::string stress_words(const WeakPlace& weak) {
  return base::say("{:.0f} MPa against {:.0f}{}", weak.stress, weak.strength,
                   !weak.notch.empty() ? " at the " + weak.notch
                   : weak.beside_joint ? " beside a joint"
                                       : "");
}

bike::Verdict margin_line(const CaseResult& c, const Strength& s) {
  const bool repeated = c.load.cycle != Cycle::once;
  bike::Verdict out =
      line(repeated ? "strength-fatigue" : "strength-yield",
           fmt::format("{}, margin against {}", c.load.name, repeated ? "fatigue" : "yield"), c);
  const std::optional<WeakPlace>& weak = repeated ? c.fatigue : c.yield;
  const double least = repeated ? s.options.fatigue_margin : s.options.yield_margin;
  out.limit =
      bike::Limit{least, bike::Bound::at_least, least == 1 ? "least margin" : "the job's least margin"};
  if (!weak) {
    out.note = c.note.empty() ? "nothing is loaded" : c.note;
    return out;
  }
  out.value = weak->margin, out.note = stress_words(*weak);
  put_place(out, *weak);
  return out;
}

/// First yield beside the set that stays.
std::string first_yield(const CaseResult& c) {
  if (!c.yield) return "";
  return fmt::format("first yield at {} of this load, {}", fixed(c.yield->margin, 2), stress_words(*c.yield));
}

/// "5 mm is the figure quoted from ..."
bike::Limit set_limit(const CaseResult& c) {
  return {
      c.load.set_limit, bike::Bound::at_most,
      c.load.kind == LoadKind::impact ? "figure quoted from JIS D 9301" : "figure quoted from ASTM F2899"};
}

/// A hinge under a load that stays has no end: how much of the load folds it.
bike::Verdict fold_line(const CaseResult& c) {
  bike::Verdict out = line("strength-fold", c.load.name + ", share of this load that folds it", c);
  out.limit = bike::Limit{1, bike::Bound::at_least, "it must not fold"};
  out.value = c.hinge->margin, out.note = first_yield(c);
  put_place(out, *c.hinge);
  return out;
}

/// A load that is put on and taken off: how much of the bend stays.
bike::Verdict set_line(const CaseResult& c) {
  if (c.set && c.hinge && !std::isfinite(*c.set)) return fold_line(c);
  bike::Verdict out = line("strength-set", c.load.name + ", permanent set at the axle", c);
  out.unit = "mm", out.limit = set_limit(c);
  if (!c.set || !c.yield) {
    out.note = c.note.empty() ? "nothing is loaded" : c.note;
    return out;
  }
  put_place(out, *c.yield);
  out.value = *c.set, out.note = first_yield(c);
  return out;
}

bike::Verdict impact_line(const CaseResult& c) {
  bike::Verdict out = line("strength-impact", c.load.name + ", permanent set at the axle", c);
  out.unit = "mm";
  if (c.load.set_limit > 0) out.limit = set_limit(c);
  if (c.yield) put_place(out, *c.yield);
  if (!c.set || !c.set_least) {
    out.note = c.note;
    return out;
  }
  const double limit = c.load.set_limit;
  out.value = *c.set;
  // the limit lies within what is honestly known
  if (limit > 0 && *c.set_least <= limit && *c.set > limit) out.value.reset();
  const std::string most = std::isfinite(*c.set) ? fixed(*c.set, 0) + " mm" : "no end";
  out.note = fmt::format(
      "between {} mm and {}: a rough estimate by an equivalent static force and a plastic hinge; a drop test "
      "tells",
      fixed(*c.set_least, 0), most);
  return out;
}

}  // namespace

std::vector<bike::Verdict> verdicts(const Strength& strength) {
  std::vector<bike::Verdict> out;
  for (const CaseResult& c : strength.cases) {
    const bool sets = c.load.cycle == Cycle::once && c.load.set_limit > 0;
    out.push_back(c.load.kind == LoadKind::impact ? impact_line(c)
                  : sets                          ? set_line(c)
                                                  : margin_line(c, strength));
  }
  return out;
}

}  // namespace halfround::study
