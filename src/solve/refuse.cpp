#include "solve/refuse.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/say.h"
#include "job/numbers.h"
#include "shop/set_up.h"

namespace halfround::solve {

using base::Offer;
using base::Problem;
using base::Result;

namespace {

constexpr double kNoLength = 1e-5;   // mm: less steel than a written length is rounded by
constexpr double kOffBarrel = 2.0;   // mm of a joint past its barrel's end: what a fillet still carries; ours
constexpr double kShown = 0.2;       // mm of it that is worth a word
constexpr double kOfACrown = 0.75;   // of a crown's thickness that the steerer must go through; ours
constexpr int kAlongABend = 16;      // places along a bend where its depth is read
constexpr double kRoomToFile = 2.0;  // mm more, so that the seat can be faced; ours

std::string capital(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

struct Overhang {
  double inside = 0, past = 0;  // of the joint over the hub's face, and past the barrel's outer end, mm
  double wide = 0;              // of the joint along the barrel, mm
};
Overhang overhang_of(const Answer& a, const study::Mitre& m) {
  const bool left = m.onto.side == bike::Side::left;
  double least = INFINITY, most = -INFINITY;
  for (const study::EdgePoint& q : m.outer) {
    const double out = (left ? q.point.y() : -q.point.y()) - a.intent.over_locknut / 2;
    least = std::min(least, out), most = std::max(most, out);
  }
  return {-least, most - layout::own_side(a.intent, left).lower_end.length, most - least};
}

/// How far the steerer ends above the lowest point of its joint, or above what a crown needs of it, mm; < 0:
/// it goes on below.
double steerer_short_by(const Answer& a) {
  double lowest = INFINITY;
  for (const study::Mitre& m : a.mitres) {
    if (m.onto.kind != bike::PartKind::steerer) continue;
    for (const study::EdgePoint& q : m.outer) lowest = std::min(lowest, q.point.z());
  }
  for (const bike::Joint& j : a.fork.assembly.joints) {
    if (j.kind != bike::JointKind::bored || j.member.kind != bike::PartKind::steerer) continue;
    const bike::Plate& plate = *bike::find_plate(a.fork.assembly, j.onto);
    lowest = std::min(lowest, plate.X_FP.translation().z() + (0.5 - kOfACrown) * plate.thickness);
  }
  return -a.intent.steerer.below_seat - lowest;
}

}  // namespace

std::vector<RakedBend> raked_bends(const Answer& answer, bool left) {
  const layout::Placed& placed = left ? answer.fork.left : answer.fork.right;
  const double scale = placed.rake_scale;
  std::vector<RakedBend> out;
  if (std::abs(scale - 1) < 1e-9) return out;
  const bike::Blade blade = layout::own_side(answer.intent, left).left;
  const shape::Profile& profile = placed.tube.profile;
  double s = blade.below_shape;
  for (const shape::Run& run : blade.runs) {
    const bool along = run.toward == bike::kForward || run.toward == bike::kRearward;
    if (along && run.angle > 0) {
      const double radius = run.length / run.angle;
      RakedBend b{radius, radius / scale, 0};
      for (int i = 0; i <= kAlongABend; ++i)
        b.half = std::max(b.half, profile.depth(s + run.length * i / kAlongABend) / 2);
      out.push_back(b);
    }
    s += run.length;
  }
  return out;
}

namespace {

class Judge {
 public:
  Judge(const job::Job& job, const Answer& a) : job_(job), a_(a) {}

  std::optional<Problem> bends() const;
  std::optional<Problem> stock() const;
  std::optional<Problem> barrels() const;
  std::optional<Problem> steerer() const;
  std::optional<Problem> tyre() const;
  std::optional<Problem> seat() const;

 private:
  /// Keys of one side where the sides differ, of both where they are alike.
  [[nodiscard]] std::string key(const std::string& section, const std::string& name, bool left) const {
    const std::string side = a_.fork.mirrored ? "" : left ? "left." : "right.";
    return job::said_key(job_, section + "." + side + name);
  }
  [[nodiscard]] std::string each(const bike::Part& member) const {
    if (a_.fork.mirrored && member.kind == bike::PartKind::blade) return "Each blade";
    return capital("the " + bike::spoken(member));
  }
  [[nodiscard]] Problem problem(const char* code, const std::string& key, std::string what,
                                std::string fits) const {
    return {code, job::place_of(job_, key), std::move(what), std::move(fits)};
  }
  /// A number `by` more than it is now, to be tried.
  void offer(Problem& p, const std::string& key, double by) const {
    if (const auto now = job::number_at(job_, key)) p.offers.push_back({key, base::shortest(*now + by), ""});
  }
  [[nodiscard]] Problem short_stock(const bike::Part& member, double missing, bike::End end) const;

  const job::Job& job_;
  const Answer& a_;
};

Problem Judge::short_stock(const bike::Part& member, double missing, bike::End end) const {
  const bool left = member.side == bike::Side::left;
  Problem p = problem("stock-too-short", key("blades", "stock_length", left),
                      base::say("{} is {:.1f} mm too short at the {} end.", each(member),
                                base::reachable(missing, base::Fits::from), bike::end_name(member, end)),
                      "Take longer blades, or change one of the two wishes.");
  offer(p, "steering.axle_to_crown", -missing / std::cos((left ? a_.fork.left : a_.fork.right).splay));
  offer(p, p.where.key, missing);
  if (end == bike::End::end && layout::past_line(a_.intent.crown) > missing)
    offer(p, "crown.above", -missing);
  return p;
}

std::optional<Problem> Judge::stock() const {
  for (const study::Mitre& m : a_.mitres) {
    if (m.short_by > kNoLength && m.member.kind == bike::PartKind::blade)
      return short_stock(m.member, m.short_by, m.end);
  }
  for (const bike::Member& m : a_.fork.assembly.members) {
    // an end that is cut square has no mitre that would say so
    const bool mitred = std::ranges::any_of(
        a_.mitres, [&](const study::Mitre& q) { return q.member == m.part && q.end == bike::End::end; });
    if (!mitred && m.s_end - m.stock_length > kNoLength)
      return short_stock(m.part, m.s_end - m.stock_length, bike::End::end);
  }
  if (layout::row_of(a_.intent.lower_end.kind).barrel) return std::nullopt;
  for (const bool left : {true, false}) {
    const double trim = (left ? a_.fork.left : a_.fork.right).lower_trim;
    if (trim < -kNoLength)
      return short_stock(bike::part(bike::PartKind::blade, bike::side_of(left)), -trim, bike::End::start);
  }
  return std::nullopt;
}

/// A bend can't be closed up on the tube itself.
std::optional<Problem> Judge::bends() const {
  for (const bool left : {true, false}) {
    const layout::Placed& placed = left ? a_.fork.left : a_.fork.right;
    for (const RakedBend& b : raked_bends(a_, left)) {
      if (b.made > b.half) continue;
      Problem p = problem(
          "bend-too-tight", "shares.rake",
          base::say("To make the offset, the forward bend of {} would have a radius of {:.1f} mm to its "
                    "centreline: it folds a tube that is {:.1f} mm deep.",
                    a_.fork.mirrored ? "each blade"
                    : left           ? "the left blade"
                                     : "the right blade",
                    b.made, 2 * b.half),
          "Let another share take a part of the offset, or bend over a longer piece.");
      offer(p, "steering.offset", -placed.shares.rake * (1 - b.made / b.half));
      return p;
    }
  }
  return std::nullopt;
}

/// The blade's joint has to lie on its barrel: not past the outer end, and not past the hub's face.
std::optional<Problem> Judge::barrels() const {
  for (const study::Mitre& m : a_.mitres) {
    if (m.onto.kind != bike::PartKind::insert) continue;
    const bool left = m.onto.side == bike::Side::left;
    const layout::LowerEnd end = layout::own_side(a_.intent, left).lower_end;
    const auto [inside, past, wide] = overhang_of(a_, m);
    if (std::max(inside, past) <= kOffBarrel) continue;
    const std::string from_hub = key("lower_end", "blade_from_hub", left),
                      length = key("lower_end", "length", left);
    const bool hub = inside > past;
    Problem p = problem(
        hub ? "blade-in-hub" : "blade-off-barrel", from_hub,
        hub ? base::say(
                  "{} stands {:.1f} mm over the hub's face: only {:.1f} mm are between the face and the "
                  "blade's centreline.",
                  each(m.member), inside, end.blade_from_hub)
            : base::say("{} runs {:.1f} mm past the outer end of its barrel, which is {:.1f} mm long.",
                        each(m.member), past, end.length),
        "Move the blade along the barrel (blade_from_hub), or turn a longer barrel.");
    if (wide <= end.length) offer(p, from_hub, hub ? inside : -past);
    if (!hub) offer(p, length, past);
    return p;
  }
  return std::nullopt;
}

/// The steerer has to reach down past the joint, or through the crown.
std::optional<Problem> Judge::steerer() const {
  const double missing = steerer_short_by(a_);
  if (missing <= kOffBarrel) return std::nullopt;
  Problem p = problem(
      "steerer-too-short", "steerer.below_seat",
      fmt::format("The steerer ends {} mm above the lowest point of its joint.", base::amount(missing)),
      "Let the steerer go on farther below the crown race seat (steerer.below_seat), or put the "
      "crown higher.");
  offer(p, "steerer.below_seat", missing);
  return p;
}

std::optional<Problem> Judge::tyre() const {
  for (const bool left : {true, false}) {
    const layout::Placed& placed = left ? a_.fork.left : a_.fork.right;
    if (placed.clearance.value >= 0) continue;
    return problem(
        "tyre-too-wide", "wheel",
        base::say("The tyre is {} mm too wide for the blades: it stands in them {:.0f} mm above the axle.",
                  base::amount(-placed.clearance.value),
                  placed.clearance.on_tube.z() - a_.fork.assembly.axle.z()),
        "Wish for a clearance instead of one of the two wishes, spread the blades, or take a narrower tyre.");
  }
  if (a_.crown_gap > 0) return std::nullopt;
  Problem p =
      problem("tyre-in-steerer", "steering.axle_to_crown",
              fmt::format("The tyre stands {} mm in the steerer.", base::amount(-a_.crown_gap)),
              "Take more axle-to-crown, a shorter steerer below the crown race seat, or a smaller tyre.");
  offer(p, "steering.axle_to_crown", -a_.crown_gap + 0.1);
  offer(p, "steerer.below_seat", a_.crown_gap - 0.1);
  return p;
}

std::optional<Problem> Judge::seat() const {
  if (a_.seat_gap >= 0) return std::nullopt;
  const bool crown = layout::crown_line(a_.intent.crown).has_value();
  const std::string wished = key("wishes", "crown_height", true);
  Problem p = problem(
      "joint-above-seat",
      crown                     ? "crown.height"
      : number_at(job_, wished) ? wished
                                : "wishes",
      fmt::format("The blades' joint would run {} mm above the crown race seat.", base::amount(-a_.seat_gap)),
      "Put the crown lower: with more crown height, or by the two wishes.");
  offer(p, p.where.key, -a_.seat_gap + kRoomToFile);
  return p;
}

}  // namespace

std::vector<std::string> overhangs(const Answer& answer) {
  std::vector<std::string> out;
  for (const study::Mitre& m : answer.mitres) {
    if (m.onto.kind != bike::PartKind::insert) continue;
    const Overhang over = overhang_of(answer, m);
    const std::string blade = capital("the " + bike::spoken(m.member));
    if (over.inside > kShown)
      out.push_back(
          base::say("{}'s joint stands {:.1f} mm over the hub's face; see that hub and axle have room "
                    "there.",
                    blade, over.inside));
    if (over.past > kShown)
      out.push_back(
          base::say("{}'s joint runs {:.1f} mm past the outer end of its barrel.", blade, over.past));
  }
  if (const double missing = steerer_short_by(answer); missing > kShown)
    out.push_back(
        base::say("The steerer ends {:.1f} mm above the lowest point of its joint; let it go on farther "
                  "below the seat.",
                  missing));
  return out;
}

Result<void> refuse(const job::Job& job, const Answer& answer) {
  const Judge judge(job, answer);
  for (const auto question :
       {&Judge::bends, &Judge::stock, &Judge::barrels, &Judge::tyre, &Judge::steerer, &Judge::seat}) {
    if (auto problem = (judge.*question)()) return tl::unexpected(std::move(*problem));
  }
  return {};
}

Result<void> refuse_parts(const job::Job& job, const Answer& answer) {
  if (!answer.mount) return {};
  for (std::size_t i = 0; i < answer.mount->feet.size(); ++i) {
    const study::MountFoot& f = answer.mount->feet[i];
    const std::string blade = bike::spoken(answer.mount->blade);
    const std::string key = job.brake.bolts.empty() ? "brake" : fmt::format("brake.bolts[{}]", i + 1);
    if (f.nearest < 0) {
      return tl::unexpected(
          Problem{"mount-misses-blade", job::place_of(job, key),
                  fmt::format("Bolt {} of the brake mount: its face lies {} mm inside the {}.", i + 1,
                              base::amount(-f.nearest), blade),
                  "Measure the calliper again: bolts are [from the axle square to the face, along the face], "
                  "and bolts_from_rotor goes outward."});
    }
    if (f.meets || f.most > 0) continue;
    return tl::unexpected(Problem{
        "mount-misses-blade", job::place_of(job, key),
        base::say("Bolt {} of the brake mount: its foot misses the {}, which is {:.1f} mm away at "
                  "the nearest.",
                  i + 1, blade, f.nearest),
        "Measure hub and calliper again (rotor_from_hub, bolts_from_rotor, bolts), or bring the blade "
        "under the mount (blade_from_hub, lean)."});
  }
  return {};
}

}  // namespace halfround::solve
