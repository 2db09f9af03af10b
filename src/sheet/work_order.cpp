#include "sheet/work_order.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "base/clock.h"
#include "base/number.h"
#include "base/result.h"
#include "sheet/measuring_plan.h"
#include "shop/scribe.h"
#include "study/slot.h"

namespace halfround::sheet {
namespace {

using base::format_number;
using base::to_deg;

std::string mm(double v, int decimals = 2) {
  return format_number(v, decimals) + " mm";
}

/// Puts steps one after another and counts them.
class Order {
 public:
  void put(Stage stage, std::string what, std::vector<Blank> blanks = {}, std::string key = "") {
    if (!what.empty()) what[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(what[0])));
    steps_.push_back(
        {stage, static_cast<int>(steps_.size()) + 1, std::move(key), std::move(what), std::move(blanks)});
  }
  /// A step that the job reports as finished; it is counted all the same.
  void put_done(Stage stage, std::string what, std::string key = "") {
    put(stage, std::move(what) + " Done, as the job reports.", {}, std::move(key));
    steps_.back().done = true;
  }
  [[nodiscard]] std::vector<WorkStep> finished() && { return std::move(steps_); }

 private:
  std::vector<WorkStep> steps_;
};

void measure(Order& out, const job::Job& job, const solve::Answer& a) {
  std::vector<Blank> blanks;
  for (const bike::Member& m : a.fork.assembly.members) {
    if (m.part.kind == bike::PartKind::blade)
      blanks.push_back({bike::spoken(m.part) + ", length along its middle line", mm(m.stock_length, 1), ""});
  }
  out.put(Stage::measure, "Measure the blades again, both of them.", std::move(blanks));
  out.put(
      Stage::measure, "Measure steerer, hub and tyre; a tyre at riding pressure.",
      {{"steerer, outside", mm(job.steerer.diameter.value), ""},
       {"hub over its locknuts", mm(job.hub.over_locknut.value), ""},
       {"hub axle", mm(job.hub.axle.value), ""},
       {"tyre, outside diameter",
        mm(2 * (a.intent.tyre.centreline.at(0).c.norm() + a.intent.tyre.profile.at({1, 0}, 0).r), 1), ""}});
}

const job::DoneBlade* done_blade(const job::Job& job, const bike::Part& member) {
  if (!job.done || member.kind != bike::PartKind::blade) return nullptr;
  return member.side == bike::Side::left ? &job.done->left : &job.done->right;
}

/// A piece of the cut list that is sawn and turned.
bool is_made(const job::Job& job, const shop::Piece& piece) {
  if (!job.done) return false;
  if (piece.part.kind == bike::PartKind::steerer) return job.done->steerer_length.has_value();
  if (piece.part.kind != bike::PartKind::insert) return false;
  const job::DoneInsert& i =
      piece.part.side == bike::Side::left ? job.done->left_insert : job.done->right_insert;
  return i.diameter || i.length || i.bore;
}

void lay_out(Order& out, const job::Job& job, const solve::Answer& a) {
  for (const study::Mitre& m : a.mitres) {
    if (is_cut(job, m.member, m.end)) {
      out.put_done(Stage::lay_out,
                   fmt::format("{}: mark line and scribe line.", bike::spoken(m.member, m.end)));
      continue;
    }
    std::vector<Blank> readings;
    for (const shop::ScribeReading& r : shop::scribe_readings(m))
      readings.push_back({"scribe line " + r.from + ", " + r.on, mm(r.distance, 1), ""});
    out.put(Stage::lay_out,
            fmt::format("{}: strike the mark line and the scribe line, glue the template to both.",
                        bike::spoken(m.member, m.end)),
            std::move(readings));
  }
}

void small_part(Order& out, const study::Feature& f, std::size_t index) {
  std::string what = fmt::format("{} on the {}, clock {}: {}.", f.name, bike::spoken(f.member),
                                 base::format_clock(f.u), f.when);
  if (!f.why.empty()) what += " " + f.why;
  out.put(Stage::small_parts, std::move(what), {{"from the lower end of the stock", mm(f.s, 1), ""}},
          feature_key(index));
}

void cut(Order& out, const job::Job& job, const solve::Answer& a, const solve::ShopPlan& plan) {
  for (const shop::Served& s : plan.cutting.pieces) {
    if (is_made(job, s.piece)) {
      out.put_done(Stage::cut, fmt::format("The {}.", s.piece.what));
      continue;
    }
    out.put(Stage::cut, fmt::format("Saw off the {}: {}.", s.piece.what, mm(s.piece.length, 1)),
            {{s.piece.what + ", finished", mm(s.piece.finished), ""}});
  }
  // both sides at one set-up before the machine is set anew
  std::vector<const shop::MachineSetUp*> turn;
  for (const shop::MachineSetUp& s : plan.set_ups) {
    if (std::ranges::find(turn, &s) != turn.end()) continue;
    turn.push_back(&s);
    for (const shop::MachineSetUp& t : plan.set_ups)
      if (t.member == s.pair && t.end == s.end && std::ranges::find(turn, &t) == turn.end())
        turn.push_back(&t);
  }
  for (const shop::MachineSetUp* s : turn) {
    if (is_cut(job, s->member, s->end)) {
      out.put_done(Stage::cut, fmt::format("Cut: {}.", s->title));
      continue;
    }
    if (!s->cutters.empty() && s->cutters.front().serves)
      out.put(Stage::cut, fmt::format("Cut: {}. Card {}.", s->title, "CUT"), {}, cut_key(s->member, s->end));
    if (s->by_hand)
      out.put(Stage::cut, fmt::format("File: {}. {}", s->title, s->why_by_hand), {},
              file_key(s->member, s->end));
  }
  for (const bike::Joint& j : a.fork.assembly.joints) {
    if (j.kind != bike::JointKind::slotted) continue;
    if (is_cut(job, j.member, j.end)) {
      out.put_done(Stage::cut, fmt::format("Slot in the {} end of the {}.", bike::end_name(j.member, j.end),
                                           bike::spoken(j.member)));
      continue;
    }
    const study::Slot slot = study::slot_of(*bike::find_member(a.fork.assembly, j.member), j.end,
                                            *bike::find_plate(a.fork.assembly, j.onto));
    out.put(Stage::cut,
            fmt::format("Slot the {} end of the {} for its dropout.", bike::end_name(j.member, j.end),
                        bike::spoken(j.member)),
            {{"slot, deep", mm(slot.depth, 1), ""}, {"slot, wide", mm(slot.width, 1), ""}},
            slot_key(j.member));
  }
  for (const bike::Plate& p : a.fork.assembly.plates) {
    for (const bike::Bore& b : p.bores) {
      if (!b.mouth) continue;
      out.put(Stage::cut, fmt::format("Mill the {} and bore it. Sheet \"axle block\".", bike::spoken(p.part)),
              {{"socket, wide", mm(b.diameter), ""}, {"socket, deep", mm(b.depth), ""}});
    }
  }
  std::vector<Blank> blanks;
  for (const shop::LengthCheck& c : plan.lengths) {
    const job::DoneBlade* b = done_blade(job, c.member);
    if (b != nullptr && b->cut_at_both_ends()) continue;
    blanks.push_back({fmt::format("{}, {} to {}", bike::spoken(c.member), c.from, c.to), mm(c.length), ""});
  }
  if (blanks.empty() && !plan.lengths.empty())
    out.put_done(Stage::cut, "The lengths between the cuts.", "prove lengths");
  else if (!blanks.empty())
    out.put(Stage::cut, "Prove the cuts before anything is heated.", std::move(blanks), "prove lengths");
}

/// Of scales more than the fork needs the one that is left loose says so.
Blank scale_blank(const shop::FixtureSheet& f, const shop::Reading& r) {
  const bool loose = std::ranges::any_of(f.disagreements, [&](const shop::Disagreement& d) {
    return d.scale == r.adjuster && d.what == r.what;
  });
  return {r.adjuster, r.in_range ? r.text : "out of range", loose ? "left loose" : ""};
}

/// The measure of a turned piece that the fork depends on.
Blank size_blank(const shop::Adapter& a) {
  if (a.over_shoulders > 0) return {"over the shoulders", mm(a.over_shoulders), ""};
  if (a.kind == shop::AdapterKind::race_ring) return {"flange, thick", mm(a.shoulder), ""};
  if (a.shoulder > 0) return {"shoulder, thick", mm(a.shoulder), ""};
  return {"outside", mm(a.spigot_fit ? a.spigot_fit->middle() : 0),
          a.spigot_fit ? a.spigot_fit->tolerance_class : ""};
}

void set(Order& out, const solve::ShopPlan& plan) {
  for (const shop::FixtureSheet& f : plan.fixtures) {
    for (const shop::Adapter& a : f.pieces)
      out.put(Stage::set, fmt::format("Turn for the {}: {}. Sheet \"adapter\".", f.fixture, a.title),
              {size_blank(a)});
    std::vector<Blank> blanks;
    for (const shop::Reading& r : f.readings)
      if (!shop::of_mount(r.measures)) blanks.push_back(scale_blank(f, r));
    out.put(Stage::set, fmt::format("Set the {}, its axle and the steerer clamped.", f.fixture),
            std::move(blanks), "set " + f.fixture);
  }
}

/// The calliper's mount, once the axle stands.
void mount(Order& out, const study::Mount& m, const solve::ShopPlan& plan) {
  std::vector<Blank> blanks;
  for (const shop::FixtureSheet& f : plan.fixtures)
    for (const shop::Reading& r : f.readings)
      if (shop::of_mount(r.measures)) blanks.push_back(scale_blank(f, r));
  const std::string within = "±" + format_number(m.tolerance, 1);
  if (m.known) {
    blanks.push_back({"face from the axle", mm(m.face, 1), within});
    blanks.push_back({"bolts from the middle plane", mm(std::abs(m.lateral), 1), within});
    for (const study::MountFoot& f : m.feet)
      blanks.push_back(
          {fmt::format("foot on the blade, from its start end, at clock {}", base::format_clock(f.u)),
           mm(f.s, 1), ""});
  }
  out.put(
      Stage::small_parts,
      fmt::format(
          "Brake mount on the {}, with axle, rotor and calliper fitted. Makers differ: hold it against the "
          "calliper in hand before it is joined.",
          bike::spoken(m.blade)),
      std::move(blanks), "mount");
}

void join(Order& out, const solve::Answer& a, const solve::ShopPlan& plan) {
  bool first = true;
  if (const auto& refused = a.joining.refused)
    out.put(Stage::join, fmt::format("No joining plan. {} {}", refused->what, refused->fits), {}, "join");
  for (const study::Step& s : a.joining.steps) {
    // vents stand among the small parts
    const bool vent =
        std::ranges::any_of(a.joining.vents, [&](const study::Vent& v) { return v.why == s.why; });
    if (vent && !a.features.empty()) continue;
    out.put(Stage::join, s.what, {}, first ? "join" : "");
    first = false;
  }
  for (std::size_t i = 0; i < a.features.size(); ++i) {
    const study::Feature& f = a.features[i];
    if (!is_before_joining(f) && f.kind != study::FeatureKind::brake_mount) small_part(out, f, i);
  }
  if (a.mount) mount(out, *a.mount, plan);
}

void prove(Order& out, const job::Job& job, const solve::Answer& a) {
  const std::pair<Held, const char*> ways[] = {
      {Held::standing, "On the surface plate, steerer upright, fork ends up."},
      {Held::lying, "On the surface plate, steerer level in V-blocks, offset up."},
      {Held::on_its_side, "On the surface plate, the same turned a quarter, left end up."}};
  const std::vector<PlateMeasure> plan = measuring_plan(job, a);
  for (const auto& [held, what] : ways) {
    std::vector<Blank> blanks;
    for (const PlateMeasure& m : plan)
      if (m.held == held) blanks.push_back({m.mark + ": " + m.what, words(m), m.limit});
    out.put(Stage::prove, what, std::move(blanks), held == Held::standing ? "prove" : "");
  }
}

}  // namespace

std::string name_of(Stage stage) {
  const char* names[] = {"measure", "lay out", "small parts", "cut", "set", "join", "prove"};
  return names[static_cast<std::size_t>(stage)];
}

bool is_cut(const job::Job& job, const bike::Part& member, bike::End end) {
  const job::DoneBlade* b = done_blade(job, member);
  return b != nullptr && (b->cut_at_both_ends() || (end == bike::End::start && (b->lower_trim || b->joined)));
}

bool is_before_joining(const study::Feature& f) {
  return f.order <= 5;  // study/small_parts.h
}
std::string feature_key(std::size_t index) {
  return fmt::format("feature {}", index);
}

std::string slot_key(const bike::Part& member) {
  return "slot " + member.name;
}
std::string cut_key(const bike::Part& member, bike::End end) {
  return "cut " + member.name + " " + bike::end_name(member, end);
}
std::string file_key(const bike::Part& member, bike::End end) {
  return "file " + member.name + " " + bike::end_name(member, end);
}

std::vector<WorkStep> order_of_work(const job::Job& job, const solve::Answer& a,
                                    const solve::ShopPlan& plan) {
  Order out;
  measure(out, job, a);
  lay_out(out, job, a);
  for (std::size_t i = 0; i < a.features.size(); ++i)
    if (is_before_joining(a.features[i])) small_part(out, a.features[i], i);
  cut(out, job, a, plan);
  set(out, plan);
  join(out, a, plan);
  prove(out, job, a);
  return std::move(out).finished();
}

const WorkStep& step_with(const std::vector<WorkStep>& order, const std::string& key) {
  const auto found = std::ranges::find(order, key, &WorkStep::key);
  base::check(found != order.end(), "a card's step stands in the order of work");
  return *found;
}

}  // namespace halfround::sheet
