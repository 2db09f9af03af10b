#include "study/clearance.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"
#include "shape/separation.h"
#include "study/clearance_wheel.h"

namespace halfround::study {

namespace {

using bike::PartKind;

/// At the head of a sentence: "Left blade".
std::string in_front(const bike::Part& part) {
  std::string out = bike::spoken(part);
  if (!out.empty() && out[0] >= 'a' && out[0] <= 'z') out[0] = static_cast<char>(out[0] - 'a' + 'A');
  return out;
}

/// The axle's line runs through the tube somewhere between its ends.
bool holds_axle(const bike::Member& m, const WheelFrame& w) {
  for (int i = 0; i <= 16; ++i) {
    const double s = m.s_start + (m.s_end - m.s_start) * i / 16;
    const Vec3 d = m.tube.centreline.point(s) - w.axle, off = d - d.dot(w.left) * w.left;
    if (off.norm() < 0.5 * std::min(m.tube.profile.width(s), m.tube.profile.depth(s))) return true;
  }
  return false;
}

/// The axle's line runs through the plate, or through a slot no wider than the axle.
bool holds_axle(const bike::Plate& p, const WheelFrame& w, double axle_diameter) {
  if (p.outline.size() < 3 || std::abs(p.normal.dot(w.left)) < 0.1) return false;
  const Vec3 at = w.axle + w.left * ((p.outline[0] - w.axle).dot(p.normal) / w.left.dot(p.normal));
  double turns = 0, nearest = INFINITY;
  for (std::size_t i = 0; i < p.outline.size(); ++i) {
    const Vec3 &a = p.outline[i], d = p.outline[(i + 1) % p.outline.size()] - a;
    const Vec3 q = a - at, r = q + d;
    turns += std::atan2(q.cross(r).dot(p.normal), q.dot(r));
    const double x = d.squaredNorm() > 0 ? std::clamp(-q.dot(d) / d.squaredNorm(), 0.0, 1.0) : 0;
    nearest = std::min(nearest, (q + x * d).norm());
  }
  return std::abs(turns) > base::kPi || nearest < 0.5 * axle_diameter + 1;
}

/// What growth, mud and an untrue wheel take, to first order in the direction of the nearest place.
double allowance_of(const WheelPart& part, const Vec3& normal, const WheelFrame& w,
                    const ClearanceOptions& o) {
  const Allowances& a = o.allowances;
  const double side = std::abs(normal.dot(w.left)), radial = std::sqrt(std::max(0.0, 1 - side * side));
  const double untrue = side * a.out_of_true + radial * a.hop;
  const PartKind kind = part.part.kind;
  if (kind == PartKind::tyre) return a.growth + (o.mudguard ? 0 : a.mud) + untrue;
  if (kind == PartKind::rim) return untrue;
  return kind == PartKind::mudguard ? a.mud : 0;
}

}  // namespace

Clearance clearance(const bike::Assembly& assembly, const ClearanceOptions& options) {
  Clearance out;
  out.options = options;
  const WheelFrame w = wheel_frame(assembly, options);
  const std::vector<WheelPart> parts = wheel_parts(assembly, options, out.not_checked);
  out.calliper_assumed = options.calliper && !options.calliper->X_FC;
  shape::ProofOptions proof;
  proof.gap = options.bound_gap;
  const auto put = [&](const WheelPart& part, const bike::Part& member, const shape::Separation& sep) {
    const Vec3 n = part.body.distance(sep.gap.on_tube).normal;
    out.items.push_back({part.part, member, sep.gap.value, sep.at_least, allowance_of(part, n, w, options),
                         sep.gap.on_tube, sep.gap.on_body, sep.gap.u, sep.gap.s});
  };
  for (const bike::Member& m : assembly.members) {
    if (!(m.s_end - m.s_start > 1e-6)) {
      out.not_checked.push_back(
          fmt::format("{} is not checked: it has no length between its ends.", in_front(m.part)));
      continue;
    }
    const bool holder = holds_axle(m, w);
    for (const WheelPart& part : parts) {
      if (holder && part.part.kind == PartKind::axle_end) continue;
      put(part, m.part, shape::separation(m.tube, m.s_start, m.s_end, part.body, proof));
    }
  }
  for (const bike::Plate& p : assembly.plates) {
    if (p.outline.size() < 3 || !(p.thickness > 0)) {
      out.not_checked.push_back(
          fmt::format("{} is not checked: its outline or its thickness is missing.", in_front(p.part)));
      continue;
    }
    const bool holder = holds_axle(p, w, std::max(options.axle_diameter, options.slot_width));
    for (const WheelPart& part : parts) {
      if (holder && part.part.kind == PartKind::axle_end) continue;
      put(part, p.part, shape::separation(p.outline, p.normal, p.thickness, part.body, proof));
    }
  }
  std::stable_sort(out.items.begin(), out.items.end(),
                   [](const auto& a, const auto& b) { return a.value < b.value; });
  out.toe = toe_overlap(assembly, options);
  if (options.pedals && !out.toe) {
    out.not_checked.emplace_back(
        "Toe overlap is not checked: it needs crank length, head angle and a front centre greater than the "
        "bracket's drop, and a wheel that reaches the pedal's line.");
  }
  const auto first = std::find_if(out.items.begin(), out.items.end(),
                                  [](const auto& i) { return i.body.kind == PartKind::tyre; });
  if (first != out.items.end()) {
    double at_rest = INFINITY;
    for (const ClearanceItem& i : out.items) {
      if (i.body.kind == PartKind::tyre) at_rest = std::min(at_rest, i.at_least);
    }
    out.removal = wheel_removal(assembly, options, parts.front().body, at_rest, first->member);
  }
  return out;
}

namespace {

using bike::Bound;
using bike::Limit;
using bike::Verdict;

/// Ten-thousandths of a millimetre: finer than anybody measures, and a wish that was met exactly stays met.
double shown(double v) {
  return std::round(v * 1e4) / 1e4;
}

std::string where(const ClearanceItem& i) {
  const std::string member = bike::spoken(i.member);
  return i.s > 0 ? base::say("{}, {:.0f} mm along it", member, i.s) : member;
}

}  // namespace

std::vector<Verdict> verdicts(const Clearance& c) {
  std::vector<Verdict> out;
  const ClearanceOptions& o = c.options;
  constexpr double kFar = 30;  // mm
  const auto say_at = [&](const std::string& code, const std::string& what, const std::string& at,
                          double value, std::optional<Limit> limit, const std::string& note) {
    out.push_back({"clearance", code, what, at, "mm", shown(value), std::move(limit), note});
  };
  const auto say = [&](const std::string& code, const std::string& what, const ClearanceItem& i, double value,
                       std::optional<Limit> limit, const std::string& note) {
    say_at(code, what, where(i), value, std::move(limit), note);
    out.back().at = bike::OnMember{i.member, i.s, i.s > 0 ? std::optional(i.u) : std::nullopt, i.on_member};
    out.back().against = i.body;
  };
  std::vector<bike::Part> told;
  const auto nearest_of = [&](PartKind body) {
    return std::ranges::find_if(c.items, [&](const ClearanceItem& i) { return i.body.kind == body; });
  };
  for (const ClearanceItem& i : c.items) {
    if (std::find(told.begin(), told.end(), i.body) != told.end()) continue;
    told.push_back(i.body);  // nearest first: the rest of this body's are wider
    const std::string proved = base::say("never less than {:.3f} mm", i.at_least);
    const std::string what = base::say("{} to {}", bike::spoken(i.body), bike::spoken(i.member));
    const PartKind kind = i.body.kind;
    const bool wheel = kind == PartKind::tyre || kind == PartKind::rim || kind == PartKind::mudguard;
    if (!wheel) {
      if (i.value > kFar) continue;  // nobody needs to read that
      const bool guess = kind == PartKind::calliper && c.calliper_assumed;
      say("clearance-part", what, i, i.value,
          guess ? std::nullopt : std::optional(Limit{0, Bound::at_least, "must not touch"}),
          guess ? "the calliper's place and size are assumed: measure yours" : proved);
      continue;
    }
    // a rim that lies behind its tyre says nothing new
    const auto tyre = nearest_of(PartKind::tyre);
    if (kind == PartKind::rim && tyre != c.items.end() && tyre->value <= i.value) continue;
    const bool racing = o.type == BicycleType::racing;
    const Limit published{racing ? 4.0 : 6.0, Bound::at_least,
                          racing ? "figure quoted from EN 14781 for racing" : "a manufacturer's manual"};
    const Limit law{1.6, Bound::at_least, "figure quoted from 16 CFR 1512.11"};
    if (shown(i.value) < law.value)
      say("clearance-law", what, i, i.value, law, proved);
    else
      say("clearance-published", what, i, i.value, published, proved);
    if (kind == PartKind::tyre && o.wish) {
      const auto blade = std::find_if(c.items.begin(), c.items.end(), [](const auto& q) {
        return q.body.kind == PartKind::tyre && q.member.kind == PartKind::blade;
      });
      const ClearanceItem& q = blade != c.items.end() ? *blade : i;
      say("clearance-wish", fmt::format("tyre to {}", bike::spoken(q.member)), q, q.value,
          Limit{*o.wish, Bound::at_least, "the job's wish"},
          base::say("never less than {:.3f} mm", q.at_least));
    }
    const auto tightest = std::min_element(c.items.begin(), c.items.end(), [&](const auto& p, const auto& q) {
      const double sp = p.body == i.body ? p.value - p.allowance : INFINITY;
      const double sq = q.body == i.body ? q.value - q.allowance : INFINITY;
      return sp < sq;
    });
    say("clearance-road",
        fmt::format("{} to {} on the road", bike::spoken(i.body), bike::spoken(tightest->member)), *tightest,
        tightest->value - tightest->allowance, Limit{0, Bound::at_least, "must not touch"},
        base::say("{:.1f} mm taken off for {}", tightest->allowance,
                  kind == PartKind::mudguard ? "mud" : "growth, mud and an untrue wheel"));
  }
  if (c.toe) {
    say_at("clearance-toe", fmt::format("pedal forward to the {}", c.toe->mudguard ? "mudguard" : "tyre"), "",
           c.toe->value, Limit{c.toe->limit, Bound::at_least, c.toe->source},
           base::say("bars turned {:.0f} degrees, seen from above", base::to_deg(c.toe->steered)));
  }
  if (c.removal.slot_spare) {
    say_at("wheel-slot", "axle in its slot", "", *c.removal.slot_spare,
           Limit{0, Bound::at_least, "must go in"}, "");
  }
  if (!c.removal.tyre_member.empty()) {
    say_at("wheel-removal", "tyre on its way out", bike::spoken(c.removal.tyre_member),
           c.removal.tyre_at_least, Limit{0, Bound::at_least, "must pass"},
           base::say("for the whole way; narrowest {:.0f} mm out", c.removal.tyre_travel));
  }
  if (c.removal.rotor_leaves_calliper && !*c.removal.rotor_leaves_calliper) {
    out.push_back({"clearance", "wheel-rotor", "rotor out of the calliper", "calliper", "", std::nullopt,
                   std::nullopt,
                   "on its way out the rotor runs into the calliper's bridge: take the calliper off first"});
  }
  return out;
}

}  // namespace halfround::study
