#include "solve/solve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bike/steering.h"
#include "job/intent.h"
#include "job/numbers.h"
#include "shape/distance.h"
#include "solve/notes.h"
#include "solve/offer.h"
#include "solve/place.h"
#include "solve/refuse.h"
#include "solve/studies.h"

namespace halfround::solve {

using base::Problem;
using base::Result;

namespace {

Handling handling_of(const job::Job& job, const layout::Intent& intent, double wheel_radius) {
  Handling h;
  h.head_angle = job.steering.head_angle.value;
  h.wheel_radius = wheel_radius;
  h.trail = bike::trail(h.head_angle, intent.offset, wheel_radius);
  h.normal_trail = bike::normal_trail(h.head_angle, intent.offset, wheel_radius);
  h.flop = bike::wheel_flop(h.head_angle, intent.offset, wheel_radius);
  if (const auto& loaded = job.wheel.loaded_radius) {
    h.loaded_radius = loaded->value;
    h.loaded_trail = bike::trail(h.head_angle, intent.offset, loaded->value);
  }
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

}  // namespace

Result<Answer> laid_out(const job::Job& job) {
  auto intent = job::intent_of(job);
  if (!intent) return tl::unexpected(intent.error());
  Answer a;
  a.name = job.name;
  a.intent = std::move(*intent);
  auto fork = layout::lay_out(a.intent);
  if (!fork) return placed(job, fork.error(), "wishes");
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
    return placed(job, std::move(p), "blades");
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
  const Asked asked{job, options};
  for (const StudyRow& study : studies()) {
    if (const auto answered = study.answer(asked, a); !answered) return answered;
  }
  a.verdicts = verdicts_of(asked, a);
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
