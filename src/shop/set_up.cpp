// From a mitre to what the hand sets: the piece that is held, the swing plane, the stops.
#include "shop/set_up.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"
#include "shop/cutter_fit.h"

namespace halfround::shop {

namespace {

constexpr double kTurn = 2 * base::kPi;
/// Axes that cross farther than this from the cut are set beside each other instead, mm.
constexpr double kCrossingNear = 60;

bool upper(bike::End end) {
  return end == bike::End::end;
}

/// The jaws on the held piece: as far from the cut as they are set, nearer only where the piece is too short
/// for that.
void put_jaws(Held& held, bool upper, double s_cut, const Jaws& jaws) {
  const double length = std::min(jaws.length, held.to - held.from);
  if (upper) {
    held.jaw_to = std::clamp(s_cut - jaws.from_cut, held.from + length, held.to);
    held.jaw_from = held.jaw_to - length;
  } else {
    held.jaw_from = std::clamp(s_cut + jaws.from_cut, held.from, held.to - length);
    held.jaw_to = held.jaw_from + length;
  }
}

/// The straight piece nearest to the cut that is long enough; else the longest; else the tangent.
Held held_of(const bike::Member& member, const study::Mitre& m, const Shop& shop) {
  const double least_grip = shop.least_grip;
  Held out;
  double best = 0;
  const double toward = upper(m.end) ? 1 : -1;
  for (const shape::Piece& piece : member.tube.centreline.pieces()) {
    if (piece.curvature != 0) continue;
    const double from = std::max(piece.s0, upper(m.end) ? 0 : m.s_most);
    const double to = std::min(piece.s0 + piece.length, upper(m.end) ? m.s_least : member.stock_length);
    const double length = to - from;
    if (length <= 0) continue;
    // pieces come from the start end up: at an upper end a later one that is long enough is nearer to the cut
    const bool enough = length >= least_grip, had = best >= least_grip;
    if (enough ? (!had || upper(m.end)) : (!had && length > best))
      best = length, out.from = from, out.to = to;
  }
  out.straight = best > 0, out.long_enough = best >= least_grip;
  const double s = out.straight ? 0.5 * (out.from + out.to) : m.s_scribe;
  if (!out.straight) out.from = out.to = s;
  put_jaws(out, upper(m.end), upper(m.end) ? m.s_least : m.s_most, shop.jaws);
  const shape::Frame f = member.tube.centreline.at(s);
  out.point = f.c, out.axis = toward * f.t;
  return out;
}

/// Half the width of the section at s in the direction e of its own plane: where a straight jaw touches.
double support(const shape::Profile& profile, double s, const Vec2& e) {
  double most = 0;
  for (int i = 0; i < 72; ++i) {
    const Vec2 d = base::unit_at(kTurn * i / 72);
    most = std::max(most, profile.at(d, s).r * d.dot(e));
  }
  return most;
}

/// Slope of the line a straight jaw rests on: of the hull over the flank the edge that lies under the middle
/// of the jaw, where it presses.
double resting_slope(const std::vector<Vec2>& flank) {
  const double middle = 0.5 * (flank.front().x() + flank.back().x());
  double best = INFINITY, slope = 0;
  for (const Vec2& a : flank) {
    if (a.x() > middle) break;
    for (const Vec2& b : flank) {
      if (b.x() < middle || b.x() <= a.x()) continue;
      // the hull is the highest line over the middle that a pair of points makes
      const double k = (b.y() - a.y()) / (b.x() - a.x()), over = a.y() + k * (middle - a.x());
      if (-over < best - 1e-12) best = -over, slope = k;
    }
  }
  return slope;
}

Flanks flanks_of(const bike::Member& member, const MachineSetUp& set) {
  Flanks out;
  const Held& h = set.held;
  out.cutter_to_left = out.cutter_to_right = set.angle;
  if (h.jaw_to - h.jaw_from < 1) return out;
  const shape::Frame f = member.tube.centreline.at(0.5 * (h.jaw_from + h.jaw_to));
  const Vec3 left = set.up.cross(h.axis);
  const double toward = upper(set.end) ? 1 : -1;
  const auto lean = [&](const Vec3& d) {
    const Vec2 e(d.dot(f.m), d.dot(f.b));
    constexpr int n = 40;
    std::vector<Vec2> flank;
    for (int i = 0; i <= n; ++i) {
      const double s = h.jaw_from + (h.jaw_to - h.jaw_from) * i / n;
      flank.emplace_back(s, support(member.tube.profile, s, e));
    }
    return std::atan(toward * resting_slope(flank));
  };
  out.left = lean(left), out.right = lean(-left), out.up = lean(set.up), out.down = lean(-set.up);
  out.wedge_sides = out.left + out.right, out.wedge_up_down = out.up + out.down;
  out.cutter_to_left -= out.left, out.cutter_to_right += out.right;
  return out;
}

/// Square to both axes, so that the cutter leans to the left; where the axes are square, the one of the two
/// with the smaller clock angle; where they are parallel, by the tube's direction at the cut.
void set_swing(MachineSetUp& set, const bike::Member& member, const study::Mitre& m, Vec3 a) {
  const Vec3 t = set.held.axis;
  const double along = t.dot(a);
  if (along < 0) a = -a;
  set.angle = std::acos(std::clamp(std::abs(along), 0.0, 1.0));
  set.from_square = base::kPi / 2 - set.angle;
  Vec3 n = t.cross(a);
  if (n.norm() < 1e-7) {
    const shape::Frame f = member.tube.centreline.at(upper(m.end) ? m.s_most : m.s_least);
    n = f.t.cross(a) - f.t.cross(a).dot(t) * t;
    if (n.norm() < 1e-7) n = f.m;
  }
  set.up = n.normalized(), set.cutter_axis = a;
  const shape::Frame f = member.tube.centreline.at(0.5 * (set.held.from + set.held.to));
  const auto clock = [&](const Vec3& d) {
    const double u = std::atan2(d.dot(f.b), d.dot(f.m));
    return u < -1e-12 ? u + kTurn : std::max(0.0, u);
  };
  set.u_up = clock(set.up);
  if (std::abs(along) < 1e-9 && set.u_up >= base::kPi - 1e-9) {
    set.up = -set.up, set.cutter_axis = -set.cutter_axis, set.u_up = clock(set.up);
  }
}

/// Features a finger finds on the held piece and past it.
std::vector<Stop> features(const bike::Member& member, const study::Mitre& m, const Held& held) {
  std::vector<Stop> out;
  const double length = member.stock_length;
  // what lies on the far side of a bend is no help: distances run along the held axis
  const auto on_axis = [&](double s) {
    const Vec3 d = member.tube.centreline.point(s) - held.point;
    return (d - d.dot(held.axis) * held.axis).norm() < 1e-6;
  };
  if (on_axis(m.s_scribe)) out.push_back({"scribe line", m.s_scribe, 0});
  const double stock = upper(m.end) ? length : 0;
  if (on_axis(stock)) out.push_back({"end of the stock that is cut", stock, 0});
  const double other = upper(m.end) ? 0 : length;
  if (on_axis(other)) out.push_back({"other end of the stock", other, 0});
  const auto& pieces = member.tube.centreline.pieces();
  for (std::size_t i = 1; i < pieces.size(); ++i) {
    const double s = pieces[i].s0;
    if (!on_axis(s) || (pieces[i].curvature == 0) == (pieces[i - 1].curvature == 0)) continue;
    const bool ahead = upper(m.end) == (pieces[i].curvature != 0);
    out.push_back({ahead ? "tangent where the bend begins" : "tangent where the bend ends", s, 0});
  }
  for (Stop& stop : out) stop.distance = (member.tube.centreline.point(stop.s) - held.point).dot(held.axis);
  return out;
}

/// Where the cutter's axis passes over the tube's, or, when that is far from the cut, its point nearest to
/// the cut.
void set_stops(CutterFit& fit, const MachineSetUp& set, const std::vector<Stop>& touched, const Vec3& cut) {
  const Vec3 &t = set.held.axis, &a = set.cutter_axis, left = set.up.cross(t);
  const Vec3 d = fit.axis_point - set.held.point;
  fit.offset = d.dot(set.up);
  if (std::abs(fit.offset) < 1e-9) fit.offset = 0;  // never a minus before a nought
  const double sine = a.dot(left), middle = (cut - set.held.point).dot(t);
  double along = sine > 1e-9 ? d.dot(t) - d.dot(left) / sine * a.dot(t) : INFINITY;
  if (std::abs(along - middle) > kCrossingNear) {
    const Vec3 near = fit.axis_point + (cut - fit.axis_point).dot(a) * a - set.held.point;
    along = near.dot(t), fit.aside = near.dot(left);
  }
  for (const Stop& stop : touched) fit.stops.push_back({stop.from, stop.s, along - stop.distance});
}

std::string title_of(const study::Mitre& m) {
  std::string side = bike::word_of(m.member.side);
  std::ranges::transform(side, side.begin(), [](char c) { return static_cast<char>(c - 'a' + 'A'); });
  return (side.empty() ? "" : side + " ") + cut_title(m.member, m.end, m.onto);
}

/// What serves comes first; of that the least work for the file, then the least gap. Of the rest the nearest
/// size.
void put_in_order(MachineSetUp& set) {
  const auto filing = [](const CutterFit& f) { return f.file_over * f.file_depth; };
  std::stable_sort(set.cutters.begin(), set.cutters.end(), [&](const CutterFit& a, const CutterFit& b) {
    if (a.serves != b.serves) return a.serves;
    if (!a.serves)
      return std::abs(a.diameter - set.target_diameter) < std::abs(b.diameter - set.target_diameter);
    if (filing(a) != filing(b)) return filing(a) < filing(b);
    return a.greatest_gap < b.greatest_gap;
  });
}

std::string why_by_hand(const MachineSetUp& set, const study::Mitre& m) {
  if (set.cutters.empty()) return "The shop has no cutter.";
  if (!set.cutters.front().serves) {
    return fmt::format("No cutter serves; of the {}: {}", set.cutters.front().name,
                       set.cutters.front().why_not);
  }
  if (m.passed_by > 0) {
    return base::say("{:.0f}° of the clock pass beside the {} and are cut to its axis plane by hand.",
                     base::to_deg(m.passed_by), bike::spoken(m.onto));
  }
  return {};
}

}  // namespace

std::string cut_title(const bike::Part& member, bike::End end, const bike::Part& onto) {
  return fmt::format("{}, {} end, onto the {}", bike::noun_of(member.kind), bike::end_name(member, end),
                     bike::spoken(onto));
}

Shim shim_under(const Held& held, double flank) {
  return {(held.jaw_to - held.jaw_from) * std::abs(std::tan(flank)), flank < 0};
}

std::vector<MachineSetUp> set_ups(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres,
                                  const Shop& shop) {
  std::vector<MachineSetUp> out;
  for (const study::Mitre& m : mitres) {
    const bike::Member* member = bike::find_member(assembly, m.member);
    const bike::Member* target = bike::find_member(assembly, m.onto);
    base::check(member && target, "a mitre names members of its assembly");
    MachineSetUp set;
    set.member = m.member, set.end = m.end, set.onto = m.onto;
    set.pair = bike::other_side(m.member), set.title = title_of(m);
    if (bike::find_member(assembly, set.pair) == nullptr) set.pair = {};
    Vec3 cut = Vec3::Zero();
    for (const study::EdgePoint& p : m.outer) cut += p.point / static_cast<double>(m.outer.size());
    const shape::Frame axis = target->tube.centreline.at(target->tube.centreline.nearest(cut));
    set.held = held_of(*member, m, shop);
    set_swing(set, *member, m, axis.t);
    set.flanks = flanks_of(*member, set);
    const JointView view = view_of(m, *member, *target, set.cutter_axis, set.up);
    set.target_diameter = 2 * view.target_radius;
    const std::vector<Stop> touched = features(*member, m, set.held);
    for (std::size_t i = 0; i < shop.cutters.size(); ++i) {
      CutterFit f = fit(view, shop.cutters[i], shop.gap);
      f.cutter = i;
      set_stops(f, set, touched, cut);
      set.cutters.push_back(std::move(f));
    }
    put_in_order(set);
    set.why_by_hand = why_by_hand(set, m);
    set.by_hand = !set.why_by_hand.empty();
    out.push_back(std::move(set));
  }
  return out;
}

}  // namespace halfround::shop
