#include "solve/solve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/number.h"
#include "base/text_mark.h"
#include "bike/steering.h"
#include "job/intent.h"
#include "solve/notes.h"
#include "job/numbers.h"
#include "solve/offer.h"
#include "solve/refuse.h"
#include "layout/as_held.h"
#include "shape/distance.h"
#include "study/joint_gap.h"
#include "study/plate_edges.h"
#include "study/socket_fit.h"

namespace halfround::solve {

using base::Problem;
using base::Result;

namespace {

/// Where the job tells of a member or plate: "blade.right" is told in "blades.right". Keys stay as they are.
std::string section_of(const std::string& where) {
  using K = bike::PartKind;
  const bike::Part part = bike::part_called(where);
  const std::string side = part.side == bike::Side::middle ? "" : std::string(".") + bike::word_of(part.side);
  if (part.kind == K::blade) return "blades" + side;
  if (part.kind == K::insert || part.kind == K::dropout || part.kind == K::block) return "lower_end" + side;
  const bool crown = part.kind == K::crown_tube || part.kind == K::crown_plate || part.kind == K::cap;
  return crown ? "crown" : where;
}

/// A problem of layout or study, at its place in the job: a side's own key, or the one for both.
tl::unexpected<Problem> at(const job::Job& job, Problem p, const std::string& key) {
  std::string said = p.where.key.empty() ? key : job::said_key(job, section_of(p.where.key));
  if (job::row_of(job.crown.kind).own_place && said == "wishes.spacing") said = "crown.spacing";
  p.where = job::place_of(job, said);
  p.where.file = job.file;
  return tl::unexpected(std::move(p));
}

Handling handling_of(const job::Job& job, const layout::Intent& intent, double wheel_radius) {
  Handling h;
  h.head_angle = job.steering.head_angle.value;
  h.wheel_radius = wheel_radius;
  h.trail = bike::trail(h.head_angle, intent.offset, wheel_radius);
  h.normal_trail = bike::normal_trail(h.head_angle, intent.offset, wheel_radius);
  h.flop = bike::wheel_flop(h.head_angle, intent.offset, wheel_radius);
  h.axle_to_crown_along = intent.drop;
  h.axle_to_crown_straight = std::hypot(intent.drop, intent.offset);
  return h;
}

/// Greatest height any point of the joints on the steerer reaches, bored plates' upper faces included.
double highest_on_steerer(const bike::Assembly& fork, const std::vector<study::Mitre>& mitres) {
  double z = -INFINITY;
  for (const bike::Joint& j : fork.joints) {
    if (j.kind != bike::JointKind::bored || j.member.kind != bike::PartKind::steerer) continue;
    const bike::Plate* plate = bike::find_plate(fork, j.onto);
    z = std::max(z, plate->X_FP.translation().z() + plate->thickness / 2);
  }
  for (const study::Mitre& m : mitres) {
    if (m.onto.kind != bike::PartKind::steerer) continue;
    for (const study::EdgePoint& q : m.outer) z = std::max(z, q.point.z());
  }
  return z;
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

/// Filler, vents, the brake's mount and the small parts.
Result<void> plan_joining(const job::Job& job, const SolveOptions& options, Answer& a) {
  const bike::Assembly& fork = a.fork.assembly;
  const auto in_section = [&](Problem p, const std::string& key) {
    p.where = job::place_of(job, key);
    return tl::unexpected(std::move(p));
  };
  if (const auto wanted = mount_of(job)) {
    auto mount = study::brake_mount(fork, *wanted);
    if (!mount) return in_section(mount.error(), "brake");
    a.mount = std::move(*mount);
    if (const auto fine = refuse_parts(job, a); !fine) return fine;
  }
  auto joining =
      study::joining_plan(fork, a.mitres, joining_of(job, fork, a.mount ? &*a.mount : nullptr, options.shop));
  if (!joining) return in_section(joining.error(), "joining");
  a.joining = std::move(*joining);
  if (a.joining.refused)
    a.joining.refused->where =
        place_of(job, material_key(job, bike::part_called(a.joining.refused->where.key).kind));
  auto features = study::features(fork, a.mitres, features_of(job), a.joining.vents,
                                  {.mount = a.mount ? &*a.mount : nullptr});
  if (!features) return in_section(features.error(), "features");
  a.features = std::move(*features);
  return {};
}

/// Where the fixture holds both ends, what was cut wrong shows at the upper mitres. A bore or socket has no
/// such gap.
void add_gaps(const job::Job& job, const SolveOptions& options, const study::ToleranceOptions& how, Answer& a) {
  const bool mitred =
      std::ranges::any_of(a.mitres, [](const study::Mitre& m) { return m.onto.kind == bike::PartKind::steerer; });
  if (!mitred) return;
  const study::Formula gaps =
      study::joint_gaps(layout::as_built(a.intent, a.fork), {.spare = job.spare.value});
  auto found = study::tolerance(gaps, gap_tolerances_of(job, options.shop, gaps), how);
  if (!found) return;
  std::ranges::move(found->measures, std::back_inserter(a.tolerance->measures));
  a.chain.dimensions.insert(a.chain.dimensions.end(), gaps.dimensions.begin(), gaps.dimensions.end());
}

/// Asks the studies that judge. One that has no answer says why; the others answer all the same.
Result<void> ask_studies(const job::Job& job, const SolveOptions& options, Answer& a) {
  const bike::Assembly& fork = a.fork.assembly;
  a.clearance = study::clearance(fork, clearance_of(job, a.intent, a.handling.wheel_radius));
  auto strength = study::strength(
      fork, strength_of(job, a.fork, a.handling.wheel_radius, a.mount ? &*a.mount : nullptr, a.features));
  if (strength) {
    a.strength = std::move(*strength);
  } else {
    a.strength.unknown = base::sentence(strength.error());
  }
  const bool held = job.held == job::Held::in_fixture;
  a.chain = held ? layout::as_held(a.intent, a.fork) : layout::as_built(a.intent, a.fork);
  if (options.changes && a.strength.unknown.empty()) {
    if (auto changes = study::what_would_it_bring(fork, a.strength)) a.changes = std::move(*changes);
  }
  if (options.tolerance) {
    study::ToleranceOptions how;
    how.draws = options.draws;
    auto study = study::tolerance(a.chain, tolerances_of(job, options.shop, a.chain, a.intent), how);
    if (!study) {
      study.error().where = job::place_of(job, "tolerances");
      return tl::unexpected(std::move(study.error()));
    }
    a.tolerance = std::move(*study);
    if (held) add_gaps(job, options, how, a);
  }
  return {};
}

/// A gap at the upper mitre is mended by leaving more on: as much as all but the accepted share need.
void add_spare_fix(const job::Job& job, const Answer& a, std::vector<bike::Verdict>& all) {
  if (!a.tolerance) return;
  for (bike::Verdict& v : all) {
    if (!v.code.starts_with("tolerance-gap") || v.standing() != bike::Standing::not_met) continue;
    for (const study::MeasureResult& m : a.tolerance->measures) {
      if ("tolerance-" + m.key != v.code || !m.limit || !m.limit->high) continue;
      const double more = base::reachable(job.spare.value + m.p99 - *m.limit->high, base::Fits::from);
      const std::string typed = base::shortest(more);
      v.fix = bike::Fix{"tolerances.spare", typed,
                        fmt::format("leave {} mm on the upper mitres to file away", typed)};
    }
  }
}

std::string other_side(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const bool left = text.compare(i, 4, "left") == 0, right = text.compare(i, 5, "right") == 0;
    out += left ? "right" : right ? "left" : text.substr(i, 1);
    i += left ? 4 : right ? 5 : 1;
  }
  return out;
}

/// The same line of both sides, or of two plates, is one line: the worse one stands.
void drop_twins(std::vector<bike::Verdict>& all) {
  const auto twins = [](const bike::Verdict& p, const bike::Verdict& q) {
    if (!p.value || !q.value || p.standing() != q.standing() || p.limit.has_value() != q.limit.has_value())
      return false;
    if (p.limit && p.limit->value != q.limit->value) return false;
    const bool mirrored = p.what != q.what || p.where != q.where;
    const bool same_value = std::abs(*p.value - *q.value) < 0.005 || p.study == "tolerance";
    const bool sides = mirrored && other_side(p.what) == q.what && other_side(p.where) == q.where;
    return same_value && (sides || (p.code == q.code && p.what == q.what));
  };
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t k = i + 1; k < all.size(); ++k) {
      if (!twins(all[i], all[k])) continue;
      const bool worse = all[k].margin().value_or(0) < all[i].margin().value_or(0);
      if (worse) std::swap(all[i], all[k]);
      const bool sides = all[i].what != all[k].what || all[i].where != all[k].where;
      if (sides)
        all[i].note += (all[i].note.empty() ? "" : "; ") + std::string("the other side or plate alike");
      all.erase(all.begin() + static_cast<std::ptrdiff_t>(k--));
    }
  }
}

std::vector<bike::Verdict> verdicts_of(const job::Job& job, const SolveOptions& options, const Answer& a) {
  std::vector<bike::Verdict> out = study::verdicts(wheel_hold_of(job));
  const auto add = [&](std::vector<bike::Verdict> more) {
    out.insert(out.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
  };
  add(study::verdicts(a.clearance));
  std::vector<bike::Verdict> strength = study::verdicts(a.strength);
  if (options.changes) study::add_wall_fixes(a.fork.assembly, a.strength, strength);
  add(std::move(strength));
  if (a.tolerance) add(study::verdicts(*a.tolerance, job.accepted.value, cold_set_of(job)));
  add(study::verdicts(a.joining));
  if (a.mount) add(study::verdicts(*a.mount));
  add(study::verdicts(study::bore_edges(a.fork.assembly)));
  add(study::verdicts(study::socket_fits(a.fork.assembly)));
  add_spare_fix(job, a, out);
  drop_twins(out);
  // what is not met first, the worst grade above; right after it what is not known
  std::ranges::stable_sort(out, {}, [](const bike::Verdict& v) {
    const bike::Standing s = v.standing() == bike::Standing::barely_met ? bike::Standing::met : v.standing();
    const bool open = s == bike::Standing::not_met || s == bike::Standing::unknown;
    return std::pair(s, open ? v.grade() : bike::Grade::shops_aim);
  });
  return out;
}

}  // namespace

Result<Answer> laid_out(const job::Job& job) {
  auto intent = job::intent_of(job);
  if (!intent) return tl::unexpected(intent.error());
  Answer a;
  a.name = job.name;
  a.intent = std::move(*intent);
  auto fork = layout::lay_out(a.intent);
  if (!fork) return at(job, fork.error(), "wishes");
  a.fork = std::move(*fork);
  study::MitreOptions how;
  how.scribe_gap = job.sheets.scribe_gap.value;
  how.paper = job.printer.paper_thickness.value;
  auto mitres = study::mitres(a.fork.assembly, how);
  if (!mitres) {
    Problem p = mitres.error();
    // blades that miss the steerer stand ahead of it or behind
    if (const auto ahead = job::number_at(job, "shares.mitre_offset"); ahead && std::abs(*ahead) > 1)
      p.offers.push_back({"shares.mitre_offset", base::shortest(*ahead > 0 ? *ahead - 1 : *ahead + 1), ""});
    return at(job, std::move(p), "blades");
  }
  a.mitres = std::move(*mitres);
  const bike::Member& steerer = *bike::find_member(a.fork.assembly, bike::part(bike::PartKind::steerer));
  a.handling = handling_of(job, a.intent, bike::outside_radius(a.intent.tyre));
  a.crown_gap = shape::least_gap(steerer.tube, 0, steerer.stock_length, a.fork.assembly.tyre).value;
  a.seat_gap = -highest_on_steerer(a.fork.assembly, a.mitres);
  a.strength.unknown = "not worked out yet";
  if (const auto fine = refuse(job, a); !fine) return tl::unexpected(fine.error());
  return a;
}

Result<void> add_studies(const job::Job& job, const SolveOptions& options, Answer& a) {
  if (const auto made = plan_joining(job, options, a); !made) return tl::unexpected(made.error());
  study::MassOptions weights = mass_of(job, a.fork.assembly);
  weights.more = filler_of(a);
  a.mass = study::mass(a.fork.assembly, a.mitres, weights);
  if (job.bicycle) a.bicycle = study::handling(job::bicycle_of(job, a.handling.wheel_radius));
  a.front_centre = front_centre_of(job, a.handling.wheel_radius);
  if (const auto asked = ask_studies(job, options, a); !asked) return tl::unexpected(asked.error());
  if (job.done && job.done->as_cut) {
    const auto stands = replan::stands_as_cut(job);
    if (!stands) return at(job, stands.error(), "done");
    a.stands = *stands;
  }
  a.verdicts = verdicts_of(job, options, a);
  a.notes = notes_of(job, a);
  return {};
}

Result<Answer> solve(const job::Job& job, const SolveOptions& options) {
  auto answer = laid_out(job);
  if (!answer) return tl::unexpected(with_offers(job, std::move(answer.error())));
  if (const auto added = add_studies(job, options, *answer); !added) return tl::unexpected(added.error());
  return answer;
}

}  // namespace halfround::solve
