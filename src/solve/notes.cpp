#include "solve/notes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/clock.h"
#include "base/say.h"
#include "job/intent.h"
#include "job/material.h"
#include "shop/set_up.h"
#include "solve/refuse.h"

namespace halfround::solve {

namespace {

constexpr double kLeastClearance =
    6.0;  // mm; tyre to fork, all but racing [a maker's manual; ISO 4210-2 from memory]
constexpr double kPaperLies = 0.3;  // mm; a template off by more is seen on the tube [common practice]
constexpr double kButtPast = 20.0;  // mm of thick wall past a joint [common practice]

class Notes {
 public:
  void add(Note::Kind kind, const char* code, const std::string& where, std::string what) {
    notes.push_back({kind, code, where, std::move(what)});
  }
  std::vector<Note> notes;
};

std::string passing_words(const study::Mitre& m) {
  std::string out;
  for (const study::Passing& p : m.passing) {
    if (!out.empty()) out += " and ";
    out += base::format_clock(p.from) + " to " + base::format_clock(p.to);
  }
  return out;
}

void about_mitre(const study::Mitre& m, Notes& out) {
  using K = Note::Kind;
  const std::string end = bike::spoken(m.member, m.end);
  if (m.passed_by > 0) {
    std::string what = base::say(
        "{}: over {:.0f}° of its girth ({}) the {} passes beside the {}; there the cut stops at the plane "
        "through its axis.",
        end, base::to_deg(m.passed_by), passing_words(m),
        m.member.kind == bike::PartKind::blade ? "blade" : "tube", bike::spoken(m.onto));
    if (!m.meets.empty()) what += fmt::format(" There it meets the {}.", bike::spoken(m.meets));
    out.add(K::warning, "passes-beside", m.member.name, what);
  }
  if (m.template_.error > kPaperLies) {
    out.add(K::warning, "paper-off", m.member.name,
            base::say("{}: the tube bends under the template, so flat paper is off by up to {:.1f} mm "
                      "along the cut. Slit it along the clock ticks, or mark by the depth table.",
                      end, m.template_.error));
  }
  if (m.inner.empty())
    out.add(
        K::warning, "wall-unknown", m.member.name,
        fmt::format("{}: no wall is known, so the inner edge and the bevel of the wall are missing.", end));
}

void about_room(const job::Job& job, const Answer& a, Notes& out) {
  using K = Note::Kind;
  for (const std::string& what : overhangs(a)) out.add(K::warning, "barrel-overhang", "lower_end", what);
  const double least = std::min({a.fork.left.clearance.value, a.fork.right.clearance.value, a.crown_gap});
  if (least < kLeastClearance) {
    out.add(K::warning, "clearance-small", "wheel",
            base::say("The least air round the tyre is {:.1f} mm; the usual minimum is 6 mm (4 mm on a "
                      "racing bicycle).",
                      least));
  }
  if (a.seat_gap < job::kLeastSeatGap) {
    out.add(
        K::warning, "seat-tight", "steerer",
        base::say(
            "The blades' joint comes within {:.1f} mm of the crown race seat, and the fillet needs room too.",
            a.seat_gap));
  }
  const auto& steerer = *bike::find_member(a.fork.assembly, bike::part(bike::PartKind::steerer));
  const double wall_low = steerer.tube.profile.wall(0),
               at_seat = steerer.tube.profile.wall(a.intent.steerer.below_seat + kButtPast);
  if (at_seat < wall_low - 1e-9) {
    out.add(K::warning, "butt-short", "steerer.walls",
            base::say("The steerer is already down to {:.1f} mm wall {:.0f} mm above the crown race seat.",
                      at_seat, kButtPast));
  }
  if (bike::is_disc(job.brake.mount)) {
    out.add(K::warning, "disc-one-side", "brake",
            "A disc brake loads one blade alone, at the left. Its wall and lower end decide; makers' mounts "
            "differ, so check against the calliper in hand.");
  }
}

/// The forward bend takes the remainder: its arc stays as long as it is, so its radius changes.
void about_rake(const Answer& a, bool left, Notes& out) {
  const std::vector<RakedBend> bends = raked_bends(a, left);
  if (bends.empty()) return;
  std::string radii;
  for (const RakedBend& b : bends)
    radii += base::say("{}from {:.0f} to {:.0f} mm", radii.empty() ? "" : ", ", b.given, b.made);
  const char* whose = a.fork.mirrored ? "blades'" : left ? "left blade's" : "right blade's";
  out.add(Note::Kind::moved, "rake-bent", "shares.rake",
          base::say("The {} forward bend takes the remainder of the offset: bend it to {:.0f} % of the angle "
                    "given, over the same length of tube; its radius goes {}.",
                    whose, 100 * (left ? a.fork.left : a.fork.right).rake_scale, radii));
}

void about_moves(const Answer& a, Notes& out) {
  using K = Note::Kind;
  about_rake(a, true, out);
  if (!a.fork.mirrored) about_rake(a, false, out);
  for (const layout::OtherSolution& o : a.fork.others) {
    out.add(K::moved, "other-solution", "wishes",
            base::say("The two wishes can also be had with a splay of {:.1f}° and a lower trim of {:.1f} mm.",
                      base::to_deg(o.splay), o.lower_trim));
  }
}

/// Keys one by one, but a section that is left out almost whole by its name: "strength (13 keys)".
std::string keys_in_words(const std::vector<std::string>& keys) {
  constexpr int kMany = 4;
  const auto section = [](const std::string& key) { return key.substr(0, key.find('.')); };
  std::map<std::string, int> count;
  for (const std::string& k : keys) ++count[section(k)];
  std::string out, last;
  for (const std::string& k : keys) {
    const std::string head = section(k);
    const bool many = count[head] >= kMany;
    if (many && head == last) continue;
    last = many ? head : "";
    out += out.empty() ? "" : ", ";
    out += many ? fmt::format("{} ({} keys)", head, count[head]) : k;
  }
  return out;
}

/// The builder's sentence, with the full stop he may have left out.
std::string ended(std::string text) {
  if (!text.empty() && std::string_view(".!?").find(text.back()) == std::string_view::npos) text += '.';
  return text;
}

/// What the scales say of the walls.
void about_weight(const job::Job& job, const Answer& a, Notes& out) {
  constexpr double kApart = 0.05;  // of the weight: a tube's wall is held to some 10 % [common practice]
  for (const bool left : {true, false}) {
    if (!left && !job.right) continue;
    const job::Blade& said = left ? job.left : *job.right;
    if (!said.measured_mass) continue;
    const bike::Blade& made = left || !a.intent.right ? a.intent.left : *a.intent.right;
    const std::string whose = !job.right ? "blades" : left ? "left blade" : "right blade";
    const bool typed =
        std::ranges::any_of(said.stations, [](const job::Station& s) { return s.wall.value > 0; });
    const double grams = 1000 * said.measured_mass->value;
    if (!typed) {
      out.add(Note::Kind::assumed, "wall-by-weight", "blades.measured_mass",
              base::say("The {}: {:.2f} mm of wall, the same all along, because the stock weighs {:.0f} g. "
                        "Thick ends are not known: "
                        "the rest may be thinner.",
                        whose, made.stations.front().wall, grams));
      continue;
    }
    const auto mass =
        job::stock_mass(made, job::material_called(job.material, job.material.blades).density_kg_m3);
    if (!mass || std::abs(1000 * *mass - grams) < kApart * grams) continue;
    out.add(Note::Kind::warning, "weight-differs", "blades.measured_mass",
            base::say("The {}: the stock weighs {:.0f} g, with the walls typed it would weigh {:.0f} g. A "
                      "wall or a ring is not as "
                      "typed.",
                      whose, grams, 1000 * *mass));
  }
}

void about_assumptions(const job::Job& job, const Answer& a, Notes& out) {
  using K = Note::Kind;
  for (const job::LeftOut& load : job.strength.left_out)
    out.add(K::warning, "load-left-out", "strength.leave_out",
            fmt::format("The fork is not judged by the load \"{}\". The job's reason: {}",
                        base::word_of(study::kPublishedLoads, load.load).words, ended(load.reason)));
  if (const auto& own = job.material.own)
    out.add(
        K::assumed, "own-material", "material.own",
        fmt::format(
            "Strength by the job's own figures of a material, not by a row of the table. They come from: {}",
            ended(own->source)));
  about_weight(job, a, out);
  if (job.wheel.half_profile.empty()) {
    out.add(K::assumed, "tyre-assumed", "wheel.tyre",
            "The tyre's size comes from its sidewall. Measure it on its rim, at full pressure, a day after "
            "mounting.");
  }
  if (job.printer.bar_x.value == 100 && job.printer.bar_y.value == 100) {
    out.add(K::assumed, "printer-unmeasured", "printer",
            "The printer is taken as true. Measure the printed bar before use and put what it measures into "
            "the job.");
  }
  if (!job.assumed.empty()) {
    out.add(K::assumed, "defaults", "",
            "Taken as usual because the job does not say: " + keys_in_words(job.assumed) + ".");
  }
}

}  // namespace

std::vector<Note> notes_of(const job::Job& job, const Answer& answer) {
  Notes out;
  if (const auto& refused = answer.joining.refused)
    out.add(Note::Kind::warning, refused->code.c_str(), refused->where.key,
            fmt::format("No joining plan: {} {}", refused->what, refused->fits));
  if (const study::WheelHold hold = wheel_hold_of(job); hold.disc && hold.open_slots > 0)
    out.add(Note::Kind::warning, "disc-open-slot", "lower_end.kind", study::kOpenSlotWarning);
  if (answer.intent.offset < 0)
    out.add(
        Note::Kind::warning, "offset-behind", "steering.offset",
        base::say(
            "The offset is {:.1f} mm: the axle would be behind the steering axis. On a bicycle it is ahead "
            "of it, so the offset has no minus.",
            answer.intent.offset));
  for (const study::Mitre& m : answer.mitres) about_mitre(m, out);
  about_room(job, answer, out);
  if (answer.stands) {
    out.add(
        Note::Kind::warning, "done-as-cut", "done.as_cut",
        base::say("The finished blades stay as they are: the wheel stands {:.1f} mm to the {} at its top, "
                  "the left lower end {:.1f} mm {} than the right one, the offset becomes {:.1f} mm and "
                  "the axle-to-crown {:.1f} mm, straight.",
                  std::abs(answer.stands->centring), answer.stands->centring > 0 ? "left" : "right",
                  std::abs(answer.stands->height), answer.stands->height > 0 ? "higher" : "lower",
                  answer.stands->offset, answer.stands->axle_to_crown));
  } else if (job.done) {
    out.add(
        Note::Kind::warning, "done-plan", "done",
        "The job says what is done already; the numbers here are the plan as written. halfround replan says "
        "whether the two agree, and mends the plan.");
  }
  about_moves(answer, out);
  about_assumptions(job, answer, out);
  std::stable_sort(out.notes.begin(), out.notes.end(), [](const Note& a, const Note& b) {
    return static_cast<int>(a.kind) < static_cast<int>(b.kind);
  });
  return std::move(out.notes);
}

const std::vector<std::string>& cautions() {
  static const std::vector<std::string> all = {
      "A fork that fails hurts. These are numbers for a builder's judgement, not a certificate: prove a "
      "prototype by load before anyone rides it; local rules and licensed practice come first.",
      "Brazing: zinc and flux fumes need a drawn-off, ventilated place. Never use a filler with cadmium. "
      "Shade 3 or 4 for torch brazing (29 CFR 1910.252).",
      "Strip plating, chrome and galvanising before heating. Vent every closed tube; never open or stop a "
      "closed tube while it is hot.",
      "Measure the 100 mm bar and the 50 mm square on every printed page before cutting steel to it.",
  };
  return all;
}

}  // namespace halfround::solve
