#include "solve/studies.h"

#include <algorithm>
#include <iterator>

#include "job/intent.h"
#include "job/numbers.h"
#include "layout/as_held.h"
#include "solve/place.h"
#include "solve/refuse.h"
#include "study/joint_gap.h"
#include "study/plate_edges.h"
#include "study/socket_fit.h"

namespace halfround::solve {

using base::Problem;
using base::Result;
using Verdicts = std::vector<bike::Verdict>;

namespace {

tl::unexpected<Problem> in_section(const job::Job& job, Problem p, const std::string& key) {
  p.where = job::place_of(job, key);
  return tl::unexpected(std::move(p));
}

Verdicts nothing(const Asked&, const Answer&) {
  return {};
}

const study::Mount* mount_in(const Answer& a) {
  return a.mount ? &*a.mount : nullptr;
}

Result<void> mount(const Asked& q, Answer& a) {
  const auto wanted = mount_of(q.job);
  if (!wanted) return {};
  auto found = study::brake_mount(a.fork.assembly, *wanted);
  if (!found) return in_section(q.job, found.error(), "brake");
  a.mount = std::move(*found);
  return refuse_parts(q.job, a);
}
Verdicts of_mount(const Asked&, const Answer& a) {
  return a.mount ? study::verdicts(*a.mount) : Verdicts{};
}

/// Filler, rods, vents and the order of joining.
Result<void> joining(const Asked& q, Answer& a) {
  const bike::Assembly& fork = a.fork.assembly;
  auto plan = study::joining_plan(fork, a.mitres, joining_of(q.job, fork, mount_in(a), q.options.shop));
  if (!plan) return in_section(q.job, plan.error(), "joining");
  a.joining = std::move(*plan);
  if (auto& refused = a.joining.refused)
    refused->where = job::place_of(q.job, material_key(q.job, bike::part_called(refused->where.key).kind));
  return {};
}
Verdicts of_joining(const Asked&, const Answer& a) {
  return study::verdicts(a.joining);
}

Result<void> small_parts(const Asked& q, Answer& a) {
  auto found =
      study::features(a.fork.assembly, a.mitres, features_of(q.job), a.joining.vents, {.mount = mount_in(a)});
  if (!found) return in_section(q.job, found.error(), "features");
  a.features = std::move(*found);
  return {};
}

/// Each joint's filler, standing in the middle of its joint line.
std::vector<study::PointMass> filler_of(const Answer& a) {
  std::vector<study::PointMass> out;
  for (const study::JointFill& j : a.joining.joints) {
    if (j.seam.empty()) continue;
    base::Vec3 middle = base::Vec3::Zero();
    for (const study::SeamPoint& p : j.seam) middle += p.point / static_cast<double>(j.seam.size());
    out.push_back({"filler, " + bike::spoken(j.member, j.end), j.mass, middle});
  }
  return out;
}

Result<void> mass(const Asked& q, Answer& a) {
  study::MassOptions weights = mass_of(q.job, a.fork.assembly);
  weights.more = filler_of(a);
  a.mass = study::mass(a.fork.assembly, a.mitres, weights);
  return {};
}

Result<void> steering(const Asked& q, Answer& a) {
  if (q.job.bicycle)
    a.bicycle =
        study::handling(job::bicycle_of(q.job, a.handling.loaded_radius.value_or(a.handling.wheel_radius)));
  a.front_centre = front_centre_of(q.job, a.handling.wheel_radius);
  return {};
}

Result<void> wheel(const Asked&, Answer&) {
  return {};  // judged by the job alone
}
Verdicts of_wheel(const Asked& q, const Answer&) {
  return study::verdicts(wheel_hold_of(q.job));
}

Result<void> clearance(const Asked& q, Answer& a) {
  a.clearance = study::clearance(a.fork.assembly, clearance_of(q.job, a.intent, a.handling.wheel_radius));
  return {};
}
Verdicts of_clearance(const Asked&, const Answer& a) {
  return study::verdicts(a.clearance);
}

/// Without an answer it says why; the others answer all the same.
Result<void> strength(const Asked& q, Answer& a) {
  const bike::Assembly& fork = a.fork.assembly;
  auto found =
      study::strength(fork, strength_of(q.job, a.fork, a.handling.wheel_radius, mount_in(a), a.features));
  if (!found) {
    a.strength.unknown = base::sentence(found.error());
    return {};
  }
  a.strength = std::move(*found);
  if (!q.options.changes || !a.strength.unknown.empty()) return {};
  if (auto changes = study::what_would_it_bring(fork, a.strength)) a.changes = std::move(*changes);
  return {};
}
Verdicts of_strength(const Asked& q, const Answer& a) {
  Verdicts out = study::verdicts(a.strength);
  if (q.options.changes) study::add_wall_fixes(a.fork.assembly, a.strength, out);
  return out;
}

/// Where the fixture holds both ends, what was cut wrong shows at the upper mitres. A bore or socket has no
/// such gap.
void add_gaps(const Asked& q, const study::ToleranceOptions& how, Answer& a) {
  const bool mitred = std::ranges::any_of(
      a.mitres, [](const study::Mitre& m) { return m.onto.kind == bike::PartKind::steerer; });
  if (!mitred) return;
  const study::Formula gaps =
      study::joint_gaps(layout::as_built(a.intent, a.fork), {.spare = q.job.spare.value});
  auto found = study::tolerance(gaps, gap_tolerances_of(q.job, q.options.shop, gaps), how);
  if (!found) return;
  std::ranges::move(found->measures, std::back_inserter(a.tolerance->measures));
  a.chain.dimensions.insert(a.chain.dimensions.end(), gaps.dimensions.begin(), gaps.dimensions.end());
}

Result<void> tolerance(const Asked& q, Answer& a) {
  const bool held = q.job.held == job::Held::in_fixture;
  a.chain = held ? layout::as_held(a.intent, a.fork) : layout::as_built(a.intent, a.fork);
  if (!q.options.tolerance) return {};
  study::ToleranceOptions how;
  how.draws = q.options.draws;
  auto found = study::tolerance(a.chain, tolerances_of(q.job, q.options.shop, a.chain, a.intent), how);
  if (!found) return in_section(q.job, found.error(), "tolerances");
  a.tolerance = std::move(*found);
  if (held) add_gaps(q, how, a);
  return {};
}
Verdicts of_tolerance(const Asked& q, const Answer& a) {
  return a.tolerance ? study::verdicts(*a.tolerance, q.job.accepted.value, cold_set_of(q.job)) : Verdicts{};
}

Result<void> edges(const Asked&, Answer&) {
  return {};  // judged by the assembly alone
}
Verdicts of_edges(const Asked&, const Answer& a) {
  Verdicts out = study::verdicts(study::bore_edges(a.fork.assembly));
  std::ranges::move(study::verdicts(study::socket_fits(a.fork.assembly)), std::back_inserter(out));
  return out;
}

Result<void> stands(const Asked& q, Answer& a) {
  if (!q.job.done || !q.job.done->as_cut) return {};
  const auto found = replan::stands_as_cut(q.job);
  if (!found) return placed(q.job, found.error(), "done");
  a.stands = *found;
  return {};
}

constexpr std::array<StudyRow, 11> kStudies{
    {{Study::mount, "mount", "brake mount", mount, of_mount},
     {Study::joining, "joining", "joining", joining, of_joining},
     {Study::small_parts, "small_parts", "small parts and openings", small_parts, nothing},
     {Study::mass, "mass", "mass", mass, nothing},
     {Study::steering, "steering", "steering", steering, nothing},
     {Study::wheel, "wheel", "how the wheel is held", wheel, of_wheel},
     {Study::clearance, "clearance", "clearance", clearance, of_clearance},
     {Study::strength, "strength", "strength", strength, of_strength},
     {Study::tolerance, "tolerance", "tolerance", tolerance, of_tolerance},
     {Study::edges, "edges", "metal round bores and sockets", edges, of_edges},
     {Study::stands, "stands", "how it stands as it was cut", stands, nothing}}};
static_assert(base::complete(kStudies));

}  // namespace

std::span<const StudyRow> studies() {
  return kStudies;
}

}  // namespace halfround::solve
