// Where one blade lies for a given splay and lower trim. Derivation: docs/unicrown.md.
#include "layout/place.h"

#include <fmt/format.h>

#include <cmath>
#include <optional>
#include <utility>

#include "base/number.h"
#include "base/say.h"
#include "layout/root.h"

namespace halfround::layout {

using base::Problem;
using base::Result;
using shape::Centreline;
using shape::Frame;

std::string name_of(Wish wish) {
  return std::string(base::word_of(kWishes, wish).words);
}

double outcome(Wish wish, const Placed& placed, double stock_length) {
  switch (wish) {
    case Wish::clearance:
      return placed.clearance.value;
    case Wish::crown_height:
      return placed.crown_height;
    case Wish::top_angle:
      return placed.top_angle;
    case Wish::splay:
      return placed.splay;
    case Wish::lower_trim:
      return placed.lower_trim;
    case Wish::upper_trim:
      return stock_length - placed.s_top;
    case Wish::spacing:
      return 2 * placed.y_crown;
  }
  return 0;
}

bool is_angle(Wish wish) {
  return wish == Wish::top_angle || wish == Wish::splay;
}

std::string name_of(Share share) {
  return std::string(base::word_of(kShares, share).words);
}

namespace {

/// The blade in its own plane: how it stands after the splay, before the plane is tilted.
struct InPlane {
  double s_crown;      // where the centreline reaches y = 0, or the crown's line
  double rise;         // from the lower end up to where the line meets the axis, in the plane
  double rake;         // lower end ahead of there, square to the plane
  double y_crown = 0;  // of s_crown
};

double y_end(const Intent& intent) {
  return intent.over_locknut / 2 + intent.lower_end.blade_from_hub;
}

/// Height of the turned line over the wheel's middle plane at s, and its slope.
struct Side {
  double y, dy;
};

Result<InPlane> stand(const Intent& intent, const Centreline& line, double splay, double trim) {
  const double c = std::cos(splay), sn = std::sin(splay);
  const Vec3 end = line.point(trim);
  const double y0 = y_end(intent);
  const auto side = [&](double s) -> Side {
    const Frame f = line.at(s);
    const Vec3 d = f.c - end;
    return {y0 + c * d.y() - sn * d.z(), c * f.t.y() - sn * f.t.z()};
  };
  // first crossing of the middle going up; steps no longer than the blade's bend needs
  const double last = line.length() + 200;
  double s0 = trim, s1 = trim;
  Side q0 = side(s0), q1 = q0;
  while (q1.y > 0 && s1 < last) {
    s0 = s1, q0 = q1;
    // no farther than the height allows (|dy/ds| <= 1), so nothing is jumped over
    s1 += std::max(q0.y, 0.5);
    q1 = side(s1);
  }
  if (q1.y > 0) {
    return tl::unexpected(Problem{
        "blade-misses-steerer",
        {},
        base::say("The blade never reaches the steerer: its top stays {:.1f} mm from the middle.", q1.y),
        "It needs a bend inward at the top, or more lean inward."});
  }
  double s = s1;
  for (int i = 0; i < 60; ++i) {
    const Side q = side(s);
    (q.y > 0 ? s0 : s1) = s;
    double next = q.dy < 0 ? s - q.y / q.dy : 0.5 * (s0 + s1);
    if (!(next >= s0 && next <= s1)) next = 0.5 * (s0 + s1);
    if (std::abs(next - s) < 1e-12) break;
    s = next;
  }
  const Vec3 d = line.point(s) - end;
  return InPlane{s, sn * d.y() + c * d.z(), 0.0 - d.x(), 0};
}

/// The same for a blade that reaches the crown's line at s.
InPlane reach(const Intent& intent, const Centreline& line, const CrownLine& crown, double splay, double trim,
              double s) {
  const double c = std::cos(splay), sn = std::sin(splay);
  const Vec3 d = line.point(s) - line.point(trim);
  const double y = y_end(intent) + c * d.y() - sn * d.z();
  return {s, sn * d.y() + c * d.z() + y * std::cos(crown.angle) / std::sin(crown.angle), 0.0 - d.x(), y};
}

struct Stance {
  Shares shares;
  double tilt_angle = 0;
};

/// The shares don't make the offset. `made` is the nearest they can make; where a share takes the remainder
/// already there is nothing else to let take it.
Problem offset_problem(const Intent& intent, double made) {
  const double missing = intent.offset - made;
  const base::Apart told = base::apart(made, intent.offset, 2);
  Problem out{
      "offset-unreachable",
      {"", 0, 0, "steering.offset"},
      fmt::format("The shares make an offset of {} mm{}, {} mm {} the {} mm asked for.", told.first,
                  intent.remainder ? fmt::format(" with {} taking the remainder as far as it goes",
                                                 name_of(*intent.remainder))
                                   : "",
                  base::amount(std::abs(missing), 2), missing > 0 ? "less than" : "more than", told.second),
      ""};
  const auto offset = base::reachable(made, made > intent.offset ? base::Fits::from : base::Fits::up_to);
  out.offers.push_back(
      {"steering.offset", base::fixed(offset, 1), base::say("an offset of {:.1f} mm", offset)});
  if (intent.remainder) {
    out.fits = base::say("Ask for an offset of {:.1f} mm, or give another share a length.", offset);
    return out;
  }
  out.fits = fmt::format("Let one share take the remainder, or change one of them by {:+.2f} mm.", missing);
  for (const auto& [share, key] :
       {std::pair{Share::tilt, "shares.tilt"}, std::pair{Share::mitre_offset, "shares.mitre_offset"},
        std::pair{Share::dropout_lead, "shares.dropout_lead"}}) {
    const double now = intent.given_shares[static_cast<std::size_t>(share)].value_or(0);
    out.offers.push_back(
        {key, base::fixed(now + missing, 2), base::say("{} of {:.2f} mm", name_of(share), now + missing)});
  }
  return out;
}

/// Tilts the plane and shifts it so that the shares add up to the offset.
Result<Stance> lean(const Intent& intent, const InPlane& q) {
  const auto given = [&](Share share) {
    return intent.given_shares[static_cast<std::size_t>(share)].value_or(0);
  };
  Stance out;
  Shares& sh = out.shares;
  sh.mitre_offset = given(Share::mitre_offset);
  sh.dropout_lead = given(Share::dropout_lead);
  const double reach = std::hypot(q.rise, q.rake);
  if (intent.remainder == Share::tilt) {
    const double needed = intent.offset - sh.dropout_lead - sh.mitre_offset;
    if (std::abs(needed) > 0.7 * reach)
      return tl::unexpected(offset_problem(intent, intent.offset - needed + 0.7 * reach));
    out.tilt_angle = std::asin(needed / reach) - std::atan2(q.rake, q.rise);
  } else {
    if (std::abs(given(Share::tilt)) > 0.7 * q.rise) {
      return tl::unexpected(offset_problem(intent, 0.7 * q.rise));
    }
    out.tilt_angle = std::asin(given(Share::tilt) / q.rise);
  }
  sh.tilt = q.rise * std::sin(out.tilt_angle);
  sh.rake = q.rake * std::cos(out.tilt_angle);
  if (intent.remainder == Share::mitre_offset)
    sh.mitre_offset = intent.offset - sh.tilt - sh.rake - sh.dropout_lead;
  if (intent.remainder == Share::dropout_lead)
    sh.dropout_lead = intent.offset - sh.tilt - sh.rake - sh.mitre_offset;
  // every share given: what the blade has must fit within what a builder can set
  if (!intent.remainder && std::abs(sh.sum() - intent.offset) > 0.05) {
    return tl::unexpected(offset_problem(intent, sh.sum()));
  }
  return out;
}

double height_of(const Intent& intent, const InPlane& q, double tilt_angle) {
  return intent.drop - intent.lower_end.rise -
         (q.rise * std::cos(tilt_angle) - q.rake * std::sin(tilt_angle));
}

/// Where the blade stands, and how it leans: up to the middle, or up to the line that the crown gives.
Result<std::pair<InPlane, Stance>> stand_and_lean(const Intent& intent, const Centreline& line, double splay,
                                                  double trim) {
  const auto with_lean = [&](const InPlane& q) -> Result<std::pair<InPlane, Stance>> {
    const auto stance = lean(intent, q);
    if (!stance) return tl::unexpected(stance.error());
    return std::pair{q, *stance};
  };
  const auto crown = crown_line(intent.crown);
  if (!crown) {
    const auto q = stand(intent, line, splay, trim);
    return q ? with_lean(*q) : tl::unexpected(q.error());
  }
  // the higher up the blade, the higher the line that goes through there meets the axis
  std::optional<Problem> fails;
  const auto too_low = [&](double s) {
    const auto both = with_lean(reach(intent, line, *crown, splay, trim, s));
    if (both) return height_of(intent, both->first, both->second.tilt_angle) - crown->height;
    fails = both.error();
    return 1e3 - s;  // hardly any height: no share can lean that far
  };
  const double lo = trim + 1, hi = line.length() + 400, f_lo = too_low(lo), f_hi = too_low(hi);
  const auto s = f_lo > 0 && f_hi < 0 ? root_between(too_low, lo, hi, f_lo, f_hi, 50, 60) : std::nullopt;
  if (!s) {
    if (fails) return tl::unexpected(*fails);
    return tl::unexpected(
        Problem{"crown-not-reached",
                {},
                base::say("The blade does not reach the crown {:.1f} mm below the seat.", crown->height),
                "Take longer blades, or put the crown lower."});
  }
  return with_lean(reach(intent, line, *crown, splay, trim, *s));
}

/// The scale of the forward bend that makes the rake take up the rest of the offset.
Result<double> find_rake_scale(const Intent& intent, const bike::Blade& blade, double splay, double trim) {
  if (!bike::has_forward_bend(blade)) {
    return tl::unexpected(
        Problem{"offset-unreachable",
                {},
                "The blade rake should take the remainder of the offset, but the blade has no forward bend.",
                "Give the blade a forward bend, or let another share take the remainder."});
  }
  const auto miss = [&](double scale) {
    const auto q = stand_and_lean(intent, bike::on_bench(blade, scale).centreline, splay, trim);
    return q ? q->second.shares.sum() - intent.offset : -intent.offset;
  };
  const double lo = 0, hi = 3;
  const double f_lo = miss(lo), f_hi = miss(hi);
  const auto scale = root_between(miss, lo, hi, f_lo, f_hi, 48, 60);
  if (!scale) {
    return tl::unexpected(
        offset_problem(intent, intent.offset + (std::abs(f_lo) < std::abs(f_hi) ? f_lo : f_hi)));
  }
  return *scale;
}

base::Mat3 turn_of(double splay, double tilt_angle) {
  const double c = std::cos(tilt_angle), s = std::sin(tilt_angle);
  base::Mat3 tilt;
  tilt << c, 0, -s, 0, 1, 0, s, 0, c;
  return tilt * Eigen::AngleAxisd(splay, Vec3::UnitX()).toRotationMatrix();
}

}  // namespace

Result<Placed> stand_at(const Intent& intent, const bike::Blade& blade, const Centreline& line, double splay,
                        double lower_trim) {
  Placed out;
  out.splay = splay, out.lower_trim = lower_trim;
  Centreline raked;
  const Centreline* bench = &line;
  if (intent.remainder == Share::rake) {
    const auto scale = find_rake_scale(intent, blade, splay, lower_trim);
    if (!scale) return tl::unexpected(scale.error());
    out.rake_scale = *scale;
    raked = bike::on_bench(blade, *scale).centreline;
    bench = &raked;
  }
  const auto both = stand_and_lean(intent, *bench, splay, lower_trim);
  if (!both) return tl::unexpected(both.error());
  const auto& [q, stance] = *both;
  out.shares = stance.shares, out.tilt_angle = stance.tilt_angle;
  out.s_crown = out.s_top = q.s_crown, out.y_crown = q.y_crown;
  if (const auto crown = crown_line(intent.crown)) out.s_top += crown->above;
  out.crown_height = height_of(intent, q, out.tilt_angle);
  const Vec3 t = turn_of(splay, out.tilt_angle) * bench->at(out.s_crown).t;
  out.top_angle = std::acos(std::clamp(t.z(), -1.0, 1.0));
  return out;
}

shape::Tube put(const Intent& intent, const Placed& placed, const shape::Tube& bench) {
  base::Pose X = base::Pose::Identity();
  X.linear() = turn_of(placed.splay, placed.tilt_angle);
  X.translation() =
      Vec3(intent.offset - placed.shares.dropout_lead, y_end(intent), -intent.drop + intent.lower_end.rise) -
      X.linear() * bench.centreline.point(placed.lower_trim);
  return bench.moved(X);
}

Result<Placed> place(const Intent& intent, const bike::Blade& blade, double splay, double lower_trim) {
  const shape::Tube bench = bike::on_bench(blade);
  auto out = stand_at(intent, blade, bench.centreline, splay, lower_trim);
  if (!out) return out;
  out->tube = put(intent, *out, out->rake_scale == 1 ? bench : bike::on_bench(blade, out->rake_scale));
  return out;
}

}  // namespace halfround::layout
