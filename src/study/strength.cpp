// Runs the cases on the model and reads the answers off. Case numbers: the cases asked for, then three unit
// loads and the yardstick's.
#include "study/strength.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "study/strength_stress.h"

namespace halfround::study {

using base::Result;
using bike::Assembly;

namespace {

constexpr double kGravity = 9.80665;          // m/s2
constexpr double kDummyForce = 1200;          // N
constexpr double kDummyConstant = 1417e4;     // mm2 [TBIS 4210-6:2019 Annex A]
constexpr double kThinHinge = 4 / base::kPi;  // full plastic moment over first yield of a thin tube [derived]
constexpr double kUnitForce = 1000, kUnitCouple = 1e5;  // N, N mm

Vec6 wrench(const Vec3& force, const Vec3& couple = Vec3::Zero()) {
  return (Vec6() << force, couple).finished();
}

/// The calliper holds the rotor, the ground pushes at the tyre, and the hub hands on all but the braking
/// couple.
void add_brake(std::vector<NodeLoad>& out, std::size_t load, const StrengthModel& model, const Brake& brake,
               const Vec3& force, const Vec3& y_axis) {
  const Vec3& axle = model.frame.nodes[static_cast<std::size_t>(model.axle)].point;
  const Vec3& mount = model.frame.nodes[static_cast<std::size_t>(model.mount)].point;
  const Vec3 pull = force.norm() * brake.arm / brake.pad_radius * model.pad_pull;
  out.push_back({load, model.mount, wrench(pull, (model.pad - mount).cross(pull))});
  Vec3 couple = -(model.pad - axle).cross(pull);
  couple -= couple.dot(y_axis) * y_axis;
  out.push_back({load, model.axle, wrench(force - pull, couple)});
}

std::vector<LoadCase> all_cases(const StrengthOptions& options) {
  std::vector<LoadCase> out;
  if (options.published) out = published_cases(options.type, options.brake.has_value(), options.left_out);
  out.insert(out.end(), options.own.begin(), options.own.end());
  return out;
}

std::vector<NodeLoad> loads_of(const std::vector<LoadCase>& cases, const StrengthModel& model,
                               const StrengthOptions& options) {
  const base::Mat3 R = options.X_AF.linear();
  std::vector<NodeLoad> out;
  const std::size_t first_own = cases.size() - options.own.size();
  for (std::size_t i = 0; i < cases.size(); ++i) {
    const LoadCase& c = cases[i];
    const int node = i >= first_own ? model.own[i - first_own] : model.axle;
    const Vec3 force = R * c.force;
    if (c.kind == LoadKind::brake) {
      if (options.brake) add_brake(out, i, model, *options.brake, force, R.col(1));
    } else if (c.kind == LoadKind::twist) {
      out.push_back({i, node, wrench(Vec3::Zero(), force)});
    } else if (c.kind == LoadKind::impact) {
      out.push_back({i, node, wrench(force.normalized())});  // 1 N: scaled once the stiffness is known
    } else {
      out.push_back({i, node, wrench(force)});
    }
  }
  out.push_back({cases.size(), model.axle, wrench(-kUnitForce * R.col(0))});
  out.push_back({cases.size() + 1, model.axle, wrench(kUnitForce * R.col(1))});
  out.push_back({cases.size() + 2, model.axle, wrench(Vec3::Zero(), kUnitCouple * R.col(2))});
  return out;
}

/// Static force that stores the falling mass's energy: F = m g + sqrt((m g)^2 + 2 m g h k).
double impact_force(const LoadCase& load, double stiffness) {
  const double weight = load.mass * kGravity;
  return weight + std::sqrt(weight * weight + 2 * weight * load.drop * stiffness);
}

/// What is left of the energy once the fork has bent as far as it springs goes into a hinge that gives at
/// the force `hinge`.
double impact_set(const LoadCase& load, double force, double hinge, double stiffness) {
  const double weight = load.mass * kGravity;
  if (hinge >= force) return 0;
  if (hinge <= weight) return INFINITY;
  return (weight * load.drop + weight * hinge / stiffness - hinge * hinge / (2 * stiffness)) /
         (hinge - weight);
}

WeakPlace weak_place(const Assembly& assembly, const StressPlace& place, const Stress& stress,
                     double strength, double margin) {
  const shape::Frame& f = place.frame;
  return {assembly.members[place.member].part,
          place.s,
          stress.u,
          f.c + stress.at.x() * f.m + stress.at.y() * f.b,
          strength / margin,
          strength,
          margin,
          place.beside_joint,
          std::string(stress.notch),
          false};
}

/// Reads one case off; `scale` multiplies the solved load.
struct Reader {
  const Assembly& assembly;
  const StrengthOptions& options;
  const StrengthModel& model;
  const std::vector<StressPlace>& places;
  const BeamMovements& moved;
  std::size_t rearward = 0;  ///< the unit load that measures a set at the axle

  /// Steel hardens as it yields: mean of yield and ultimate over yield [common practice: flow stress].
  [[nodiscard]] double flow(const WeakPlace& at) const {
    const bike::Material& m = material_of(options, at.member);
    return std::max(1.0, (m.yield + m.ultimate) / (2 * m.yield));
  }

  /// in  along  the load case that measures the set: a force at the axle; its size
  void read(CaseResult& out, std::size_t load, double scale, std::size_t along, double along_force) const {
    out.deflection = scale * moved.at(load, model.axle).head<3>();
    std::size_t element = model.frame.elements.size();
    Vec6 end = Vec6::Zero(), end_along = Vec6::Zero();
    const bool repeated = out.load.cycle != Cycle::once;
    double set = 0, last_s = 0, last_rate = 0;
    for (const StressPlace& place : places) {
      const bool begins = place.element != element;
      const BeamElement& e = model.frame.elements[place.element];
      if (place.element != element) {
        element = place.element;
        end = scale * end_wrench(e, moved.at(load, e.a), moved.at(load, e.b));
        end_along = end_wrench(e, moved.at(along, e.a), moved.at(along, e.b));
      }
      const Vec3& p_b = model.frame.nodes[static_cast<std::size_t>(e.b)].point;
      const Stress stress =
          repeated ? repeated_stress(place, p_b, end) : stress_at(place, p_b, end, BendStress::section);
      const double margin = repeated ? take_fatigue(out, place, stress) : take_yield(out, place, stress);
      note(out, place, stress, margin);
      if (repeated) continue;
      const Stress nominal = stress_at(place, p_b, end, BendStress::none);
      take_hinge(out, place, nominal);
      const double rate = set_rate(place, nominal, stress_at(place, p_b, end_along, BendStress::none));
      if (!begins) set += (place.s - last_s) * (rate + last_rate) / 2;
      last_s = place.s, last_rate = rate;
    }
    if (!repeated) out.set = std::isfinite(set) ? std::abs(set) / along_force : INFINITY;
  }

 private:
  /// Full plastic bending over the nominal stress: the section as a round tube of its mean width.
  [[nodiscard]] static double plastic_strength(const StressPlace& place) {
    return place.yield * shape_factor(1, bore_share(place));
  }
  /// Bore over width of the round tube that stands for an oval one.
  [[nodiscard]] static double bore_share(const StressPlace& place) {
    return std::max(0.0, 1 - 2 * place.section.wall / (place.section.half_m + place.section.half_b));
  }
  void take_hinge(CaseResult& out, const StressPlace& place, const Stress& nominal) const {
    if (!(nominal.von_mises > 0)) return;
    const double strength = plastic_strength(place), margin = strength / nominal.von_mises;
    if (!out.hinge || margin < out.hinge->margin)
      out.hinge = weak_place(assembly, place, nominal, strength, margin);
  }
  /// Plastic curvature times the moment of the measuring load, per mm.
  [[nodiscard]] double set_rate(const StressPlace& place, const Stress& nominal, const Stress& along) const {
    const double share = plastic_share(nominal.von_mises / place.yield, bore_share(place));
    if (share == 0) return 0;
    const double E = material_of(options, assembly.members[place.member].part).E;
    return share * (along.bend_m * nominal.a + along.bend_b * nominal.b) / E;
  }
  double take_yield(CaseResult& out, const StressPlace& place, const Stress& stress) const {
    const double margin = yield_margin(place, stress);
    if (std::isfinite(margin) && (!out.yield || margin < out.yield->margin)) {
      out.yield = weak_place(assembly, place, stress, place.yield, margin);
    }
    return margin;
  }
  double take_fatigue(CaseResult& out, const StressPlace& place, const Stress& stress) const {
    const double strength = fatigue_strength(place, options.fatigue, out.load.cycles);
    if (!(strength > 0)) {
      if (out.note.empty()) {
        out.note = fmt::format("{}: no fatigue rule is known for {}",
                               bike::spoken(assembly.members[place.member].part),
                               material_of(options, assembly.members[place.member].part).name);
      }
      return std::nan("");
    }
    const double margin = fatigue_margin(place, stress, out.load.cycle, strength);
    if (std::isfinite(margin) && (!out.fatigue || margin < out.fatigue->margin)) {
      out.fatigue = weak_place(assembly, place, stress, strength, margin);
    }
    return margin;
  }
  void note(CaseResult& out, const StressPlace& place, const Stress& stress, double margin) const {
    const bike::Part& part = assembly.members[place.member].part;
    if (out.members.empty() || out.members.back().member != part) out.members.push_back({part, {}});
    out.members.back().stations.push_back({place.s, place.frame.c, stress.u, stress.von_mises, margin});
  }
};

CaseResult run(const Reader& reader, const LoadCase& load, std::size_t index) {
  CaseResult out;
  out.load = load;
  out.force = load.kind == LoadKind::twist ? 0 : load.force.norm();
  double scale = 1;
  if (load.kind == LoadKind::brake && !reader.options.brake) {
    out.note = "no disc brake is given";
    return out;
  }
  const Vec3 way = reader.options.X_AF.linear() * load.force.normalized();
  double stiffness = 0;
  if (load.kind == LoadKind::impact) {
    stiffness = 1 / way.dot(reader.moved.at(index, reader.model.axle).head<3>());
    out.force = scale = impact_force(load, stiffness);
  }
  const bool own_way = load.kind == LoadKind::force;
  reader.read(out, index, scale, own_way ? index : reader.rearward, own_way ? out.force : kUnitForce);
  if (!out.note.empty()) out.fatigue.reset();  // one member's unknown strength leaves the whole case unknown
  if (load.kind == LoadKind::impact && out.yield && out.hinge) {
    const double flow = reader.flow(*out.hinge);
    const double first = kThinHinge * out.yield->margin, nominal = out.hinge->margin;
    out.set = impact_set(load, out.force, out.force * std::min(first, nominal), stiffness);
    out.set_least = impact_set(load, out.force, out.force * std::max(first, nominal) * flow, stiffness);
  }
  return out;
}

/// Does a place that mirrors this one have as little left?
bool on_both_sides(const CaseResult& c, const WeakPlace& weak, const base::Pose& X_AF) {
  const base::Pose X_FA = X_AF.inverse();
  const auto in_fork = [&](const Vec3& p) -> Vec3 { return X_FA * p; };
  std::optional<Vec3> here;
  for (const MemberStress& m : c.members) {
    if (m.member != weak.member) continue;
    for (const StressStation& q : m.stations)
      if (std::abs(q.s - weak.s) < 1e-6) here = in_fork(q.point);
  }
  if (!here) return false;
  for (const MemberStress& m : c.members) {
    if (m.member == weak.member) continue;
    for (const StressStation& q : m.stations) {
      const Vec3 p = in_fork(q.point);
      const bool there = (p - Vec3(here->x(), -here->y(), here->z())).norm() < 1;
      if (there && q.margin < 1.01 * weak.margin) return true;
    }
  }
  return false;
}

double length_along_axis(const Assembly& assembly, const StrengthOptions& options) {
  return std::abs((options.X_AF.inverse() * assembly.axle).z() - options.bearings.lower);
}

void weigh(Strength& out, const Assembly& assembly) {
  constexpr double kMm3PerM3 = 1e9, kStep = 5;
  for (const bike::Member& m : assembly.members) {
    const int n = std::max(1, static_cast<int>(std::ceil((m.s_end - m.s_start) / kStep)));
    const double panel = (m.s_end - m.s_start) / n;
    double volume = 0;
    for (int k = 0; k < n; ++k)
      volume += beam_section(m.tube.profile, m.s_start + (k + 0.5) * panel)->area * panel;
    out.volume += volume;
    out.mass_members += volume * material_of(out.options, m.part).density_kg_m3 / kMm3PerM3;
  }
}

}  // namespace

Result<Strength> strength(const Assembly& assembly, const StrengthOptions& options) {
  Strength out;
  out.options = options;
  out.length_along_axis = length_along_axis(assembly, options);
  out.unknown = what_is_unknown(assembly);
  const std::vector<LoadCase> cases = all_cases(options);
  if (!out.unknown.empty()) {
    for (const LoadCase& c : cases) {
      out.cases.emplace_back();
      out.cases.back().load = c, out.cases.back().note = out.unknown;
    }
    return out;
  }
  const auto model = strength_model(assembly, options);
  if (!model) return tl::unexpected(model.error());
  out.elements = static_cast<int>(model->frame.elements.size());
  out.nodes = static_cast<int>(model->frame.nodes.size());
  const auto moved =
      solve(model->frame, BeamPattern(model->frame), cases.size() + 3, loads_of(cases, *model, options));
  if (!moved) {
    return tl::unexpected(base::Problem{"member-unsupported",
                                        {},
                                        "The parts can move against each other without bending anything.",
                                        "Every part must be joined so that it can't swing freely."});
  }
  const std::vector<StressPlace> places = stress_places(assembly, options, *model);
  const Reader reader{assembly, options, *model, places, *moved, cases.size()};
  for (std::size_t i = 0; i < cases.size(); ++i) {
    out.cases.push_back(run(reader, cases[i], i));
    for (auto* weak : {&out.cases.back().yield, &out.cases.back().fatigue}) {
      if (*weak) (*weak)->both_sides = on_both_sides(out.cases.back(), **weak, options.X_AF);
    }
  }

  const base::Mat3 R = options.X_AF.linear();
  const auto unit = [&](std::size_t k) -> const Vec6& { return moved->at(cases.size() + k, model->axle); };
  out.fore_aft = -kUnitForce / unit(0).head<3>().dot(R.col(0));
  out.lateral = kUnitForce / unit(1).head<3>().dot(R.col(1));
  out.torsional = kUnitCouple / unit(2).tail<3>().dot(R.col(2));
  out.dummy_deflection = kDummyForce / out.fore_aft;
  out.deflection_ratio = deflection_ratio(out.dummy_deflection, out.length_along_axis);
  weigh(out, assembly);
  return out;
}

double deflection_ratio(double deflection, double length) {
  return kDummyConstant * deflection / (length * length * length);
}

}  // namespace halfround::study
