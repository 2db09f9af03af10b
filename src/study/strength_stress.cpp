#include "study/strength_stress.h"

#include <algorithm>
#include <cmath>

namespace halfround::study {

namespace {

constexpr int kMeasuredRing =
    72;  // clock angles of a measured outline; an oval's worst place is found exactly

/// Distance along the member to the nearest joint's edge; 0 within one.
double joint_distance(const StrengthModel& model, std::size_t member, double s) {
  double out = INFINITY;
  for (const JointZone& z : model.zones) {
    if (z.member == member) out = std::min(out, std::max({0.0, z.from - s, s - z.to}));
  }
  return out;
}

/// Within the heat of a small part that is brazed on?
bool brazed_on(const StrengthOptions& options, const bike::Part& member, double s) {
  return std::ranges::any_of(options.notches, [&](const Notch& n) {
    return n.heat && n.member == member && std::abs(s - n.s) <= n.reach + options.joint.heat_reach;
  });
}

void judge(StressPlace& place, const bike::Member& member, const StrengthOptions& options, double distance) {
  const bike::Material& material = material_of(options, member.part);
  place.beside_joint = distance <= options.joint.heat_reach || brazed_on(options, member.part, place.s);
  const bool known = material.joined_yield > 0 && material.joined_ultimate > 0;
  place.yield = place.beside_joint && known ? material.joined_yield : material.yield;
  place.ultimate = place.beside_joint && known ? material.joined_ultimate : material.ultimate;
  place.notch = distance <= options.joint.notch_reach ? options.joint.K_f : 1;
  for (const Notch& n : options.notches) {
    if (n.member != member.part || std::abs(place.s - n.s) > n.reach + 1e-6) continue;
    if (n.u)
      place.local.push_back(&n);
    else if (n.K_f > place.notch)
      place.notch = n.K_f, place.notch_of = n.what;
  }
  const double width = 2 * std::max(place.section.half_m, place.section.half_b);
  if (material.endurance_rule) place.endurance = endurance_limit(options.fatigue, place.ultimate, width);
}

StressPlace place_at(const bike::Assembly& assembly, const StrengthOptions& options,
                     const StrengthModel& model, const Span& span, const Seen& range, double s) {
  const bike::Member& member = assembly.members[span.member];
  StressPlace out;
  out.member = span.member, out.element = span.element, out.s = s;
  out.frame = member.tube.centreline.at(s);
  out.section = *beam_section(member.tube.profile, s);
  out.centre = out.frame.c + out.section.centre.x() * out.frame.m + out.section.centre.y() * out.frame.b;
  out.bend = bend_at(options, member, range, out.frame, out.section, s);
  if (!member.tube.profile.convex()) {
    for (int j = 0; j < kMeasuredRing; ++j) {
      const Vec2 e = base::unit_at(2 * base::kPi * j / kMeasuredRing);
      out.outline.push_back(member.tube.profile.at(e, s).r * e - out.section.centre);
    }
  }
  judge(out, member, options, joint_distance(model, span.member, s));
  return out;
}

/// The outside point where normal stress c + a y - b x is greatest in size.
Vec2 farthest(const StressPlace& place, double c, double a, double b) {
  if (place.outline.empty()) {
    const BeamSection& q = place.section;
    const double x = -b * q.half_m, y = a * q.half_b, size = std::hypot(x, y);
    if (size == 0) return {q.half_m, 0};
    const double sign = c < 0 ? -1 : 1;
    return {sign * q.half_m * x / size, sign * q.half_b * y / size};
  }
  const auto value = [&](const Vec2& p) { return std::abs(c + a * p.y() - b * p.x()); };
  return *std::max_element(place.outline.begin(), place.outline.end(),
                           [&](const Vec2& p, const Vec2& q) { return value(p) < value(q); });
}

}  // namespace

std::vector<StressPlace> stress_places(const bike::Assembly& assembly, const StrengthOptions& options,
                                       const StrengthModel& model) {
  std::vector<StressPlace> out;
  for (const Span& span : model.spans) {
    const Seen range = seen(model.zones, assembly.members[span.member], span.member);
    const double s0 = std::max(span.s0, range.from), s1 = std::min(span.s1, range.to);
    if (!(s1 > s0)) continue;
    const int n = std::max(1, static_cast<int>(std::ceil((s1 - s0) / options.station_step - 1e-6)));
    std::vector<double> at;
    for (int i = 0; i <= n; ++i) at.push_back(s0 + (s1 - s0) * i / n);
    for (const Notch& q : options.notches) {
      if (q.member == assembly.members[span.member].part && q.s > s0 && q.s < s1) at.push_back(q.s);
    }
    std::ranges::sort(at);
    for (const double s : at) out.push_back(place_at(assembly, options, model, span, range, s));
  }
  return out;
}

Stress stress_at(const StressPlace& place, const Vec3& p_b, const Vec6& wrench, BendStress bend) {
  const Vec3 force = wrench.head<3>();
  Vec3 couple = wrench.tail<3>() + (p_b - place.centre).cross(force);
  if (bend != BendStress::none && place.bend.peak_in_plane > 1) {
    const bool peak = bend == BendStress::surface;
    const Vec3 n = place.frame.k.normalized(), o = place.frame.t.cross(n);
    const double in = peak ? place.bend.peak_in_plane : place.bend.raise_in_plane;
    const double aside = peak ? place.bend.peak_out_of_plane : place.bend.raise_out_of_plane;
    couple += (in - 1) * couple.dot(o) * o + (aside - 1) * couple.dot(n) * n;
  }
  const BeamSection& q = place.section;
  const double N = force.dot(place.frame.t), T = couple.dot(place.frame.t);
  const double M_m = couple.dot(place.frame.m), M_b = couple.dot(place.frame.b);
  const double det = q.I_m * q.I_b - q.I_mb * q.I_mb;
  const double a = (q.I_b * M_m + q.I_mb * M_b) / det;
  const double b = (q.I_mb * M_m + q.I_m * M_b) / det;
  const double c = N / q.area;
  Stress out;
  out.bend_m = M_m, out.bend_b = M_b, out.a = a, out.b = b, out.c = c;
  const Vec2 p = farthest(place, c, a, b);
  out.at = p + q.centre;
  out.u = std::atan2(out.at.y(), out.at.x());
  if (out.u < 0) out.u += 2 * base::kPi;
  out.normal = c + a * p.y() - b * p.x();
  out.shear = q.round ? T * q.half_m / q.J : T / (2 * q.enclosed * q.wall);
  out.von_mises = std::sqrt(out.normal * out.normal + 3 * out.shear * out.shear);
  return out;
}

double yield_margin(const StressPlace& place, const Stress& stress) {
  return stress.von_mises > 0 ? place.yield / stress.von_mises : INFINITY;
}

double fatigue_strength(const StressPlace& place, const FatigueRule& rule, double cycles) {
  if (!(place.endurance > 0)) return 0;
  if (!(cycles > 1e3) || cycles >= 1e6)
    return cycles >= 1e6 ? place.endurance : rule.thousand_cycles * place.ultimate;
  const double top = rule.thousand_cycles * place.ultimate;
  return top * std::pow(place.endurance / top, (std::log10(cycles) - 3) / 3);
}

namespace {

/// The stress where a hole or boss is, raised by it. On a measured outline its half widths stand for it.
Stress at_notch(const StressPlace& place, const Stress& plain, const Notch& n) {
  Stress out = plain;
  const Vec2 e = base::unit_at(*n.u);
  const double r = 1 / std::hypot(e.x() / place.section.half_m, e.y() / place.section.half_b);
  out.at = r * e, out.u = *n.u, out.notch = n.what;
  const Vec2 p = out.at - place.section.centre;
  out.normal = n.K_f * (plain.c + plain.a * p.y() - plain.b * p.x());
  out.shear = n.K_f * plain.shear;
  out.von_mises = std::sqrt(out.normal * out.normal + 3 * out.shear * out.shear);
  return out;
}

}  // namespace

Stress repeated_stress(const StressPlace& place, const Vec3& p_b, const Vec6& wrench) {
  const Stress smooth = stress_at(place, p_b, wrench, BendStress::none);
  Stress plain = smooth;
  plain.notch = place.notch_of;
  plain.normal *= place.notch, plain.shear *= place.notch, plain.von_mises *= place.notch;
  for (const Notch* n : place.local) {
    if (const Stress local = at_notch(place, smooth, *n); local.von_mises > plain.von_mises) plain = local;
  }
  if (!(place.bend.peak_in_plane > 1)) return plain;
  const Stress bent = stress_at(place, p_b, wrench, BendStress::surface);
  return bent.von_mises > plain.von_mises ? bent : plain;
}

double fatigue_margin(const StressPlace& place, const Stress& raised, Cycle cycle, double strength) {
  const bool pulsating = cycle == Cycle::pulsating;
  const double amplitude = (pulsating ? 0.5 : 1) * raised.von_mises;
  const double mean = pulsating ? 0.5 * raised.von_mises : 0;
  const double use = amplitude / strength + mean / place.ultimate;
  return use > 0 ? 1 / use : INFINITY;
}

double endurance_limit(const FatigueRule& rule, double ultimate, double width) {
  const double k_a = std::min(1.0, rule.surface_a * std::pow(ultimate, rule.surface_b));
  const double k_b = rule.size_factor ? std::min(1.0, 0.879 * std::pow(width / base::kMmPerInch, -0.107)) : 1;
  return std::min(rule.endurance_ratio * ultimate, rule.endurance_cap) * k_a * k_b * rule.load_factor *
         rule.reliability;
}

double strength_at(const FatigueRule& rule, double ultimate, double width, double cycles) {
  StressPlace place;
  place.ultimate = ultimate, place.endurance = endurance_limit(rule, ultimate, width);
  return fatigue_strength(place, rule, cycles);
}

}  // namespace halfround::study
