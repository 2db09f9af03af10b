#include "sheet/measuring_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/number.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::Vec3;

std::optional<double> plus_minus(const solve::Answer& answer, const std::string& key) {
  if (!answer.tolerance) return std::nullopt;
  for (const study::MeasureResult& m : answer.tolerance->measures) {
    if (m.key != key || !m.limit) continue;
    if (m.limit->low && m.limit->high) return 0.5 * (*m.limit->high - *m.limit->low);
    if (m.limit->high) return *m.limit->high;
  }
  return std::nullopt;
}

std::string limit(const std::optional<double>& v, const char* how) {
  return v ? how + format_number(*v, 2) : std::string();
}

/// Air that is wanted beside the tyre once it has grown and runs out of true, as a width between the blades
/// at their tightest places; a mm aside is so much of it as the gap stands level. [derived]
std::string least_between(const job::Job& job, const shape::Gap& left, const shape::Gap& right) {
  if (!job.checks.clearance) return "";
  const job::Checks& c = job.checks;
  const double least = c.clearance->value + c.growth.value + c.out_of_true.value + c.mud.value;
  double width = 0;
  for (const shape::Gap* g : {&left, &right}) {
    const Vec3 across = g->on_tube - g->on_body;
    if (std::abs(across.y()) < 0.3 * across.norm()) return "";  // it stands over the tread, not beside it
    width += g->on_tube.y() - (g->value - least) * across.norm() / std::abs(across.y());
  }
  return "at least " + format_number(width, 1);
}

const bike::Limb* limb(const solve::Answer& answer, const std::string& name) {
  const auto& all = answer.chain.limbs;
  const auto found = std::ranges::find(all, name, &bike::Limb::name);
  return found == all.end() ? nullptr : &*found;
}

}  // namespace

std::vector<PlateMeasure> measuring_plan(const job::Job& job, const solve::Answer& answer) {
  std::vector<PlateMeasure> out;
  const bike::Limb *left = limb(answer, "left"), *right = limb(answer, "right");
  Vec3 l = left ? left->end : answer.fork.assembly.axle, r = right ? right->end : l;
  if (answer.stands) l = answer.stands->left, r = answer.stands->right;
  const std::string height = limit(job.limits.height.value, "±"),
                    centring = limit(job.limits.centring.value, "±");
  // standing, fork ends up: z of F runs down to the plate
  const auto add = [&](Held held, const char* mark, std::string what, double expected, std::string within,
                       const char* unit = "mm") {
    out.push_back({held, mark, std::move(what), expected, unit, std::move(within)});
  };
  const std::string along = limit(plus_minus(answer, "axle_to_crown"), "±");
  const std::string offset = limit(plus_minus(answer, "offset"), "±");
  const double width = std::max(1.0, (l - r).norm());
  add(Held::standing, "A", "axle at the left end, above the crown race seat", -l.z(), along);
  add(Held::standing, "B", "axle at the right end, above the crown race seat", -r.z(), along);
  add(Held::standing, "A − B", "left end less right end", r.z() - l.z(), height);
  const shape::Gap& gl = answer.fork.left.clearance;
  const shape::Gap& gr = answer.fork.right.clearance;
  add(Held::standing, "C",
      fmt::format("between the blades, {} mm below the axle's height",
                  format_number(gl.on_tube.z() - answer.fork.assembly.axle.z(), 0)),
      gl.on_tube.y() + gr.on_tube.y(), least_between(job, gl, gr));
  add(Held::lying, "D", "axle at the left end, above the steerer's axis", l.x(), offset);
  add(Held::lying, "E", "axle at the right end, above the steerer's axis", r.x(), offset);
  add(Held::lying, "D − E", "left end less right end: the wheel steers aside", l.x() - r.x(),
      limit(plus_minus(answer, "lead"), "±"));
  add(Held::on_its_side, "F", "inner face of the left end, above the steerer's axis", l.y(), centring);
  add(Held::on_its_side, "G", "inner face of the right end, below the steerer's axis", -r.y(), centring);
  add(Held::on_its_side, "F + G", "between the faces", l.y() - r.y(), limit(job.limits.spacing.value, "±"));
  // the tyre's top follows the axle's lean: over its radius the faces' width [derived]
  add(Held::on_its_side, "½(F − G) − R/W·(B − A)",
      fmt::format("wheel off the middle at the tyre's top; R/W = {}",
                  format_number(answer.chain.wheel_radius / width, 2)),
      0.5 * (l.y() + r.y()) - answer.chain.wheel_radius / width * (l.z() - r.z()), centring);
  add(Held::on_its_side, "H", "faces out of parallel, over 100 mm", 0,
      limit(job.limits.faces.value, "at most "));
  return out;
}

std::string words(const PlateMeasure& m) {
  return format_number(m.expected == 0 ? 0.0 : m.expected, 2) + " " + m.unit;
}

}  // namespace halfround::sheet
