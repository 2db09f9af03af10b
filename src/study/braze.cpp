// Seams and the filler they take. Frame: the assembly's. Derivations: docs/braze.md.
#include "study/braze.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"
#include "study/braze_steps.h"

namespace halfround::study {

using base::Problem;
using base::Result;

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr double kMm3PerM3 = 1e9;
constexpr double kTouching = 0.05;  // mm: two passing edges this near come up against one another

/// Outward normal of a tube's surface near p.
Vec3 normal_at(const shape::Tube& tube, const Vec3& p) {
  return shape::level(tube, p).gradient.normalized();
}

/// Angle and middle direction between two surfaces, their outward normals given.
void set_angle(SeamPoint& q, const Vec3& a, const Vec3& b) {
  q.psi = base::kPi - std::atan2(a.cross(b).norm(), a.dot(b));
  const Vec3 sum = a + b;
  q.middle = sum.norm() > 1e-9 ? Vec3(sum.normalized()) : Vec3::Zero();
}

/// The radius at an angle, with the leg kept within the hand's bounds.
double radius_at(const FilletShape& shape, double psi) {
  const double t = std::tan(psi / 2);
  double rho = shape.radius;
  if (shape.leg_least > 0) rho = std::max(rho, shape.leg_least * t);
  if (shape.leg_most > 0) rho = std::min(rho, shape.leg_most * t);
  return rho;
}

Problem problem(std::string code, std::string what, std::string fits) {
  return {std::move(code), {"", 0, 0, "braze"}, std::move(what), std::move(fits)};
}

std::optional<Problem> wrong_numbers(const BrazeOptions& o) {
  const auto within = [](double v, double lo, double hi) { return v >= lo && v <= hi; };
  if (o.passes.empty()) return problem("braze-pass", "No pass is given.", "Give one, e.g. RBCuZn-C to 6 mm.");
  double before = 0;
  for (const Pass& p : o.passes) {
    if (!(p.radius > before && p.radius <= 30)) {
      return problem("braze-pass",
                     base::say("A pass goes up to a radius of {:.1f} mm, the one before it to {:.1f} mm.",
                               p.radius, before),
                     "Each pass lies over the one before: give rising radii of at most 30 mm, e.g. 2 and 6.");
    }
    before = p.radius;
  }
  for (const double d : o.rods) {
    if (!within(d, 0.5, 10))
      return problem("braze-number", base::say("Found a rod of {:.2f} mm.", d), "Give 0.5 to 10 mm.");
  }
  if (!within(o.waste, 0, 3))
    return problem("braze-number", base::say("Found a waste of {:.0f} %.", 100 * o.waste),
                   "Give 0 to 300 %; 20 to 50 % is common.");
  if (!within(o.root_gap, 0, 2) || !within(o.slot_gap, 0, 2))
    return problem("braze-number", base::say("Found gaps of {:.2f} and {:.2f} mm.", o.root_gap, o.slot_gap),
                   "Give 0 to 2 mm.");
  if (!within(o.leg_least, 0, 40) || !within(o.leg_most, 0, 40) ||
      (o.leg_most > 0 && o.leg_most < o.leg_least))
    return problem("braze-number", base::say("Found legs from {:.1f} to {:.1f} mm.", o.leg_least, o.leg_most),
                   "Give 0 to 40 mm, the least below the most.");
  for (const Capillary& c : o.capillary) {
    if (!within(c.gap, 0, 2) || !within(c.area, 0, 1e6))
      return problem(
          "braze-number",
          base::say("{}: found an area of {:.1f} mm2 and a gap of {:.2f} mm.", c.name, c.area, c.gap),
          "Give an area of 0 to 1 000 000 mm2 and a gap of 0 to 2 mm.");
  }
  return std::nullopt;
}

bool same_filler(const std::string& a, const std::string& b) {
  const auto x = bike::find_filler(a), y = bike::find_filler(b);
  return x && y && *x == *y;
}

bool on_the_rack(const std::string& filler, const BrazeOptions& options) {
  return std::ranges::any_of(options.on_the_rack,
                             [&](const RackRod& r) { return same_filler(r.filler, filler); });
}

/// Diameters to lay a filler with: the shop's own where it has any.
std::vector<double> rods_of(const std::string& filler, const BrazeOptions& options) {
  if (!on_the_rack(filler, options)) return options.rods;
  std::vector<double> out;
  for (const RackRod& r : options.on_the_rack) {
    if (same_filler(r.filler, filler)) out.push_back(r.diameter);
  }
  std::ranges::sort(out);
  return out;
}

/// Filler of one pass; the filler's name is known.
Result<Fill> fill_of(const std::string& name, double radius, double volume, const BrazeOptions& options) {
  const auto filler = bike::find_filler(name);
  if (!filler) return tl::unexpected(filler.error());
  Fill f{std::string((*filler)->name), radius, volume, volume * (*filler)->density_kg_m3 / kMm3PerM3, {}};
  for (const double d : rods_of(f.filler, options))
    f.rods.push_back({d, rod_length(volume * (1 + options.waste), d)});
  return f;
}

/// Where an edge stands in space at a clock angle, straight between its points.
Vec3 edge_at(const std::vector<EdgePoint>& edge, double u) {
  const auto next =
      std::upper_bound(edge.begin(), edge.end(), u, [](double v, const EdgePoint& q) { return v < q.u; });
  const EdgePoint& b = next == edge.end() ? edge.front() : *next;
  const EdgePoint& a = next == edge.begin() ? edge.back() : *(next - 1);
  const double from = next == edge.begin() ? a.u - kTurn : a.u, to = next == edge.end() ? b.u + kTurn : b.u;
  return to > from ? Vec3(a.point + (u - from) / (to - from) * (b.point - a.point)) : a.point;
}

/// Face between the outer edge and the inner one: what the first pass creeps through.
double face_area(const Mitre& mitre, const std::vector<SeamPoint>& seam) {
  if (mitre.inner.empty()) return 0;
  double sum = 0;
  for (std::size_t i = 0; i < seam.size(); ++i) {
    const SeamPoint &a = seam[i], &b = seam[(i + 1) % seam.size()];
    const double width =
        ((a.point - edge_at(mitre.inner, a.u)).norm() + (b.point - edge_at(mitre.inner, b.u)).norm()) / 2;
    sum += std::min(a.share, b.share) * (b.point - a.point).norm() * width;
  }
  return sum;
}

void describe(JointFill& j) {
  j.psi_least = base::kPi, j.psi_most = 0;
  for (std::size_t i = 0; i < j.seam.size(); ++i) {
    const SeamPoint &a = j.seam[i], &b = j.seam[(i + 1) % j.seam.size()];
    j.length += std::min(a.share, b.share) * (b.point - a.point).norm();
    if (a.share <= 0) continue;
    if (a.psi < j.psi_least) j.psi_least = a.psi, j.u_least = a.u;
    if (a.psi > j.psi_most) j.psi_most = a.psi, j.u_most = a.u;
  }
}

double wall_near(const bike::Member& m, double s) {
  return m.tube.profile.wall(s);
}

Result<JointFill> mitred(const bike::Assembly& assembly, const Mitre& mitre, const BrazeOptions& options) {
  JointFill j;
  j.member = mitre.member, j.end = mitre.end, j.onto = mitre.onto;
  j.seam = seam(assembly, mitre);
  describe(j);
  const double last = options.passes.back().radius;
  j.ideal = fillet_volume(j.seam, {last, 0, 0});
  j.flat_guess = fillet_area(last, base::kPi / 2) * j.length;
  j.root = face_area(mitre, j.seam) * options.root_gap;
  double before = 0, root = j.root;
  for (const Pass& p : options.passes) {
    // the bounds on the leg are the finished fillet's; passes below it shrink with their radius
    const double share = p.radius / last;
    const FilletShape shape{p.radius, options.leg_least * share, options.leg_most * share};
    const double up_to = fillet_volume(j.seam, shape).along_centroid;
    auto fill = fill_of(p.filler, p.radius, up_to - before + root, options);
    if (!fill) return tl::unexpected(fill.error());
    j.fills.push_back(std::move(*fill));
    j.mass += j.fills.back().mass;
    before = up_to, root = 0;
  }
  j.shaped = before;
  j.tacks = tacks(j.seam);
  const bike::Member *member = bike::find_member(assembly, j.member),
                     *target = bike::find_member(assembly, j.onto);
  const double own = wall_near(*member, 0.5 * (mitre.s_least + mitre.s_most));
  const double other = wall_near(*target, target->tube.centreline.nearest(mitre.outer.front().point));
  j.heavier = own > 0 && other > 0 ? other / own : 0;
  return j;
}

/// A tube in a plate's bore: all round, over the plate's thickness or as deep as a blind bore goes.
Capillary in_bore(const bike::Assembly& assembly, const bike::Joint& j, const BrazeOptions& options) {
  const bike::Plate* plate = bike::find_plate(assembly, j.onto);
  const bike::Bore* bore = bike::find_bore(*plate, j.member);
  base::check(bore != nullptr, "what is bored into a plate has a bore there");
  const bike::Member* m = bike::find_member(assembly, j.member);
  const double round = (bore->diameter + (bore->across > 0 ? bore->across : bore->diameter)) / 2;
  // a bore that was there already leaves its own air; one that is made leaves the usual gap
  const double air = (round - (m->tube.profile.width(j.s) + m->tube.profile.depth(j.s)) / 2) / 2;
  const double gap = air > options.slot_gap ? air : options.slot_gap;
  const double length = bore->depth > 0 ? bore->depth : plate->thickness;
  Capillary c = socket(bike::spoken(j.member) + " in " + bike::spoken(j.onto), round, length, gap);
  c.filler = options.slot_filler, c.member = j.member, c.onto = j.onto;
  return c;
}

/// Tabs in slotted ends: how far the plate reaches into the tube; and what stands in bores.
std::vector<Capillary> slots(const bike::Assembly& assembly, const BrazeOptions& options) {
  std::vector<Capillary> out;
  for (const bike::Joint& j : assembly.joints) {
    if (j.kind == bike::JointKind::bored) out.push_back(in_bore(assembly, j, options));
    if (j.kind != bike::JointKind::slotted) continue;
    const bike::Member* m = bike::find_member(assembly, j.member);
    if (m == nullptr) continue;
    const bool at_start = j.end == bike::End::start;
    const double end = at_start ? m->s_start : m->s_end;
    double depth = 0;
    for (const bike::Plate& p : assembly.plates) {
      if (p.part != j.onto) continue;
      for (const Vec3& v : p.outline)
        depth = std::max(depth, (m->tube.centreline.nearest(v) - end) * (at_start ? 1 : -1));
    }
    Capillary c = tab_in_slot(bike::spoken(j.member) + " over " + bike::spoken(j.onto), depth,
                              wall_near(*m, end), options.slot_gap);
    c.filler = options.slot_filler, c.member = j.member, c.onto = j.onto;
    out.push_back(c);
  }
  return out;
}

/// What speaks against joining one part with one filler.
std::optional<Problem> against(const bike::Part& part, const bike::Material& material,
                               const bike::Filler& filler) {
  const bike::MetalRule& rule = bike::rule_of(material.metal);
  if (!rule.torch) {
    return Problem{
        "filler-material",
        {"", 0, 0, part.name},
        fmt::format("{} must not be brazed. {}", material.name, rule.because),
        "The joining plan is for steel only; mitres, templates and settings are given all the same."};
  }
  if (rule.bronze || filler.kind != bike::FillerKind::bronze) return std::nullopt;
  std::string suited;
  for (const bike::Filler& f : bike::fillers()) {
    if (f.for_stainless) suited += (suited.empty() ? "" : " or ") + std::string(f.name);
  }
  return Problem{"filler-stainless",
                 {"", 0, 0, part.name},
                 fmt::format("{} is not joined with {}. {}", material.name, filler.name, rule.because),
                 fmt::format("Give {}, with a flux for stainless steel.", suited)};
}

/// Every joint's two metals against the fillers that would join them.
///   fails  as bike::find_filler
Result<std::optional<Problem>> unsuited_metal(const bike::Assembly& assembly, const BrazeOptions& options) {
  std::vector<std::string> passes;
  for (const Pass& p : options.passes) passes.push_back(p.filler);
  const std::vector<std::string> gaps{options.slot_filler};
  for (const bike::Joint& j : assembly.joints) {
    if (j.kind == bike::JointKind::one_piece) continue;
    for (const std::string& name : j.kind == bike::JointKind::mitred ? passes : gaps) {
      const auto filler = bike::find_filler(name);
      if (!filler) return tl::unexpected(filler.error());
      for (const auto& [part, material] : options.materials) {
        if (part != j.member && part != j.onto) continue;
        if (auto p = against(part, material, **filler)) return std::optional(std::move(*p));
      }
    }
  }
  return std::optional<Problem>();
}

void count(std::vector<Shopping>& list, const Fill& fill, const BrazeOptions& options) {
  auto at =
      std::find_if(list.begin(), list.end(), [&](const Shopping& s) { return s.filler == fill.filler; });
  if (at == list.end())
    at = list.insert(list.end(), Shopping{fill.filler, 0, 0, on_the_rack(fill.filler, options), {}});
  at->volume += fill.volume, at->mass += fill.mass;
  if (at->rods.empty()) {
    at->rods = fill.rods;
    return;
  }
  for (std::size_t i = 0; i < fill.rods.size(); ++i) at->rods[i].length += fill.rods[i].length;
}

}  // namespace

double fillet_area(double rho, double psi) {
  const double half = (base::kPi - psi) / 2;  // tan(half) = cot(psi/2)
  return rho * rho * (std::tan(half) - half);
}

double fillet_leg(double rho, double psi) {
  return rho * std::tan((base::kPi - psi) / 2);
}

double fillet_centroid(double rho, double psi) {
  const double h = (base::kPi - psi) / 2;
  if (h < 0.02) return 0.15 * rho * h * h;  // the closed form below loses its digits
  // a kite from the corner to the arc's centre, less the arc's sector
  const double kite = std::tan(h), sector = h;
  const double to_centre = 1 / std::cos(h);
  const double kite_at = (std::tan(h) * std::sin(h) + to_centre) / 3;
  const double sector_at = to_centre - 2 * std::sin(h) / (3 * h);
  return rho * (kite * kite_at - sector * sector_at) / (kite - sector);
}

std::vector<SeamPoint> seam(const bike::Assembly& assembly, const Mitre& mitre) {
  const bike::Member* member = bike::find_member(assembly, mitre.member);
  const bike::Member* target = bike::find_member(assembly, mitre.onto);
  base::check(member && target, "a mitre names members of its assembly");
  const bike::Member* other = mitre.meets.empty() ? nullptr : bike::find_member(assembly, mitre.meets);
  std::vector<SeamPoint> out;
  out.reserve(mitre.outer.size());
  for (const EdgePoint& e : mitre.outer) {
    SeamPoint q{e.u, e.s, e.point, 0, base::kPi, 0, Vec3::Zero()};
    const Vec3 own = shape::surface(member->tube, base::unit_at(e.u), e.s).normal();
    if (e.met) {
      set_angle(q, own, normal_at(target->tube, e.point));
      q.share = 1;
    } else if (other != nullptr && std::abs(shape::level(other->tube, e.point).value) < kTouching) {
      set_angle(q, own, normal_at(other->tube, e.point));
      q.share = 0.5;
    }
    if (!out.empty()) q.along = out.back().along + (q.point - out.back().point).norm();
    out.push_back(q);
  }
  return out;
}

FilletVolume fillet_volume(const std::vector<SeamPoint>& seam, const FilletShape& shape) {
  FilletVolume out;
  for (std::size_t i = 0; i < seam.size(); ++i) {
    const SeamPoint &a = seam[i], &b = seam[(i + 1) % seam.size()];
    const Vec3 step = b.point - a.point;
    const double length = step.norm(), share = std::min(a.share, b.share);
    if (share <= 0 || length <= 0) continue;
    const double ra = radius_at(shape, a.psi), rb = radius_at(shape, b.psi);
    const double area = 0.5 * (fillet_area(ra, a.psi) + fillet_area(rb, b.psi));
    // the way of the centre of area, as seen along the line
    const Vec3 from = a.point + fillet_centroid(ra, a.psi) * a.middle,
               to = b.point + fillet_centroid(rb, b.psi) * b.middle;
    out.along_line += share * area * length;
    out.along_centroid += share * area * std::max(0.0, (to - from).dot(step) / length);
  }
  return out;
}

double rod_length(double volume, double diameter) {
  return volume / (base::kPi * diameter * diameter / 4);
}

Capillary socket(std::string name, double diameter, double depth, double gap) {
  return {std::move(name), base::kPi * diameter * depth, gap};
}

Capillary tab_in_slot(std::string name, double depth, double wall, double gap) {
  return {std::move(name), 4 * depth * wall, gap};
}

Result<JoiningPlan> joining_plan(const bike::Assembly& assembly, const std::vector<Mitre>& mitres,
                                 const BrazeOptions& options) {
  if (auto wrong = wrong_numbers(options)) return tl::unexpected(std::move(*wrong));
  JoiningPlan plan;
  plan.waste = options.waste;
  plan.vents = vents(assembly, mitres, options);
  auto unsuited = unsuited_metal(assembly, options);
  if (!unsuited) return tl::unexpected(unsuited.error());
  if ((plan.refused = std::move(*unsuited))) {
    plan.cautions = cautions(plan);
    return plan;
  }
  for (const Mitre& m : mitres) {
    auto joint = mitred(assembly, m, options);
    if (!joint) return tl::unexpected(joint.error());
    plan.joints.push_back(std::move(*joint));
  }
  std::vector<Capillary> gaps = slots(assembly, options);
  gaps.insert(gaps.end(), options.capillary.begin(), options.capillary.end());
  for (const Capillary& c : gaps) {
    auto fill = fill_of(c.filler, 0, c.area * c.gap, options);
    if (!fill) return tl::unexpected(fill.error());
    JointFill j;
    j.gap = c.name, j.member = c.member, j.onto = c.onto, j.mass = fill->mass, j.heavier = 0;
    j.fills.push_back(std::move(*fill));
    plan.joints.push_back(std::move(j));
  }
  for (const JointFill& j : plan.joints) {
    plan.mass += j.mass;
    for (const Fill& f : j.fills) count(plan.shopping, f, options);
  }
  plan.windows = heat_windows(plan.joints);
  plan.steps = steps(plan, options);
  plan.cautions = cautions(plan);
  return plan;
}

std::vector<bike::Verdict> verdicts(const JoiningPlan& plan) {
  std::vector<bike::Verdict> out;
  for (const HeatWindow& w : plan.windows) {
    out.push_back({"braze", "braze-second-melts-lower",
                   fmt::format("{} over {}: the second melts below the first", w.second, w.first), "", "C",
                   w.room_C, bike::Limit{0, bike::Bound::at_least, "a first pass must stay solid"}, w.says});
  }
  return out;
}

}  // namespace halfround::study
