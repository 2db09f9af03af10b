// How the fork stands when nothing but the finished blades changes. Frame F.
#include <algorithm>
#include <cmath>

#include "bike/chain.h"
#include "job/intent.h"
#include "layout/as_built.h"
#include "replan/replan.h"
#include "replan/replan_weigh.h"

namespace halfround::replan {

using base::Result;

/// What was measured on the tacked fork is so, whatever the chain makes of the blades: the axle goes there.
void as_measured(const job::Job& job, const job::Done& done, Stands& stands) {
  if (!done.offset && !done.axle_to_crown) return;
  const bool straight = job.steering.axle_to_crown_is == job::AxleToCrown::straight;
  const auto drop_of = [](double length, double offset) {
    return std::sqrt(std::max(0.0, length * length - offset * offset));
  };
  const double offset = done.offset ? done.offset->value : stands.offset;
  const double was = drop_of(stands.axle_to_crown, stands.offset);
  const double drop = !done.axle_to_crown ? was
                      : straight          ? drop_of(done.axle_to_crown->value, offset)
                                          : done.axle_to_crown->value;
  for (base::Vec3* end : {&stands.left, &stands.right})
    *end += base::Vec3(offset - stands.offset, 0, was - drop);
  stands.offset = offset, stands.axle_to_crown = std::hypot(offset, drop);
}

/// Both blades stand where the plan has them; what is short lets its side come up.
Result<Stands> stands_as_cut(const job::Job& job, const Facts& f) {
  const auto intent = job::intent_of(job);
  if (!intent) return tl::unexpected(intent.error());
  const auto fork = layout::lay_out(*intent);
  if (!fork) return tl::unexpected(fork.error());
  const bike::Chain chain = layout::as_built(*intent, *fork);
  std::vector<double> off(chain.dimensions.size(), 0);
  const auto add = [&](const std::string& name, double by) {
    for (std::size_t k = 0; k < chain.dimensions.size(); ++k) {
      if (chain.dimensions[k].name == name) off[k] += by;
    }
  };
  for (const bool left : {true, false}) {
    const std::size_t i = index_of(left);
    if (!f.off_plan(left)) continue;
    const std::string side = left ? ".left" : ".right";
    const layout::Placed& p = f.plan[i].at();
    add("length" + side, -(f.held[i]->at().lower_trim - p.lower_trim));
    // short at the top, the blade goes on along its own top until it touches
    const base::Vec3 on = (p.s_top - f.held[i]->at().s_top) * p.tube.centreline.at(p.s_top).t;
    add("mitre_offset" + side, on.x()), add("middle" + side, on.y()), add("crown_height" + side, -on.z());
  }
  const std::vector<double> m = bike::measured(chain, off);
  Stands stands;
  for (std::size_t k = 0; k < m.size(); ++k) {
    if (chain.measures[k] == bike::Measure::centring) stands.centring = m[k];
    if (chain.measures[k] == bike::Measure::height) stands.height = m[k];
    if (chain.measures[k] == bike::Measure::offset) stands.offset = m[k];
    if (chain.measures[k] == bike::Measure::axle_to_crown) stands.axle_to_crown = m[k];
  }
  stands.left = bike::lower_end(chain.limbs.front(), off).end;
  stands.right = bike::lower_end(chain.limbs.back(), off).end;
  as_measured(job, f.done, stands);
  return stands;
}

Result<Stands> stands_as_cut(const job::Job& job) {
  const auto facts = facts_of(job);
  if (!facts) return tl::unexpected(facts.error());
  return stands_as_cut(job, *facts);
}

}  // namespace halfround::replan
