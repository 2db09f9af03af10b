#include "job/report_read.h"

#include <fmt/format.h>

#include <string>

#include "base/plain.h"

namespace halfround::job {

using base::Problems;

namespace {

/// A key from its own side's section, else from the one for both.
Spot pick(TableReader& r, const Spot& both, const Spot& side, std::string_view name) {
  const Spot own = r.in(side, name);
  if (own.node != nullptr) return own;
  const Spot common = r.in(both, name);
  return common.node != nullptr || side.node == nullptr ? common : own;
}

DoneBlade read_blade(TableReader& r, const Spot& both, const Spot& side) {
  DoneBlade out;
  const Spot length = pick(r, both, side, "length"), short_by = pick(r, both, side, "short_by");
  if (length.node != nullptr && short_by.node != nullptr) {
    r.complain("both-given", r.place(short_by),
               fmt::format("Both {} and {} are given.", length.key, short_by.key),
               "Keep the one you measured.");
  }
  out.length = r.maybe(length), out.short_by = r.maybe(short_by);
  const Spot at = pick(r, both, side, "short_at");
  if (at.node != nullptr) out.short_at = static_cast<CutEnd>(r.choice(at).value_or(0));
  out.lower_trim = r.maybe(pick(r, both, side, "lower_trim"));
  const Spot joined = pick(r, both, side, "joined");
  if (joined.node != nullptr) out.joined = r.choice(joined).value_or(0) == 1;
  return out;
}

DoneInsert read_insert(TableReader& r, const Spot& both, const Spot& side) {
  return {r.maybe(pick(r, both, side, "diameter")), r.maybe(pick(r, both, side, "length")),
          r.maybe(pick(r, both, side, "bore"))};
}

/// Says of two facts that they can't both be true.
class Contradictions {
 public:
  Contradictions(const Job& job, Problems& problems) : job_(job), problems_(problems) {}

  void refuse(const std::string& key, const std::string& other, const std::string& what) {
    problems_.push_back({"done-contradicts", place_of(job_, key),
                         fmt::format("{} This and {} can't both be true.", what, told(other)),
                         "Measure both again, and leave out what you are not sure of."});
  }

 private:
  [[nodiscard]] std::string told(const std::string& key) const {
    const auto line = job_.lines.find(key);
    return line == job_.lines.end() ? key : fmt::format("{} in line {}", key, line->second.line);
  }

  const Job& job_;
  Problems& problems_;
};

/// The key as it stands in the file: a side's own, else the one for both sides.
std::string key_of(const Job& job, const std::string& part, bool left, const std::string& name) {
  std::string own = fmt::format("done.{}.{}.{}", part, left ? "left" : "right", name);
  return job.lines.contains(own) ? own : fmt::format("done.{}.{}", part, name);
}

void verify_blade(const Job& job, bool left, Contradictions& out) {
  const DoneBlade& b = left ? job.done->left : job.done->right;
  const Blade& stock = left || !job.right ? job.left : *job.right;
  if (b.length && stock.stock_length && b.length->value > stock.stock_length->value) {
    out.refuse(key_of(job, "blades", left, "length"), "blades.stock_length",
               base::plainly("A blade of {} mm came out of a stock of {} mm.", b.length->value,
                             stock.stock_length->value));
  }
  if (b.lower_trim && b.cut_at_both_ends() && b.short_at == CutEnd::lower) {
    out.refuse(key_of(job, "blades", left, "short_at"), key_of(job, "blades", left, "lower_trim"),
               "The lower end is said to be off against the plan, and its trim is given besides.");
  }
}

/// The same for a measure of the lower end.
std::string planned(const Job& job, bool left, const std::string& name) {
  std::string own = fmt::format("lower_end.{}.{}", left ? "left" : "right", name);
  return job.lines.contains(own) ? own : "lower_end." + name;
}

void verify_insert(const Job& job, bool left, Contradictions& out) {
  const DoneInsert& i = left ? job.done->left_insert : job.done->right_insert;
  const LowerEnd& plan = left || !job.right_lower_end ? job.lower_end : *job.right_lower_end;
  const double diameter = i.diameter ? i.diameter->value : plan.diameter.value;
  const double bore = i.bore ? i.bore->value : plan.bore.value;
  if ((i.diameter || i.bore) && bore >= diameter) {
    const std::string width =
        i.diameter ? key_of(job, "inserts", left, "diameter") : planned(job, left, "diameter");
    const std::string hole = i.bore ? key_of(job, "inserts", left, "bore") : planned(job, left, "bore");
    out.refuse(i.bore ? hole : width, i.bore ? width : hole,
               base::plainly("A bore of {} mm leaves no wall in a barrel of {} mm.", bore, diameter));
  }
}

void verify_steerer(const Job& job, Contradictions& out) {
  const Done& d = *job.done;
  const double length = d.steerer_length ? d.steerer_length->value : job.steerer.length.value;
  const double below = d.below_seat ? d.below_seat->value : job.steerer.below_seat.value;
  if ((d.steerer_length || d.below_seat) && length <= below) {
    out.refuse(d.below_seat ? "done.below_seat" : "done.steerer_length",
               d.below_seat && d.steerer_length ? "done.steerer_length"
               : d.below_seat                   ? "steerer.length"
                                                : "steerer.below_seat",
               base::plainly("The crown race seat would stand {} mm up a steerer of {} mm.", below, length));
  }
}

}  // namespace

void read_done(TableReader& r, const Spot& root, Job& job) {
  const Spot s = r.section(root, "done"), f = r.section(root, "freedoms");
  if (s.node != nullptr) {
    Done d;
    const Spot blades = r.section(s, "blades"), inserts = r.section(s, "inserts");
    d.left = read_blade(r, blades, r.section(blades, "left"));
    d.right = read_blade(r, blades, r.section(blades, "right"));
    d.left_insert = read_insert(r, inserts, r.section(inserts, "left"));
    d.right_insert = read_insert(r, inserts, r.section(inserts, "right"));
    d.steerer_length = r.maybe(r.in(s, "steerer_length")), d.below_seat = r.maybe(r.in(s, "below_seat"));
    d.offset = r.maybe(r.in(s, "offset")), d.axle_to_crown = r.maybe(r.in(s, "axle_to_crown"));
    d.crown_height = r.maybe(r.in(s, "crown_height"));
    const Spot as_cut = r.in(s, "as_cut");
    if (as_cut.node != nullptr) d.as_cut = r.choice(as_cut).value_or(0) == 1;
    job.done = d;
  }
  if (s.node == nullptr && f.node == nullptr) return;
  const auto read = [&](std::string_view name) { return r.quantity(r.in(f, name)); };
  Freedoms out;
  out.axle_to_crown = read("axle_to_crown"), out.offset = read("offset");
  out.crown_height = read("crown_height"), out.splay = read("splay");
  out.blade_from_hub = read("blade_from_hub"), out.clearance = read("clearance");
  out.other_blade = r.choice(r.in(f, "other_blade")).value_or(0) == 0;
  job.freedoms = out;
}

void verify_done(const Job& job, Problems& problems) {
  if (!job.done) return;
  Contradictions out(job, problems);
  for (const bool left : {true, false}) {
    verify_blade(job, left, out);
    verify_insert(job, left, out);
  }
  verify_steerer(job, out);
}

}  // namespace halfround::job
