#include "solve/place.h"

#include "job/numbers.h"

namespace halfround::solve {

using base::Problem;

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

}  // namespace

tl::unexpected<Problem> placed(const job::Job& job, Problem p, const std::string& key) {
  std::string said = p.where.key.empty() ? key : job::said_key(job, section_of(p.where.key));
  if (job::row_of(job.crown.kind).own_place && said == "wishes.spacing") said = "crown.spacing";
  p.where = job::place_of(job, said);
  p.where.file = job.file;
  return tl::unexpected(std::move(p));
}

}  // namespace halfround::solve
