#include "study/proof.h"

#include <algorithm>
#include <cmath>

namespace halfround::study {

namespace {

// times what was calculated: a brazed joint gives some tenths at the axle, a beam model is good to a tenth
// [common practice]; beyond, it is another fork than the one that was typed
constexpr double kJointsGive = 1.2, kWrong = 1.5, kStiff = 0.85, kAsCalculated = 1.05;
constexpr double kReadsTo = 0.1;  // mm, a dial gauge on a bench
constexpr double kThinnest = 0.4, kThickest = 2.5;

bool on_a_bench(const CaseResult& c) {
  return c.load.kind == LoadKind::force && c.load.cycle == Cycle::once && c.load.member.empty();
}

/// Both blades' walls times a share; not past the middle of the tube.
bike::Assembly with_walls(bike::Assembly assembly, double share) {
  for (bike::Member& m : assembly.members) {
    if (m.part.kind != bike::PartKind::blade) continue;
    std::vector<shape::Station> stations = m.tube.profile.stations();
    for (shape::Station& s : stations) s.wall = std::min(share * s.wall, 0.45 * std::min(s.width, s.depth));
    m.tube.profile = shape::Profile(stations);
  }
  return assembly;
}

/// How far the axle moves with such walls, under that load alone.
base::Result<double> moves(const bike::Assembly& assembly, StrengthOptions options, const LoadCase& load,
                           double share) {
  options.published = false, options.own = {load};
  const auto found = strength(with_walls(assembly, share), options);
  if (!found) return tl::unexpected(found.error());
  return found->cases.front().deflection.norm();
}

/// By regula falsi with the Illinois rule; nothing where no wall explains it.
base::Result<std::optional<double>> share_that_moves(const bike::Assembly& assembly, const Strength& now,
                                                     const LoadCase& load, double moved) {
  double low = kThinnest, high = kThickest;
  const auto first = moves(assembly, now.options, load, low), last = moves(assembly, now.options, load, high);
  if (!first) return tl::unexpected(first.error());
  if (!last) return tl::unexpected(last.error());
  double f_low = *first - moved, f_high = *last - moved;  // falls with the wall
  if (f_low < 0 || f_high > 0) return std::optional<double>();
  for (int i = 0; i < 30 && high - low > 1e-4; ++i) {
    const double share = low + f_low / (f_low - f_high) * (high - low);
    const auto at = moves(assembly, now.options, load, share);
    if (!at) return tl::unexpected(at.error());
    const double f = *at - moved;
    if (std::abs(f) < 1e-6) return std::optional(share);
    if (f > 0) {
      low = share, f_low = f, f_high /= 2;
    } else {
      high = share, f_high = f, f_low /= 2;
    }
  }
  return std::optional((low + high) / 2);
}

ProofSays says(const ProofTest& t, const ProofReading& r) {
  if (r.stayed && *r.stayed > t.stays.value_or(0) + 2 * kReadsTo) return ProofSays::bent;
  if (r.moved > t.joints_give) return ProofSays::too_soft;
  if (r.moved < kStiff * t.moves - kReadsTo) return ProofSays::too_stiff;
  return r.moved > kAsCalculated * t.moves + kReadsTo ? ProofSays::joints_give : ProofSays::as_calculated;
}

}  // namespace

std::vector<ProofTest> proof_tests(const Strength& s) {
  std::vector<ProofTest> out;
  for (const CaseResult& c : s.cases) {
    if (!on_a_bench(c)) continue;
    ProofTest t{.load = c.load.name,
                .force = c.force,
                .held_above = s.options.bearings.upper,
                .moves = c.deflection.norm()};
    if (c.set && std::isfinite(*c.set)) t.stays = *c.set;
    t.joints_give = kJointsGive * t.moves, t.wrong = kWrong * t.moves;
    out.push_back(std::move(t));
  }
  return out;
}

base::Result<ProofFinding> read_proof(const bike::Assembly& assembly, const Strength& s,
                                      const ProofReading& r) {
  const auto load = std::ranges::find_if(s.cases, on_a_bench);
  if (load == s.cases.end())
    return tl::unexpected(
        base::Problem{"no-proof-test",
                      {"", 0, 0, "strength"},
                      "There is no load here that a bench can copy" +
                          (s.unknown.empty() ? std::string(".") : ": " + s.unknown + "."),
                      "Give the walls, or take \"static bending\" out of strength.leave_out."});
  ProofFinding out;
  out.test = proof_tests(s).front();
  out.says = says(out.test, r);
  if (out.says == ProofSays::as_calculated) return out;
  auto share = share_that_moves(assembly, s, load->load, r.moved);
  if (!share) return tl::unexpected(share.error());
  out.wall_share = *share;
  return out;
}

}  // namespace halfround::study
