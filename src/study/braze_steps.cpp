// The words and the order of a joining plan. What is common practice is marked so.
#include "study/braze_steps.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/clock.h"
#include "base/say.h"

namespace halfround::study {

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr double kAc1_C = 750;  // where Cr-Mo steel begins to change [from memory: ASM Metals Handbook]
constexpr double kWidest = base::to_rad(150);  // a tack wants a corner to sit in [our own figure]
constexpr const char* kCommon = "common practice";

double apart(double a, double b) {
  const double d = std::fmod(std::abs(a - b), kTurn);
  return std::min(d, kTurn - d);
}

const bike::Filler& filler(const std::string& name) {
  const auto found = bike::find_filler(name);
  base::check(found.has_value(), "a plan's fillers are known");
  return **found;
}

std::string title(const JointFill& j) {
  return j.gap.empty() ? bike::spoken(j.member) + " onto " + bike::spoken(j.onto) : j.gap;
}

/// Does some joint close this end?
bool closed(const bike::Assembly& assembly, const bike::Part& member, bike::End end) {
  return std::any_of(assembly.joints.begin(), assembly.joints.end(), [&](const bike::Joint& j) {
    if (j.member != member || j.end != end) return false;
    if (j.kind != bike::JointKind::bored) return true;
    const bike::Plate* plate = bike::find_plate(assembly, j.onto);
    const bike::Bore* bore = plate ? bike::find_bore(*plate, member) : nullptr;
    return bore && bore->depth > 0;  // the bottom of a blind bore shuts the tube
  });
}

/// Where a member's wall begins or ends once it is cut; the whole ring is there.
double whole_ring(const bike::Member& m, bike::End end, const std::vector<Mitre>& mitres) {
  for (const Mitre& c : mitres) {
    if (c.member == m.part && c.end == end) return end == bike::End::start ? c.s_most : c.s_least;
  }
  return end == bike::End::start ? m.s_start : m.s_end;
}

/// Joints in the order to braze: the filler that melts hottest first, the larger fillet first.
std::vector<const JointFill*> in_order(const JoiningPlan& plan) {
  std::vector<const JointFill*> out;
  for (const JointFill& j : plan.joints) out.push_back(&j);
  const auto heat = [](const JointFill* j) { return filler(j->fills.front().filler).solidus_C; };
  std::stable_sort(out.begin(), out.end(), [&](const JointFill* a, const JointFill* b) {
    if (heat(a) != heat(b)) return heat(a) > heat(b);
    return a->shaped > 1.05 * b->shaped;  // a pair stays together
  });
  return out;
}

std::string clocks(const std::vector<double>& u) {
  std::string out;
  for (const double v : u) out += (out.empty() ? "" : ", ") + base::format_clock(v);
  return out;
}

void prepare(std::vector<Step>& out, const JoiningPlan& plan, const BrazeOptions& options) {
  out.push_back(
      {"Bare bright metal inside and out, 25 mm each side of every joint; wash with solvent, let it dry.",
       "Filler does not wet oil, scale or plating.", kCommon});
  for (const Vent& v : plan.vents) {
    out.push_back({base::say("Drill a vent of {:.1f} mm into {} at {:.0f} mm from its lower end, clock {}.",
                             v.diameter, bike::spoken(v.member), v.s, base::format_clock(v.u)),
                   v.why, "derived"});
  }
  out.push_back(
      {base::say("Look at every joint against the light: a gap of more than {:.2f} mm is filed again.",
                 std::max(0.25, options.root_gap)),
       "A gap that closes while the filler sets pulls the part along.", kCommon});
  out.push_back(
      {"Fit the axle, or the dummy axle, into both lower ends and clamp the steerer before tacking.",
       "Both ends then stand on one line, whatever the tacks pull.", kCommon});
}

void tack_and_braze(std::vector<Step>& out, const JoiningPlan& plan) {
  for (const JointFill& j : plan.joints) {
    if (j.tacks.empty()) continue;
    out.push_back({fmt::format("Tack {} at clock {}.", title(j), clocks(j.tacks)),
                   "The wide-angled side first: it pulls least there; then across from it, so that the pulls "
                   "cancel.",
                   kCommon});
  }
  out.push_back({"Let it cool, take it out, check it on the surface plate, cold set it, put it back.",
                 "Tacks can still be bent or broken; a fillet can't.", kCommon});
  for (const JointFill* j : in_order(plan)) {
    const Fill& first = j->fills.front();
    std::string what = fmt::format("Braze {} with {}", title(*j), first.filler);
    what += first.radius > 0 ? base::say(": a thin pass to {:.1f} mm all the way round", first.radius)
                             : ": heat until it shows at the far side of the gap";
    for (std::size_t k = 1; k < j->fills.size(); ++k)
      what += base::say(", then {} up to {:.1f} mm", j->fills[k].filler, j->fills[k].radius);
    out.push_back({what + ".",
                   !j->gap.empty()
                       ? "After the hotter joints, so that these are not melted again."
                       : "By quarters, wide-angled sides first, opposite quarters in turn; left and right "
                         "in turn.",
                   kCommon});
    if (j->heavier > 1.3) {
      out.push_back({base::say("Hold the flame on {}: its wall is {:.1f} times as thick.",
                               bike::spoken(j->onto), j->heavier),
                     "The thin wall follows by itself, and is spoiled first.", "derived"});
    }
  }
}

void heat(std::vector<Step>& out, const JoiningPlan& plan) {
  out.push_back(
      {"Warm the whole joint evenly to dull heat before the first filler; no other preheat for thin tube.",
       "A cold heavy part draws the heat away and the tube is overheated.", kCommon});
  std::string hot;
  for (const Shopping& s : plan.shopping) {
    if (filler(s.filler).work_from_C > kAc1_C) hot += (hot.empty() ? "" : ", ") + s.filler;
  }
  if (!hot.empty()) {
    out.push_back(
        {base::say("{} is worked above {:.0f} °C, where Cr-Mo steel changes: reckon with normalised "
                   "strength beside the joint.",
                   hot, kAc1_C),
         "Strength from cold drawing or heat treatment is lost there.",
         "ASM Metals Handbook, from memory, approximate"});
  }
}

void finish(std::vector<Step>& out, const JoiningPlan& plan) {
  out.push_back({"Let it cool in still air, axle still fitted; no water, no draught.",
                 "A quenched Cr-Mo joint is hard and may crack; uneven cooling bends it.", kCommon});
  const auto kind = [&](bike::FillerKind k) {
    return std::any_of(plan.shopping.begin(), plan.shopping.end(),
                       [&](const Shopping& s) { return filler(s.filler).kind == k; });
  };
  if (kind(bike::FillerKind::bronze)) {
    out.push_back(
        {"Soak off the glassy flux in hot water, then chip and brush; look at every toe with a lens.",
         "Glass hides pinholes.", kCommon});
  }
  if (kind(bike::FillerKind::silver)) {
    out.push_back({"Soak off silver flux in hot water soon, also inside through the vents; rinse well.",
                   "Fluoride flux left in a tube eats it.", kCommon});
  }
  if (!plan.vents.empty()) {
    out.push_back({"Rinse and dry the cavities, let oil in, then close the vents if they are to be closed.",
                   "Only when cold: a closed tube must not be heated again.", kCommon});
  }
}

}  // namespace

std::vector<double> tacks(const std::vector<SeamPoint>& seam) {
  const SeamPoint* first = nullptr;
  for (const double widest : {kWidest, base::kPi}) {
    for (const SeamPoint& q : seam) {
      if (q.share == 1 && q.psi <= widest && (first == nullptr || q.psi > first->psi + 1e-6)) first = &q;
    }
    if (first != nullptr) break;
  }
  if (first == nullptr) return {};
  std::vector<double> out{first->u};
  for (const double turn : {base::kPi, base::kPi / 2, 1.5 * base::kPi}) {
    const SeamPoint* best = nullptr;
    const double wanted = std::fmod(first->u + turn, kTurn);
    for (const SeamPoint& q : seam) {
      if (q.share == 1 && (best == nullptr || apart(q.u, wanted) < apart(best->u, wanted))) best = &q;
    }
    // on a partial mitre two of them may fall together
    const bool free =
        std::all_of(out.begin(), out.end(), [&](double u) { return apart(u, best->u) > kTurn / 12; });
    if (free) out.push_back(best->u);
  }
  return out;
}

std::vector<HeatWindow> heat_windows(const std::vector<JointFill>& joints) {
  std::vector<HeatWindow> out;
  for (const JointFill& j : joints) {
    for (std::size_t i = 0; i + 1 < j.fills.size(); ++i) {
      const bike::Filler &a = filler(j.fills[i].filler), &b = filler(j.fills[i + 1].filler);
      const bool told = std::any_of(out.begin(), out.end(), [&](const HeatWindow& w) {
        return w.first == a.name && w.second == b.name;
      });
      if (told || a.name == b.name) continue;
      HeatWindow w{std::string(a.name),
                   std::string(b.name),
                   a.solidus_C - b.liquidus_C,
                   b.work_from_C,
                   std::min(b.work_to_C, a.solidus_C),
                   ""};
      if (w.room_C < 0) {
        w.says = base::say("{} is liquid only at {:.0f} °C, where {} melts from {:.0f} °C on: lay it first.",
                           b.name, b.liquidus_C, a.name, a.solidus_C);
      } else if (w.work_from_C >= w.work_to_C) {
        w.says = base::say("{} flows well from {:.0f} °C on, {} melts from {:.0f} °C on: no room between.",
                           b.name, w.work_from_C, a.name, a.solidus_C);
      } else {
        w.says = base::say("Work {} between {:.0f} and {:.0f} °C, so that {} stays solid.", b.name,
                           w.work_from_C, w.work_to_C, a.name);
      }
      out.push_back(std::move(w));
    }
  }
  return out;
}

namespace {

/// Where a vent goes on a tube, and what it could not stay clear of.
struct VentPlace {
  double s = 0;
  const char* near = "";  ///< "": clear of everything
};

using Stretch = std::pair<double, double>;

/// What is left of a member between two places once the stretches that must stay whole are taken out, in
/// rising order.
std::vector<Stretch> free_stretches(double from, double to, const bike::Part& member,
                                    const BrazeOptions& options) {
  if (from >= to) return {};
  std::vector<Stretch> out{{from, to}};
  const double rim = options.vent / 2;
  for (const KeepClear& k : options.keep_clear) {
    if (k.member != member) continue;
    std::vector<Stretch> left;
    for (const auto& [a, b] : out) {
      if (k.from - rim > a) left.emplace_back(a, std::min(b, k.from - rim));
      if (k.to + rim < b) left.emplace_back(std::max(a, k.to + rim), b);
    }
    out = std::move(left);
  }
  return out;
}

/// The lowest place, where it drains, clear of both necks and of all that must stay whole; where there is
/// none, the middle of the longest stretch that keeps clear of the latter.
VentPlace vent_place(const bike::Member& m, double low, double high, const BrazeOptions& options) {
  const double clear = options.neck + options.vent;
  const auto good = free_stretches(low + clear, high - clear, m.part, options);
  if (!good.empty()) {
    const bool rises = m.tube.centreline.point(low).z() <= m.tube.centreline.point(high).z();
    return {rises ? good.front().first : good.back().second, ""};
  }
  const auto left = free_stretches(low, high, m.part, options);
  if (left.empty()) return {0.5 * (low + high), "the parts on it"};
  const auto longest =
      std::ranges::max_element(left, {}, [](const Stretch& p) { return p.second - p.first; });
  return {0.5 * (longest->first + longest->second), "a joint"};
}

std::string why_there(const bike::Member& m, const VentPlace& place, const BrazeOptions& options) {
  const std::string out =
      "Both ends are closed once joined: hot air must get out, or it blows through the filler. ";
  if (*place.near != 0) {
    return out + fmt::format(
                     "No place on this tube is clear of everything: the hole is close to {}. Round "
                     "its edges well.",
                     place.near);
  }
  std::set<std::string> whole;
  for (const KeepClear& k : options.keep_clear)
    if (k.member == m.part) whole.insert(k.what);
  std::string away;
  for (const std::string& what : whole) away += ", away from the " + what;
  return out + fmt::format(
                   "Here it lies away from the necks{}, drains, and faces sideways, where fore-and-aft "
                   "bending is least felt.",
                   away);
}

}  // namespace

std::vector<Vent> vents(const bike::Assembly& assembly, const std::vector<Mitre>& mitres,
                        const BrazeOptions& options) {
  std::vector<Vent> out;
  for (const bike::Member& m : assembly.members) {
    if (!closed(assembly, m.part, bike::End::start) || !closed(assembly, m.part, bike::End::end)) continue;
    const double low = whole_ring(m, bike::End::start, mitres), high = whole_ring(m, bike::End::end, mitres);
    const VentPlace place = vent_place(m, low, high, options);
    const double s = place.s;
    const shape::Frame f = m.tube.centreline.at(s);
    // sideways, toward the middle: bending fore and aft is least felt there
    const Vec3 aside = std::abs(f.c.y()) > 1 ? Vec3(0, f.c.y() > 0 ? -1 : 1, 0) : Vec3(-1, 0, 0);
    double u = std::atan2(aside.dot(f.b), aside.dot(f.m));
    if (u < 0) u += kTurn;
    out.push_back({m.part, s, u, options.vent, shape::surface(m.tube, base::unit_at(u), s).p,
                   why_there(m, place, options)});
  }
  return out;
}

std::vector<Step> steps(const JoiningPlan& plan, const BrazeOptions& options) {
  std::vector<Step> out;
  prepare(out, plan, options);
  heat(out, plan);
  tack_and_braze(out, plan);
  finish(out, plan);
  return out;
}

std::vector<Step> cautions(const JoiningPlan& plan) {
  std::vector<Step> out{
      {"Local rules and licensed practice come first; this is an estimate for a builder who can braze.",
       "A fork that breaks hurts a person: proof-test the prototype.", ""},
      {"Zinc fume: never overheat bronze until it smokes. Zinc boils at 907 °C, within its working range.",
       "Metal-fume fever. Limit for zinc oxide 5 mg/m3 over 8 h.",
       "29 CFR 1910.1000, from memory and a glossary; 907 °C from memory"},
      {"Cadmium never: no filler and no plated part with it goes near the flame.", "Its fume kills.",
       "29 CFR 1910.1027, from memory"},
      {"Silver flux holds fluorides: keep it off the skin, draw its fume away.",
       "It burns skin and lungs. Limit 2.5 mg/m3 as F.", "29 CFR 1910.1000, from memory"},
      {"Draw fume off at the joint and keep the room aired.", "What is seen as smoke is breathed.", kCommon},
  };
  for (const bike::Shade& s : bike::shades()) {
    if (s.process != "torch brazing") continue;
    out.push_back(
        {fmt::format("Eye shade {} for torch brazing; with a yellow flux flare a lens that takes out the "
                     "sodium line.",
                     s.shade),
         "Glare tires the eye and hides the joint.", std::string(s.source)});
  }
  if (!plan.vents.empty()) {
    out.push_back({"Never heat a closed tube, and never open one while it is hot: vent first.",
                   "Trapped air, water or flux bursts it or spits.", kCommon});
  }
  out.push_back(
      {"Strip zinc, chrome and cadmium plating before heating.", "Their fume is poisonous.", kCommon});
  return out;
}

}  // namespace halfround::study
