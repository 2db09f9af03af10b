// Nodes stand where members meet, where something holds or loads them, and where the axle passes. An end that
// meets another part shares the node on that part's centreline: the arm between is rigid.
#include "study/strength_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "base/say.h"

namespace halfround::study {

using base::Problem;
using base::Result;
using bike::Assembly;
using bike::End;
using bike::Member;
using bike::Plate;

namespace {

constexpr double kSamePlace = 1e-6;  // mm: two stops nearer than this are one
constexpr double kLongestPanel =
    40;                            // mm between Gauss stretches; docs/strength.md tells what that is good for
constexpr double kOnAxleLine = 1;  // mm: a turned part this near to the axle's line is on it

struct Gauss {
  double x, weight;
};
constexpr std::array<Gauss, 3> kGauss{
    {{0.1127016653792583, 5.0 / 18}, {0.5, 8.0 / 18}, {0.8872983346207417, 5.0 / 18}}};

struct Stop {
  double s;
  int node;
};

/// Where the axle's line meets a lower end.
struct AxleSeat {
  double y = 0;  // along the axle from its middle, + left
  int node = -1;
};

class Builder {
 public:
  Builder(const Assembly& assembly, const StrengthOptions& options)
      : a_(assembly), o_(options), stops_(assembly.members.size()), plate_nodes_(assembly.plates.size()) {
    y_ = o_.X_AF.linear() * Vec3::UnitY();
  }
  Result<StrengthModel> build() {
    for (const bike::Joint& joint : a_.joints) {
      if (auto p = add_joint(joint)) return tl::unexpected(*p);
    }
    if (auto p = hold()) return tl::unexpected(*p);
    if (auto p = add_axle_seats()) return tl::unexpected(*p);
    if (auto p = add_mount()) return tl::unexpected(*p);
    if (auto p = add_own_loads()) return tl::unexpected(*p);
    add_plates();  // first: a plate of no length makes one node of two
    add_members();
    add_calliper();
    add_axle();
    settle();
    if (auto p = find_loose()) return tl::unexpected(*p);
    return std::move(m_);
  }

 private:
  static std::optional<std::size_t> find(const auto& list, const bike::Part& part) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (list[i].part == part) return i;
    }
    return std::nullopt;
  }
  int new_node(const Vec3& p) {
    m_.frame.nodes.push_back({p, {}});
    merged_.push_back(static_cast<int>(merged_.size()));
    return static_cast<int>(merged_.size()) - 1;
  }
  int root(int n) const {
    while (merged_[static_cast<std::size_t>(n)] != n) n = merged_[static_cast<std::size_t>(n)];
    return n;
  }
  const Vec3& point(int n) const { return m_.frame.nodes[static_cast<std::size_t>(root(n))].point; }

  int node_at(std::size_t member, double s) {
    const Member& mem = a_.members[member];
    s = std::clamp(s, mem.s_start, mem.s_end);
    for (const Stop& q : stops_[member]) {
      if (std::abs(q.s - s) < kSamePlace) return q.node;
    }
    stops_[member].push_back({s, new_node(mem.tube.centreline.point(s))});
    return stops_[member].back().node;
  }
  void tie_end(std::size_t member, double s, int node) {
    for (const Stop& q : stops_[member]) {
      if (std::abs(q.s - s) < kSamePlace) {
        merged_[static_cast<std::size_t>(root(q.node))] = root(node);
        return;
      }
    }
    stops_[member].push_back({s, node});
  }

  std::optional<Problem> add_joint(const bike::Joint& joint) {
    const auto from = find(a_.members, joint.member);
    const auto onto = find(a_.members, joint.onto);
    const auto plate = find(a_.plates, joint.onto);
    if (!from || (!onto && !plate)) {
      return Problem{"joint-unknown",
                     {"", 0, 0, joint.member.name},
                     fmt::format("The joint of the {} onto the {} names a part that is not there.",
                                 spoken(joint.member), spoken(joint.onto)),
                     "Name members and plates of this assembly."};
    }
    const Member& mem = a_.members[*from];
    if (joint.kind == bike::JointKind::bored) {
      add_bored(*from, joint, plate);
      return std::nullopt;
    }
    const double s = joint.end == End::end ? mem.s_end : mem.s_start;
    const Vec3 p = mem.tube.centreline.point(s);
    if (plate) {
      const int node = new_node(p);
      plate_nodes_[*plate].push_back(node);
      tie_end(*from, s, node);
      m_.zones.push_back({*from, s, s, true});
      return std::nullopt;
    }
    const Member& target = a_.members[*onto];
    const double at = target.tube.centreline.nearest(p);
    tie_end(*from, s, node_at(*onto, at));
    const double edge = edge_of(mem, joint.end, target);
    m_.zones.push_back({*from, std::min(s, edge), std::max(s, edge), true});
    const double cosine = std::abs(mem.tube.centreline.at(edge).t.dot(target.tube.centreline.at(at).t));
    const double reach = mem.tube.profile.max_radius() / std::sqrt(std::max(0.1, 1 - cosine * cosine));
    m_.zones.push_back({*onto, at - reach, at + reach, false});
    return std::nullopt;
  }

  /// A member that stands in a plate's bore is held there all round, over the plate's thickness.
  void add_bored(std::size_t member, const bike::Joint& joint, std::optional<std::size_t> plate) {
    base::check(plate.has_value(), "a bored joint is in a plate");
    plate_nodes_[*plate].push_back(node_at(member, joint.s));
    const bike::Bore* bore = bike::find_bore(a_.plates[*plate], joint.member);
    const double half = (bore && bore->depth > 0 ? bore->depth : a_.plates[*plate].thickness) / 2;
    m_.zones.push_back({member, joint.s - half, joint.s + half, false});
  }

  /// Where the centreline comes out of the target's outer surface.
  static double edge_of(const Member& mem, End end, const Member& target) {
    const shape::TubeReader reader(target.tube);
    const double s0 = end == End::end ? mem.s_end : mem.s_start;
    const double sign = end == End::end ? -1 : 1, length = mem.s_end - mem.s_start;
    const auto outside = [&](double d) {
      return shape::level(reader, mem.tube.centreline.point(s0 + sign * d)).value > 0;
    };
    double lo = 0, hi = 0;
    while (!outside(hi) && hi < length) lo = hi, hi += 2;
    if (hi >= length) return s0;
    while (hi - lo > 1e-9) (outside((lo + hi) / 2) ? hi : lo) = (lo + hi) / 2;
    return s0 + sign * hi;
  }

  std::optional<Problem> hold() {
    const auto held = find(a_.members, o_.bearings.member);
    if (!held) {
      return Problem{"not-held",
                     {"", 0, 0, o_.bearings.member.name},
                     fmt::format("Nothing is held: there is no {}.", spoken(o_.bearings.member)),
                     "Name the member that runs in the bearings."};
    }
    const Member& mem = a_.members[*held];
    const auto at_height = [&](double z) { return mem.tube.centreline.nearest(o_.X_AF * Vec3(0, 0, z)); };
    const double low = at_height(o_.bearings.lower);
    const double high = std::min(at_height(o_.bearings.upper), mem.s_end);
    if (!(low >= mem.s_start - kSamePlace) || !(high > low + 1)) {
      return Problem{"not-held",
                     {"", 0, 0, mem.part.name},
                     base::say("The bearings at {:.1f} and {:.1f} mm don't both stand on the {}.",
                               o_.bearings.lower, o_.bearings.upper, spoken(mem.part)),
                     "Both bearings must be within its length, the upper one above the lower one."};
    }
    const int lower = node_at(*held, low), upper = node_at(*held, high);
    const shape::Frame f = mem.tube.centreline.at(low);
    const auto along = [](const Vec3& d) { return (Vec6() << d, Vec3::Zero()).finished(); };
    holds_.push_back({lower, {along(f.t), along(f.m), along(f.b)}});
    holds_.push_back({upper, {along(f.m), along(f.b), (Vec6() << Vec3::Zero(), f.t).finished()}});
    return std::nullopt;
  }

  /// The nearest point of the plate's plane on the axle's line, where the plate stands all round it: a slot
  /// may be open to one side.
  std::optional<double> axle_through(const Plate& plate) const {
    const double slope = plate.normal.dot(y_);
    if (std::abs(slope) < 0.1) return std::nullopt;
    const double y = plate.normal.dot(plate.outline.front() - a_.axle) / slope;
    const Vec3 p = a_.axle + y * y_;
    const Vec3 e = plate.normal.unitOrthogonal(), f = plate.normal.cross(e);
    std::vector<double> ways;
    for (const Vec3& v : plate.outline) ways.push_back(std::atan2((v - p).dot(f), (v - p).dot(e)));
    std::sort(ways.begin(), ways.end());
    double widest = ways.front() + 2 * base::kPi - ways.back();
    for (std::size_t i = 1; i < ways.size(); ++i) widest = std::max(widest, ways[i] - ways[i - 1]);
    return widest < base::kPi ? std::optional(y) : std::nullopt;
  }

  std::optional<Problem> add_axle_seats() {
    std::array<std::optional<AxleSeat>, 2> seats;  // right, left
    const auto offer = [&](double y, const auto& make) {
      auto& seat = seats[y > 0 ? 1 : 0];
      if (!seat) seat = AxleSeat{y, make()};
    };
    for (std::size_t i = 0; i < a_.plates.size(); ++i) {
      if (const auto y = axle_through(a_.plates[i])) {
        offer(*y, [&] {
          const int node = new_node(a_.axle + *y * y_);
          plate_nodes_[i].insert(plate_nodes_[i].begin(), node);
          return node;
        });
      }
    }
    const auto off_line = [&](const Vec3& p) -> double { return (p - a_.axle).cross(y_).norm(); };
    for (std::size_t i = 0; i < a_.members.size(); ++i) {
      const Member& mem = a_.members[i];
      const Vec3 p = mem.tube.centreline.point(mem.s_start), q = mem.tube.centreline.point(mem.s_end);
      if (off_line(p) > kOnAxleLine || off_line(q) > kOnAxleLine) continue;
      const double yp = (p - a_.axle).dot(y_), yq = (q - a_.axle).dot(y_);
      const bool start = std::abs(yp) < std::abs(yq);
      offer(start ? yp : yq, [&] { return node_at(i, start ? mem.s_start : mem.s_end); });
    }
    for (std::size_t i = 0; i < a_.members.size(); ++i) {  // a blade whose own lower end takes the axle
      const Member& mem = a_.members[i];
      const Vec3 p = mem.tube.centreline.point(mem.s_start);
      if (off_line(p) > mem.tube.profile.max_radius()) continue;
      offer((p - a_.axle).dot(y_), [&] { return node_at(i, mem.s_start); });
    }
    if (!seats[0] && !seats[1]) {
      return Problem{
          "axle-not-reached",
          {},
          "No dropout, insert, block or blade end stands on the axle's line, so nothing carries the axle.",
          "The lower ends must reach the axle."};
    }
    for (const auto& seat : seats) {
      if (seat) seats_.push_back(*seat);
    }
    m_.axle = new_node(a_.axle);
    for (const AxleSeat& seat : seats_) {  // a lower end in the very middle: no bar between
      if (std::abs(seat.y) < kSamePlace) merged_[static_cast<std::size_t>(m_.axle)] = root(seat.node);
    }
    return std::nullopt;
  }

  std::optional<Problem> add_mount() {
    if (!o_.brake) return std::nullopt;
    const Brake& brake = *o_.brake;
    const auto on = find(a_.members, brake.member);
    if (!on) {
      return Problem{"load-place-unknown",
                     {"", 0, 0, brake.member.name},
                     fmt::format("The brake's mount can't stand on a {}: there is no such member.",
                                 spoken(brake.member)),
                     "Name the member that carries the mount."};
    }
    const Member& mem = a_.members[*on];
    const double s = std::clamp(mem.tube.centreline.nearest(a_.axle) + brake.along, mem.s_start, mem.s_end);
    std::vector<BrakeFoot> feet = brake.feet;
    if (feet.empty()) feet = {{s - brake.pitch / 2}, {s + brake.pitch / 2}};
    for (const BrakeFoot& foot : feet) {
      feet_.push_back(node_at(*on, foot.s));
      m_.zones.push_back({*on, foot.s - foot.half, foot.s + foot.half, false});
    }
    const shape::Frame f = mem.tube.centreline.at(s);
    const Vec3 up = (f.t - f.t.dot(y_) * y_).normalized();
    const Vec3 rear = up.cross(y_).normalized() * -1;
    const double side = (f.c - a_.axle).dot(y_) > 0 ? 1 : -1;
    const Vec3 out = (brake.along * up + brake.behind * rear).normalized();
    m_.pad = a_.axle + brake.pad_radius * out + side * brake.rotor_offset * y_;
    m_.pad_pull = y_.cross(out);  // a wheel that rolls forward turns about +y
    m_.mount = new_node(m_.pad);
    return std::nullopt;
  }

  std::optional<Problem> add_own_loads() {
    for (const LoadCase& load : o_.own) {
      if (load.member.empty()) {
        m_.own.push_back(m_.axle);
        continue;
      }
      const auto on = find(a_.members, load.member);
      if (!on) {
        return Problem{"load-place-unknown",
                       {"", 0, 0, load.member.name},
                       fmt::format("The load \"{}\" can't act on a {}: there is no such member.", load.name,
                                   spoken(load.member)),
                       "Name a member of this assembly, or leave it out for the axle."};
      }
      m_.own.push_back(node_at(*on, load.s));
    }
    return std::nullopt;
  }

  void add_element(int from, int to, const Flexibility& flexibility) {
    m_.frame.elements.push_back(beam_element(root(from), root(to), point(from), point(to), flexibility));
  }

  void add_members() {
    for (std::size_t i = 0; i < a_.members.size(); ++i) {
      auto& stops = stops_[i];
      std::sort(stops.begin(), stops.end(), [](const Stop& p, const Stop& q) { return p.s < q.s; });
      for (std::size_t k = 0; k + 1 < stops.size(); ++k) add_stretch(i, stops[k], stops[k + 1]);
    }
  }

  void add_stretch(std::size_t member, const Stop& from, const Stop& to) {
    const Member& mem = a_.members[member];
    const int n =
        o_.longest_element > 0 ? static_cast<int>(std::ceil((to.s - from.s) / o_.longest_element - 1e-6)) : 1;
    Stop last = from;
    for (int k = 1; k <= n; ++k) {
      Stop next = to;
      if (k < n) {
        next.s = from.s + (to.s - from.s) * k / n;
        next.node = new_node(mem.tube.centreline.point(next.s));
      }
      m_.spans.push_back({member, last.s, next.s, m_.frame.elements.size()});
      add_element(last.node, next.node,
                  flexibility(mem, seen(m_.zones, mem, member), last.s, next.s, point(next.node)));
      last = next;
    }
  }

  Flexibility flexibility(const Member& mem, const Seen& range, double s0, double s1, const Vec3& end) const {
    const bike::Material& material = material_of(o_, mem.part);
    std::vector<double> cuts{s0, s1};
    const auto cut = [&](double s) {
      if (s > s0 + kSamePlace && s < s1 - kSamePlace) cuts.push_back(s);
    };
    for (const shape::Station& q : mem.tube.profile.stations()) cut(q.s);
    for (const shape::Piece& q : mem.tube.centreline.pieces()) cut(q.s0);
    cut(range.from), cut(range.to);
    std::sort(cuts.begin(), cuts.end());
    Flexibility out(end);
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
      const int n = std::max(1, static_cast<int>(std::ceil((cuts[i + 1] - cuts[i]) / kLongestPanel)));
      const double panel = (cuts[i + 1] - cuts[i]) / n;
      for (int k = 0; k < n; ++k) {
        for (const Gauss& g : kGauss) {
          const double s = cuts[i] + panel * (k + g.x);
          const shape::Frame f = mem.tube.centreline.at(s);
          const auto section = beam_section(mem.tube.profile, s);
          const BendEffect bend = bend_at(o_, mem, range, f, *section, s);
          out.add(beam_slice(f, *section, material.E, material.G, bend), panel * g.weight);
        }
      }
    }
    return out;
  }

  /// The plate's width across the line from p to q at a point of it, both ways.
  static double width_at(const Plate& plate, const Vec3& p, const Vec3& along, const Vec3& across) {
    double lo = 0, hi = 0;
    for (std::size_t i = 0, j = plate.outline.size() - 1; i < plate.outline.size(); j = i++) {
      const Vec3 c = plate.outline[j] - p, d = plate.outline[i] - p;
      const double tc = c.dot(along), td = d.dot(along);
      if ((tc > 0) == (td > 0)) continue;
      const double w = c.dot(across) + (d.dot(across) - c.dot(across)) * tc / (tc - td);
      lo = std::min(lo, w), hi = std::max(hi, w);
    }
    return hi - lo;
  }

  void add_plates() {
    for (std::size_t i = 0; i < a_.plates.size(); ++i) {
      const Plate& plate = a_.plates[i];
      const auto& nodes = plate_nodes_[i];
      for (std::size_t k = 1; k < nodes.size(); ++k) add_plate_beam(plate, nodes[0], nodes[k]);
    }
  }
  void add_plate_beam(const Plate& plate, int from, int to) {
    const bike::Material& material = material_of(o_, plate.part);
    const Vec3 p = point(from), q = point(to);
    Vec3 along = q - p;
    along -= along.dot(plate.normal) * plate.normal;
    const double length = along.norm();
    if (length < kSamePlace) {
      merged_[static_cast<std::size_t>(root(from))] = root(to);
      return;
    }
    along /= length;
    const Vec3 across = plate.normal.cross(along);
    Flexibility out(q);
    for (const Gauss& g : kGauss) {
      const Vec3 c = p + length * g.x * along;
      // the axle's slot is full of axle: not taken out
      const double width = std::max(plate.thickness, width_at(plate, c, along, across));
      const shape::Frame f{c, along, across, along.cross(across), Vec3::Zero()};
      out.add(beam_slice(f, flat_bar(width, plate.thickness), material.E, material.G), length * g.weight);
    }
    add_element(from, to, out);
  }

  void add_axle() {
    BeamSection bar = round_bar(o_.axle.diameter, o_.axle.bore);
    if (!o_.axle.clamped) bar.J *= 1e-6;  // turns in the lower ends without holding them
    for (const AxleSeat& seat : seats_) {
      if (std::abs(seat.y) < kSamePlace) continue;
      const Vec3 q = a_.axle + seat.y * y_;
      const Vec3 t = seat.y > 0 ? y_ : Vec3(-y_), m = t.unitOrthogonal();
      Flexibility out(point(seat.node));
      for (const Gauss& g : kGauss) {
        const shape::Frame f{a_.axle + g.x * (q - a_.axle), t, m, t.cross(m), Vec3::Zero()};
        out.add(beam_slice(f, bar, o_.axle.E, o_.axle.G), std::abs(seat.y) * g.weight);
      }
      add_element(m_.axle, seat.node, out);
    }
  }

  /// Two thick bars from the pads to the feet: stiff beside any blade.
  void add_calliper() {
    constexpr double kThick = 30;  // mm
    const BeamSection bar = round_bar(kThick, 0);
    for (const int foot : feet_) {
      const Vec3 p = point(m_.mount), q = point(foot);
      const double length = (q - p).norm();
      const Vec3 t = (q - p) / length, m = t.unitOrthogonal();
      Flexibility out(q);
      for (const Gauss& g : kGauss) {
        const shape::Frame f{p + g.x * (q - p), t, m, t.cross(m), Vec3::Zero()};
        out.add(beam_slice(f, bar, o_.axle.E, o_.axle.G), length * g.weight);
      }
      add_element(m_.mount, foot, out);
    }
  }

  /// Merged nodes fall away and the rest are numbered anew.
  void settle() {
    std::vector<int> number(merged_.size(), -1);
    std::vector<BeamNode> kept;
    const auto of = [&](int n) { return number[static_cast<std::size_t>(root(n))]; };
    for (int i = 0; i < static_cast<int>(merged_.size()); ++i) {
      if (root(i) != i) continue;
      const bool used = std::any_of(m_.frame.elements.begin(), m_.frame.elements.end(),
                                    [&](const BeamElement& e) { return root(e.a) == i || root(e.b) == i; });
      if (!used) continue;
      number[static_cast<std::size_t>(i)] = static_cast<int>(kept.size());
      kept.push_back(m_.frame.nodes[static_cast<std::size_t>(i)]);
    }
    for (BeamElement& e : m_.frame.elements) e.a = of(e.a), e.b = of(e.b);
    m_.frame.nodes = std::move(kept);
    for (const auto& [node, directions] : holds_) {
      if (of(node) >= 0) m_.frame.nodes[static_cast<std::size_t>(of(node))].held = directions;
    }
    m_.axle = of(m_.axle);
    if (m_.mount >= 0) m_.mount = of(m_.mount);
    for (int& n : m_.own) n = of(n);
  }

  std::optional<Problem> find_loose() const {
    const std::vector<int> loose = loose_nodes(m_.frame);
    const bool lost = m_.axle < 0 || (o_.brake && m_.mount < 0) ||
                      std::any_of(m_.own.begin(), m_.own.end(), [](int n) { return n < 0; });
    if (loose.empty() && !lost) return std::nullopt;
    bike::Part part;
    for (const Span& span : m_.spans) {
      const BeamElement& e = m_.frame.elements[span.element];
      if (std::find(loose.begin(), loose.end(), e.a) != loose.end()) part = a_.members[span.member].part;
      if (!part.empty()) break;
    }
    const std::string name = part.empty() ? "a part that carries a load" : "the " + spoken(part);
    return Problem{
        "member-unsupported",
        {"", 0, 0, part.name},
        fmt::format("Nothing holds {}: no joint ties it to the {}.", name, spoken(o_.bearings.member)),
        "Give it a joint onto a part that is held."};
  }

  const Assembly& a_;
  const StrengthOptions& o_;
  StrengthModel m_;
  Vec3 y_;
  std::vector<std::vector<Stop>> stops_;
  std::vector<std::vector<int>> plate_nodes_;  // the axle's first, where it has one
  std::vector<int> merged_;
  std::vector<AxleSeat> seats_;
  std::vector<int> feet_;  // of the brake's mount
  std::vector<std::pair<int, std::vector<Vec6>>> holds_;
};

}  // namespace

Result<StrengthModel> strength_model(const Assembly& assembly, const StrengthOptions& options) {
  return Builder(assembly, options).build();
}

std::string what_is_unknown(const Assembly& assembly) {
  for (const Member& m : assembly.members) {
    for (const shape::Station& q : m.tube.profile.stations()) {
      if (!(q.wall > 0)) return fmt::format("the wall of the {} is not given", spoken(m.part));
    }
  }
  for (const Plate& p : assembly.plates) {
    if (!(p.thickness > 0) || p.outline.size() < 3)
      return fmt::format("the thickness of the {} is not given", spoken(p.part));
  }
  return {};
}

const bike::Material& material_of(const StrengthOptions& options, const bike::Part& part) {
  for (const auto& [other, material] : options.other_materials) {
    if (other == part) return material;
  }
  return options.material;
}

Seen seen(const std::vector<JointZone>& zones, const Member& member, std::size_t index) {
  Seen out{member.s_start, member.s_end, false, false};
  for (const JointZone& z : zones) {
    if (z.member != index || !z.own_end) continue;
    const bool at_start = (z.from + z.to) / 2 < (member.s_start + member.s_end) / 2;
    if (at_start) out.from = std::max(out.from, z.to), out.joined_from = true;
    if (!at_start) out.to = std::min(out.to, z.from), out.joined_to = true;
  }
  return out;
}

BendEffect bend_at(const StrengthOptions& options, const Member& member, const Seen& range,
                   const shape::Frame& frame, const BeamSection& section, double s) {
  if (!options.bend_flexibility || frame.k.isZero(0) || s < range.from || s > range.to) return {};
  // arcs that follow each other are one bend
  double start = -INFINITY, end = INFINITY;
  for (const shape::Piece& q : member.tube.centreline.pieces()) {
    if (q.curvature > 0) continue;
    if (q.s0 + q.length <= s) start = q.s0 + q.length;
    if (q.s0 >= s) end = std::min(end, q.s0);
  }
  BendPlace place;
  const double from = std::max({start, range.from, member.s_start}),
               to = std::min({end, range.to, member.s_end});
  place.to_start = s - from, place.to_end = to - s;
  if (range.joined_from) place.gap_start = from - range.from;
  if (range.joined_to) place.gap_end = range.to - to;
  return bend_effect(frame, section, place);
}

}  // namespace halfround::study
