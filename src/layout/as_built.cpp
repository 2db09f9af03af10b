// The chain of a laid-out fork, and how far a small shop is usually off.
#include "layout/as_built.h"

#include <algorithm>
#include <cmath>

namespace halfround::layout {

using base::Vec2;
using bike::Chain;
using bike::Limb;
using bike::Step;
using namespace base::literals;

namespace {

/// Adds dimensions and steps of one limb in their order.
class LimbMaker {
 public:
  LimbMaker(Chain& chain, std::string side) : chain_(chain), side_(std::move(side)) { limb.name = side_; }

  std::size_t dimension(const std::string& key, const std::string& what, bool angle) {
    chain_.dimensions.push_back({key + "." + side_, what + " of the " + side_ + " blade", angle});
    return chain_.dimensions.size() - 1;
  }
  void turn(std::size_t dimension, const Vec3& axis, const Vec3& through) {
    limb.steps.push_back({Step::Motion::turn, dimension, 1, axis.normalized(), through});
  }
  void slide(std::size_t dimension, const Vec3& along, double factor = 1) {
    limb.steps.push_back({Step::Motion::slide, dimension, factor, along.normalized(), Vec3::Zero()});
  }

  Limb limb;

 private:
  Chain& chain_;
  std::string side_;
};

/// Each bend from the top down: it turns what is below about its centre; being longer by radius times angle,
/// it draws the rest of the tube up.
void add_bends(LimbMaker& make, const Placed& placed, const bike::Blade& blade) {
  if (blade.runs.empty()) return;
  const auto& pieces = placed.tube.centreline.pieces();
  int number = 0;
  for (auto piece = pieces.rbegin(); piece != pieces.rend(); ++piece) {
    if (piece->curvature == 0) continue;
    ++number;
    // a bend that the lower cut goes through ends at the cut whatever its angle
    const bool in_blade = piece->s0 >= placed.lower_trim && piece->s0 < placed.s_crown;
    if (!in_blade) continue;
    const double radius = 1 / piece->curvature;
    const auto d =
        make.dimension("bend" + std::to_string(number), "angle of bend " + std::to_string(number), true);
    make.turn(d, -piece->t.cross(piece->n), piece->p + radius * piece->n);
    make.slide(d, piece->t, radius);
    if (piece->s0 > placed.clearance.s) make.limb.nearest->steps = make.limb.steps.size();
  }
}

/// One side as a left one.
Limb left_limb(Chain& chain, const std::string& side, const std::vector<Step>& common, const Intent& intent,
               const Placed& placed, const bike::Blade& blade) {
  LimbMaker make(chain, side);
  make.limb.steps = common;
  make.limb.end = Vec3(intent.offset, intent.over_locknut / 2, -intent.drop);
  const shape::Frame top = placed.tube.centreline.at(placed.s_crown);
  const shape::Frame low = placed.tube.centreline.at(placed.lower_trim);
  const double c = std::cos(placed.tilt_angle), s = std::sin(placed.tilt_angle);

  make.slide(make.dimension("crown_height", "crown height", false), -Vec3::UnitZ());
  make.slide(make.dimension("mitre_offset", "mitre offset", false), Vec3::UnitX());
  if (std::holds_alternative<SegmentedCrown>(intent.crown)) {
    // the crown tube goes out from the axis, c and s being the plane's tilt
    const Vec3 on_axis(placed.shares.mitre_offset, 0, -placed.crown_height);
    const Vec3 out = top.c - on_axis;
    make.turn(make.dimension("crown_angle", "crown tube's angle to the steerer", true), Vec3(c, 0, s),
              on_axis);
    make.slide(make.dimension("middle", "length of the crown tube", false), out);
  } else {
    const bool mitred = std::holds_alternative<std::monostate>(intent.crown);
    make.slide(make.dimension("middle",
                              mitred ? "depth of the upper mitre" : "bore's distance from the middle", false),
               Vec3::UnitY());
  }
  make.turn(make.dimension("tilt", "tilt", true), -Vec3::UnitY(), top.c);
  make.turn(make.dimension("splay", "splay", true), Vec3(c, 0, s), top.c);
  make.turn(make.dimension("clock", "clock angle", true), -top.t, top.c);
  make.limb.nearest = bike::Nearest{make.limb.steps.size(), placed.clearance.on_tube};
  add_bends(make, placed, blade);
  make.slide(make.dimension("length", "length between the cuts", false), -low.t);
  make.slide(make.dimension("blade_from_hub", "distance from the hub's face", false), -Vec3::UnitY());
  make.slide(make.dimension("rise", "rise of the lower end", false), -Vec3::UnitZ());
  make.slide(make.dimension("lead", "lead of the lower end", false), Vec3::UnitX());
  make.turn(make.dimension("camber", "lower end's face, upright,", true), Vec3::UnitX(), low.c);
  make.turn(make.dimension("toe", "lower end's face, seen from above,", true), Vec3::UnitZ(), low.c);
  return make.limb;
}

/// The tyre's section beside the nearest place, as the circle that fits it best there.
bike::TyreArc tyre_arc(const Intent& intent, const Placed& placed) {
  base::Pose X = base::Pose::Identity();
  X.translation() = Vec3(intent.offset, 0, -intent.drop);
  const shape::Tube tyre = intent.tyre.moved(X);
  const Vec3 on = placed.clearance.on_body, d = on - X.translation();
  const Vec3 normal = shape::distance(tyre, placed.clearance.on_tube).normal;
  // curvature of the section in polar form: (r^2 + 2 r'^2 - r r'') / (r^2 + r'^2)^(3/2) [from memory]
  const double s = tyre.centreline.nearest(on);
  const shape::Frame f = tyre.centreline.at(s);
  const double u = std::atan2((on - f.c).dot(f.b), (on - f.c).dot(f.m)), h = 1e-4;
  const auto radius = [&](double at) { return tyre.profile.at(Vec2(std::cos(at), std::sin(at)), s); };
  const shape::Radius q = radius(u);
  const double second = (radius(u + h).ru - radius(u - h).ru) / (2 * h);
  const double size = q.r * q.r + q.ru * q.ru;
  const double curvature = (size + q.ru * q.ru - q.r * second) / (size * std::sqrt(size));
  const double fit = 1 / std::clamp(curvature, 1.0 / 500, 1.0);
  const Vec3 outward(d.x(), 0, d.z());
  return {d.y() - fit * normal.y(), outward.norm() - fit * normal.dot(outward.normalized()), fit};
}

}  // namespace

Chain as_built(const Intent& intent, const Fork& fork) {
  Chain chain;
  chain.dimensions = {{"race_height", "height of the crown race seat", false},
                      {"steerer_lean", "lean of the steerer to one side", true},
                      {"steerer_pitch", "lean of the steerer fore and aft", true},
                      {"over_locknut", "hub's width over the locknuts", false}};
  const std::vector<Step> common{{Step::Motion::slide, 0, 1, -Vec3::UnitZ(), Vec3::Zero()},
                                 {Step::Motion::turn, 1, 1, Vec3::UnitX(), Vec3::Zero()},
                                 {Step::Motion::turn, 2, 1, -Vec3::UnitY(), Vec3::Zero()}};
  chain.hub_width = intent.over_locknut, chain.hub_dimension = 3;
  chain.wheel_radius = bike::outside_radius(intent.tyre);

  chain.limbs.push_back(left_limb(chain, "left", common, intent, fork.left, intent.left));
  Limb right = left_limb(chain, "right", {}, intent, fork.right, intent.right ? *intent.right : intent.left);
  for (Step& step : right.steps) step = bike::mirrored(step);
  right.steps.insert(right.steps.begin(), common.begin(), common.end());
  right.end.y() = -right.end.y();
  right.nearest->steps += common.size();
  right.nearest->on_member.y() = -right.nearest->on_member.y();
  chain.limbs.push_back(std::move(right));

  chain.tyre_left = tyre_arc(intent, fork.left), chain.tyre_right = tyre_arc(intent, fork.right);
  chain.tyre_right->across = -chain.tyre_right->across;
  using bike::Measure;
  chain.measures = {Measure::centring, Measure::offset,         Measure::axle_to_crown,
                    Measure::faces,    Measure::height,         Measure::lead,
                    Measure::spacing,  Measure::clearance_left, Measure::clearance_right};
  return chain;
}

std::vector<ShopTolerance> shop_tolerances(const Chain& chain) {
  struct Row {
    const char* key;
    double plus_minus;
    const char* why;
  };
  static constexpr Row kRows[] = {
      {"race_height", 0.1, "[common practice] seat cut by a lathe or a facing tool"},
      {"steerer_lean", base::to_rad(0.05), "[common practice] steerer checked in V-blocks"},
      {"steerer_pitch", base::to_rad(0.05), "[common practice] steerer checked in V-blocks"},
      {"over_locknut", 0.3, "[common practice] hub measured with a calliper over worn locknuts"},
      {"crown_height", 0.5, "[common practice] scribe line and rule"},
      {"mitre_offset", 0.3, "[common practice] centre lines lined up by eye"},
      {"middle", 0.2, "[common practice] mitre filed until no light shows"},
      {"tilt", base::to_rad(0.15), "[common practice] lower end laid against drawing or fixture to 1 mm"},
      {"splay", base::to_rad(0.15), "[common practice] lower end laid against drawing or fixture to 1 mm"},
      {"clock", base::to_rad(0.15), "[common practice] lower end laid against drawing or fixture to 1 mm"},
      {"bend", base::to_rad(0.15), "[common practice] lower end laid against drawing or fixture to 1 mm"},
      {"length", 0.3, "[common practice] stop and scribe line"},
      {"crown_angle", 0.3_deg, "[common practice] mitre's angle set by a protractor"},
      {"blade_from_hub", 0.2, "[common practice] turned shoulder or filed tab"},
      {"rise", 0.3, "[common practice] scribed on the dropout"},
      {"lead", 0.3, "[common practice] scribed on the dropout"},
      {"camber", base::to_rad(0.3), "[common practice] dummy axle: 0.1 mm across a 20 mm face"},
      {"toe", base::to_rad(0.3), "[common practice] dummy axle: 0.1 mm across a 20 mm face"},
      {"scale_height", 0.3, "[common practice] half a step of a millimetre scale, and its zero"},
      {"scale_offset", 0.3, "[common practice] half a step of a millimetre scale, and its zero"},
      {"axle_aside", 0.2, "[common practice] fixture's middle against the steerer's axis"},
      {"axle_tilt", base::to_rad(0.06), "[common practice] 0.1 mm over a dummy axle of 100 mm"},
      {"axle_turn", base::to_rad(0.06), "[common practice] 0.1 mm over a dummy axle of 100 mm"},
      {"dummy_width", 0.1, "[common practice] turned shoulders and adapters"},
      {"spring", 0.3, "our own guess: no figure was found; your log tells"},
      {"fit", 0.1, "[common practice] mitre filed until no light shows"},
  };
  std::vector<ShopTolerance> out;
  for (const auto& d : chain.dimensions) {
    std::string key = d.name.substr(0, d.name.find('.'));
    while (!key.empty() && key.back() >= '0' && key.back() <= '9') key.pop_back();
    const auto* row =
        std::find_if(std::begin(kRows), std::end(kRows), [&](const Row& r) { return key == r.key; });
    if (row != std::end(kRows)) out.push_back({d.name, row->plus_minus, row->why});
  }
  return out;
}

}  // namespace halfround::layout
