#include "drawing/stress_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/number.h"
#include "drawing/view.h"
#include "paper/clip.h"
#include "paper/draughting.h"

namespace halfround::drawing {
namespace {

using base::format_number;

constexpr double kWhole = 5;      // width of the band where all of the strength is used up, mm
constexpr double kMost = 1.4;     // of kWhole: wider bands are cut there and hatched all the same
constexpr double kAside = 1.0;    // between a member's side and its band, mm
constexpr double kShortest = 12;  // of a member that gets a band, mm
constexpr double kLetters = 2.5;

/// Where a band starts at s, and which way it grows.
struct Foot {
  Vec2 at, out;
};

struct Lying {
  View view;
  double scale = 1;
  Vec2 shift = Vec2::Zero();
  double whole = kWhole;  ///< width of a band where all of the strength is used up, mm
  [[nodiscard]] Vec2 operator()(const Vec3& p) const { return shift + scale * view(p); }
};

Foot foot_of(const bike::Member& m, double s, const Lying& lying) {
  const shape::Frame f = m.tube.centreline.at(s);
  const Vec2 along = Vec2(f.t.dot(lying.view.right), f.t.dot(lying.view.up)).normalized();
  Vec2 out(-along.y(), along.x());
  // away from the steering axis; on it upward or to the right
  Vec2 away = lying.view(f.c) - lying.view(Vec3(0, 0, f.c.z()));
  if (m.part.kind == bike::PartKind::steerer) away = {0.4, 1};
  if (out.dot(away) < 0) out = -out;
  const double half = 0.5 * std::max(m.tube.profile.width(s), m.tube.profile.depth(s));
  return {lying(f.c) + (lying.scale * half + kAside) * out, out};
}

/// The strip between two shares of each place.
std::vector<Vec2> strip(const std::vector<Foot>& feet, const std::vector<Utilisation>& use, double whole,
                        double from, double to) {
  std::vector<Vec2> out, back;
  for (std::size_t i = 0; i < feet.size(); ++i) {
    const double share = std::clamp(use[i].share, from, to);
    out.push_back(feet[i].at + whole * from * feet[i].out);
    back.push_back(feet[i].at + whole * share * feet[i].out);
  }
  out.insert(out.end(), back.rbegin(), back.rend());
  return out;
}

void put_band(Group& g, const bike::Member& m, const std::vector<Utilisation>& use, const Lying& lying) {
  if (use.size() < 2 || lying.scale * (use.back().s - use.front().s) < kShortest) return;
  std::vector<Foot> feet;
  std::vector<Vec2> foot, edge, whole;
  bool over = false;
  for (const Utilisation& q : use) {
    const Foot f = foot_of(m, q.s, lying);
    feet.push_back(f);
    foot.push_back(f.at);
    edge.push_back(f.at + lying.whole * std::min(q.share, kMost) * f.out);
    whole.push_back(f.at + lying.whole * f.out);
    over = over || q.share > 1;
  }
  g.items.emplace_back(
      Area{.rings = {strip(feet, use, lying.whole, 0, 1)}, .fill = Area::Fill::tone, .tone = 0.25});
  if (over) g.items.emplace_back(Area{.rings = {strip(feet, use, lying.whole, 1, kMost)}, .spacing = 0.7});
  g.items.emplace_back(Path{.points = foot, .stroke = {.weight = Weight::thin}});
  g.items.emplace_back(Path{.points = edge, .stroke = {.weight = Weight::medium}});
  g.items.emplace_back(Path{.points = whole, .stroke = {Weight::thin, Dash::chain, Ink::graphite}});
}

void put_outline(Items& out, const std::vector<Trimmed>& parts, const bike::Assembly& assembly,
                 const View& view) {
  for (const Trimmed& part : parts) {
    for (Side& side : sides(part, view, parts))
      if (!side.hidden) out.emplace_back(Path{.points = std::move(side.points), .stroke = {}});
    if (!part.at_start)
      out.emplace_back(
          Path{.points = ring(part.member->tube, part.member->s_start, view), .closed = true, .stroke = {}});
    if (!part.at_end)
      out.emplace_back(
          Path{.points = ring(part.member->tube, part.member->s_end, view), .closed = true, .stroke = {}});
  }
  for (const bike::Plate& p : assembly.plates) {
    Path outline{.points = {}, .closed = true, .stroke = {.weight = Weight::thin}};
    for (const Vec3& v : p.outline) outline.points.push_back(view(v));
    out.emplace_back(std::move(outline));
  }
}

std::string side_in_words(const bike::Member& m, const study::WeakPlace& w) {
  const shape::Frame f = m.tube.centreline.at(w.s);
  const Vec3 d = w.point - f.c;
  if (std::abs(d.x()) >= std::abs(d.y())) return d.x() > 0 ? "front" : "rear";
  return d.y() > 0 ? "left side" : "right side";
}

/// A margin, not a share: 1 is the least that holds.
std::string margin_words(const Weakest& w) {
  return fmt::format("weakest: margin {} ({})", format_number(w.place.margin, 2),
                     w.fatigue ? "fatigue" : "yield");
}

/// in  right  where the drawing ends, mm
void put_weakest(Group& g, const bike::Assembly& assembly, const Weakest& w, const Lying& lying,
                 const Box& box, double right) {
  const bike::Member* m = bike::find_member(assembly, w.place.member);
  if (!m) return;
  const Vec2 at = lying(w.place.point);
  const std::string first = margin_words(w);
  const std::string place =
      fmt::format("{} at {} mm,", side_in_words(*m, w.place), format_number(w.place.s, 0));
  // past the drawing where it is short, else between the blades, where there is room. The
  // leader ends at the edge of their box, so that it crosses none of them
  constexpr double kBeside = 4, kLine = 4.8;
  const double wide = std::max(
      {text_width(first, kLetters, true), text_width(place, kLetters), text_width(w.load, kLetters)});
  const bool beside = right + kBeside + wide < box.max.x();
  const double high = kLine * 2 + 4.5;
  const Vec2 corner(beside ? right + kBeside : box.min.x() + 6,
                    lying(Vec3::Zero()).y() - (beside ? high + 8 : high / 2));
  const Box words{corner - Vec2(0.8, 0), corner + Vec2(wide + 0.8, high)};
  const Vec2 end = at.cwiseMax(words.min).cwiseMin(words.max);
  g.items.emplace_back(circle(at, 1.1, {.weight = Weight::medium}));
  if ((end - at).norm() > 1.2)
    g.items.emplace_back(line(at + 1.1 * (end - at).normalized(), end, {.weight = Weight::thin}));
  double y = high - 3.3;
  g.items.emplace_back(
      Text{.at = corner + Vec2(0, y), .text = first, .height = kLetters, .bold = true, .backed = true});
  for (const std::string& l : {place, w.load})
    g.items.emplace_back(
        Text{.at = corner + Vec2(0, y -= kLine), .text = l, .height = kLetters, .backed = true});
}

}  // namespace

std::vector<Utilisation> utilisation(const study::Strength& strength, const bike::Part& member) {
  // stations of all cases lie at the same places; to a hundredth of a mm
  std::map<long long, double> most;
  for (const study::CaseResult& c : strength.cases) {
    if (c.load.kind == study::LoadKind::impact) continue;  // bends for good by design; its set is judged
    for (const study::MemberStress& m : c.members) {
      if (m.member != member) continue;
      for (const study::StressStation& q : m.stations) {
        const double share = q.margin > 0 ? 1 / q.margin : kMost;
        double& here = most[std::llround(100 * q.s)];
        here = std::max(here, share);
      }
    }
  }
  std::vector<Utilisation> out;
  for (const auto& [s, share] : most) out.push_back({0.01 * static_cast<double>(s), share});
  return out;
}

std::optional<Weakest> weakest(const study::Strength& strength) {
  std::optional<Weakest> out;
  for (const study::CaseResult& c : strength.cases) {
    if (c.load.kind == study::LoadKind::impact) continue;
    for (const auto* place : {&c.yield, &c.fatigue}) {
      if (*place && (!out || (*place)->margin < out->place.margin))
        out = {**place, c.load.name, place == &c.fatigue};
    }
  }
  return out;
}

void put_stress(Group& g, const bike::Assembly& assembly, const study::Strength& strength, const View& view,
                double whole) {
  const Lying as_it_stands{.view = view, .whole = whole};
  for (const bike::Member& m : assembly.members) put_band(g, m, utilisation(strength, m.part), as_it_stands);
  const auto w = weakest(strength);
  if (!w) return;
  const Vec2 at = view(w->place.point);
  g.items.emplace_back(circle(at, 3, {.weight = Weight::medium, .dash = Dash::solid, .ink = Ink::warning}));
  DimensionStyle style{.height = 3.5, .arrow = 3};
  style.ink = Ink::warning;
  add(g, leader(at + Vec2(2.1, 2.1), at + Vec2(24, 22), margin_words(*w), style));
}

Group stress_picture(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres,
                     const study::Strength& strength, const Box& box) {
  Group g{.name = "stress", .label = "stress along the members", .items = {}, .clip = {}};
  // from ahead with the rider's left on top, the steerer pointing right
  Lying lying{.view = {{0, 0, 1}, {0, 1, 0}, {1, 0, 0}, Vec2::Zero()}};
  const auto parts = trimmed(assembly, mitres);
  Items outline;
  put_outline(outline, parts, assembly, lying.view);
  const std::optional<Box> ink = bounds_of(outline);
  if (!ink) return g;
  const double aside = kAside + kMost * kWhole, head = 5;
  lying.scale = std::min(box.width() / ink->width(), (box.height() - head - 2 * aside) / ink->height());
  // at the left, so that the words have their place at the right
  lying.shift =
      Vec2(box.min.x(), box.centre().y() - head / 2) - lying.scale * Vec2(ink->min.x(), ink->centre().y());
  for (Item& item : outline)
    for (Vec2& p : std::get<Path>(item).points) p = lying.shift + lying.scale * p;
  for (const bike::Member& m : assembly.members) put_band(g, m, utilisation(strength, m.part), lying);
  add(g, outline);
  if (const auto w = weakest(strength))
    put_weakest(g, assembly, *w, lying, box, box.min.x() + lying.scale * ink->width());
  g.items.emplace_back(
      Text{.at = {box.min.x(), box.max.y() - kLetters},
           .text = "Band: stress as a share of strength, the worst load but the impact; chain: all of it",
           .height = kLetters});
  return g;
}

}  // namespace halfround::drawing
