#include "study/feature_rules.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/number.h"
#include "base/plain.h"
#include "base/say.h"
#include "study/slot.h"

namespace halfround::study {

using base::Problem;
using base::Result;

namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();

double from_mitres(const bike::Part& member, const Vec3& p, const std::vector<Mitre>& mitres) {
  double least = kInfinite;
  for (const Mitre& m : mitres) {
    if (m.member != member && m.onto != member) continue;
    for (std::size_t i = 0; i < m.outer.size(); ++i) {
      const EdgePoint &a = m.outer[i], &b = m.outer[(i + 1) % m.outer.size()];
      const Vec3 d = b.point - a.point;
      const double along =
          d.squaredNorm() > 0 ? std::clamp((p - a.point).dot(d) / d.squaredNorm(), 0.0, 1.0) : 0;
      least = std::min(least, (a.point + along * d - p).norm());
    }
  }
  return least;
}

/// How far along the member a joint that is no mitre reaches.
std::pair<double, double> stretch_of(const bike::Assembly& assembly, const bike::Member& member,
                                     const bike::Joint& j) {
  const double end = j.end == bike::End::end ? member.s_end : member.s_start;
  const bike::Plate* plate = bike::find_plate(assembly, j.onto);
  if (plate && j.kind == bike::JointKind::bored) {
    const bike::Bore* bore = bike::find_bore(*plate, member.part);
    const double half = (bore ? bike::bore_length(*plate, *bore) : plate->thickness) / 2;
    return {j.s - half, j.s + half};
  }
  const double deep = plate && j.kind == bike::JointKind::slotted ? slot_of(member, j.end, *plate).depth : 0;
  return j.end == bike::End::end ? std::pair(end - deep, end) : std::pair(end, end + deep);
}

bool is_blade(const bike::Part& member) {
  return member.kind == bike::PartKind::blade;
}

/// The clock angle that points the way the rule wants, at s, to the whole degree.
double clock_at(const bike::Member& m, double s, FeatureRule::Side side) {
  const double out = m.part.side == bike::Side::left ? 1 : -1;
  const Vec3 way = side == FeatureRule::Side::rearward  ? Vec3(-1, 0, 0)
                   : side == FeatureRule::Side::outward ? Vec3(0, out, 0)
                                                        : Vec3(0, -out, 0);
  const shape::Frame f = m.tube.centreline.at(s);
  const double u = base::to_deg(std::atan2(way.dot(f.b), way.dot(f.m)));
  return base::to_rad(std::round(u < -0.5 ? u + 360 : u));
}

/// Every whole millimetre of a member, and whether a foot may stand there.
class Places {
 public:
  Places(const bike::Assembly& assembly, const std::vector<Mitre>& mitres, const FeatureWish& wish,
         const std::vector<FeatureWish>& taken, const FeatureOptions& options, const FeatureRule& rule)
      : assembly_(assembly),
        mitres_(mitres),
        wish_(wish),
        taken_(taken),
        options_(options),
        rule_(rule),
        member_(*bike::find_member(assembly, wish.member)) {
    size_ = wish.size > 0 ? wish.size : rule.size;
    for (double s = std::ceil(member_.s_start); s <= member_.s_end; s += 1) {
      s_.push_back(s);
      free_.push_back(is_free(s));
    }
  }
  [[nodiscard]] double size() const { return size_; }
  [[nodiscard]] FeatureWish at(double s) const {
    return {wish_.kind, wish_.member, s, wish_.u ? *wish_.u : clock_at(member_, s, rule_.side), size_, true};
  }
  [[nodiscard]] std::optional<double> lowest() const {
    return first(s_.size(), [](std::size_t i) { return i; });
  }
  [[nodiscard]] std::optional<double> highest() const {
    return first(s_.size(), [n = s_.size()](std::size_t i) { return n - 1 - i; });
  }
  /// The lower one of a pair `pitch` apart (0: the only one) whose middle comes nearest to the member's.
  [[nodiscard]] std::optional<double> nearest_middle(double pitch) const {
    const double middle = (member_.s_start + member_.s_end - pitch) / 2;
    std::optional<double> best;
    const auto step = static_cast<std::size_t>(std::lround(pitch));
    for (std::size_t i = 0; i + step < s_.size(); ++i) {
      if (!free_[i] || !free_[i + step]) continue;
      if (!best || std::abs(s_[i] - middle) < std::abs(*best - middle)) best = s_[i];
    }
    return best;
  }
  /// The longest run of free places.
  [[nodiscard]] std::optional<std::pair<double, double>> longest() const {
    std::optional<std::pair<double, double>> out;
    for (std::size_t i = 0; i < s_.size(); ++i) {
      if (!free_[i]) continue;
      std::size_t k = i;
      while (k + 1 < s_.size() && free_[k + 1]) ++k;
      if (!out || s_[k] - s_[i] > out->second - out->first) out = {s_[i], s_[k]};
      i = k;
    }
    return out;
  }

 private:
  template <class Order>
  [[nodiscard]] std::optional<double> first(std::size_t n, Order order) const {
    for (std::size_t i = 0; i < n; ++i)
      if (free_[order(i)]) return s_[order(i)];
    return std::nullopt;
  }
  [[nodiscard]] bool in_bend(double s) const {
    for (const shape::Piece& p : member_.tube.centreline.pieces()) {
      const bool bent = std::abs(p.curvature) * member_.tube.profile.max_radius() > kStraightEnough;
      if (bent && s + size_ / 2 > p.s0 && s - size_ / 2 < p.s0 + p.length) return true;
    }
    return false;
  }
  [[nodiscard]] Vec3 point(const FeatureWish& w) const {
    const bike::Member* m = bike::find_member(assembly_, w.member);
    return shape::surface(m->tube, base::unit_at(w.u.value_or(0)), w.s.value_or(0)).p;
  }
  [[nodiscard]] bool is_free(double s) const {
    if (in_bend(s)) return false;
    const FeatureWish here = at(s);
    const Vec3 p = point(here);
    if (from_joints(assembly_, member_, s, p, mitres_) - size_ / 2 < options_.neck) return false;
    for (const FeatureWish& t : taken_) {
      if (t.member != wish_.member || !t.s) continue;
      if ((point(t) - p).norm() < (t.size + size_) / 2 + kBetweenParts) return false;
    }
    if (!options_.mount || options_.mount->blade != wish_.member) return true;
    return std::ranges::none_of(options_.mount->feet, [&](const MountFoot& f) {
      return f.meets && (f.foot - p).norm() - size_ / 2 < options_.neck;
    });
  }
  static constexpr double kStraightEnough = 0.01;  // a blade of 24 mm bent to 1.2 m
  const bike::Assembly& assembly_;
  const std::vector<Mitre>& mitres_;
  const FeatureWish& wish_;
  const std::vector<FeatureWish>& taken_;
  const FeatureOptions& options_;
  const FeatureRule& rule_;
  const bike::Member& member_;
  double size_ = 0;
  std::vector<double> s_;
  std::vector<bool> free_;
};

Problem problem(std::string code, std::string what, std::string fits) {
  return {std::move(code), {"", 0, 0, "features"}, std::move(what), std::move(fits)};
}

Problem no_room(const FeatureWish& wish, const FeatureRule& rule, const Places& places, double neck) {
  const auto run = places.longest();
  std::string what = base::plainly("There is no room for a {} of {} mm on the {}", name_of(wish.kind),
                                   places.size(), bike::spoken(wish.member));
  if (rule.pitch > 0) what += base::plainly(", two of them {} mm apart", rule.pitch);
  what +=
      base::plainly(": straight, {} mm clear of every joint and {} mm of other parts ", neck, kBetweenParts);
  what += run ? base::say("its middle can only stand from {:.0f} to {:.0f} mm.",
                          base::reachable(run->first, base::Fits::from, 0),
                          base::reachable(run->second, base::Fits::up_to, 0))
              : std::string("there is no place at all.");
  return problem(
      "feature-no-room", std::move(what),
      "Give its place by hand (at), another side (clock), a smaller size, or take another part away.");
}

}  // namespace

std::optional<FeatureRule> rule_of(FeatureKind kind) {
  using Side = FeatureRule::Side;
  using Where = FeatureRule::Where;
  constexpr const char* kNeutral =
      "on the wheel's side, which fore-and-aft bending stretches least; in low and out high";
  switch (kind) {
    case FeatureKind::wire_passage:
      return FeatureRule{Side::inward, Where::low_and_high, 4, 0, kNeutral};
    case FeatureKind::hose_passage:
      return FeatureRule{Side::inward, Where::low_and_high, 7, 0, kNeutral};
    case FeatureKind::mudguard_eye:
      return FeatureRule{Side::rearward, Where::low, 10, 0,
                         "as low as it may stand, where the stays come from"};
    case FeatureKind::rack_boss:
      return FeatureRule{Side::outward, Where::middle, 11, 0, "outside, nearest to the blade's middle"};
    case FeatureKind::cage_bosses:
      return FeatureRule{Side::outward, Where::middle, 11, kCagePitch,
                         "outside, the pair nearest to the blade's middle"};
    case FeatureKind::axle_slot:
    case FeatureKind::pinch_lug:
    case FeatureKind::dropout_slot:
    case FeatureKind::vent:
    case FeatureKind::guide:
    case FeatureKind::boss:
    case FeatureKind::brake_mount:
      break;
  }
  return std::nullopt;
}

double from_joints(const bike::Assembly& assembly, const bike::Member& member, double s, const Vec3& p,
                   const std::vector<Mitre>& mitres) {
  double least = from_mitres(member.part, p, mitres);
  for (const bike::Joint& j : assembly.joints) {
    if (j.member != member.part || j.kind == bike::JointKind::mitred) continue;
    const auto [from, to] = stretch_of(assembly, member, j);
    least = std::min(least, std::max({from - s, s - to, 0.0}));
  }
  return least;
}

Result<std::vector<FeatureWish>> placed_by_rule(const bike::Assembly& assembly,
                                                const std::vector<Mitre>& mitres, const FeatureWish& wish,
                                                const std::vector<FeatureWish>& taken,
                                                const FeatureOptions& options) {
  const auto rule = rule_of(wish.kind);
  if (wish.s) {
    FeatureWish out = wish;
    if (!out.u && rule && is_blade(wish.member) && bike::find_member(assembly, wish.member))
      out.u = clock_at(*bike::find_member(assembly, wish.member), *wish.s, rule->side);
    if (out.size == 0 && rule) out.size = rule->size;
    return std::vector{out};
  }
  if (!rule) {
    return tl::unexpected(
        problem("feature-place-missing",
                fmt::format("A {} on the {} has no place.", name_of(wish.kind), bike::spoken(wish.member)),
                "Give the distance from the lower end of the stock (at): no rule places it."));
  }
  if (!is_blade(wish.member) || !bike::find_member(assembly, wish.member)) {
    return tl::unexpected(problem(
        "feature-rule-member",
        fmt::format("A {} on the {} is not placed by rule.", name_of(wish.kind), bike::spoken(wish.member)),
        "Rules know blades only; give its place by hand (at)."));
  }
  const Places places(assembly, mitres, wish, taken, options, *rule);
  std::vector<std::optional<double>> found;
  switch (rule->where) {
    case FeatureRule::Where::low:
      found = {places.lowest()};
      break;
    case FeatureRule::Where::low_and_high:
      found = {places.lowest(), places.highest()};
      break;
    case FeatureRule::Where::middle:
      found = {places.nearest_middle(rule->pitch)};
      if (rule->pitch > 0 && found[0]) found.emplace_back(*found[0] + rule->pitch);
      break;
  }
  if (!found[0]) return tl::unexpected(no_room(wish, *rule, places, options.neck));
  // in low and out high wants two holes
  if (rule->where == FeatureRule::Where::low_and_high &&
      *found[1] - *found[0] < places.size() + kBetweenParts)
    return tl::unexpected(no_room(wish, *rule, places, options.neck));
  std::vector<FeatureWish> out;
  for (const auto& s : found) out.push_back(places.at(*s));
  return out;
}

}  // namespace halfround::study
