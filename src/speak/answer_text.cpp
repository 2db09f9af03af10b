#include "speak/answer_text.h"

#include <fmt/format.h>

#include <cmath>

#include "base/clock.h"
#include "base/quantity.h"
#include "shop/scribe.h"
#include "shop/set_up.h"
#include "solve/notes.h"
#include "solve/studies.h"
#include "speak/proof_text.h"

namespace halfround::speak {

namespace {

using base::format_number;
using base::to_deg;

constexpr double kKmhPerMs = 3.6;

/// Columns are padded by what is seen, not by bytes (a minus sign is three bytes, a degree sign two).
std::string padded(const std::string& text, int width) {
  int seen = 0;
  for (const char c : text) seen += (static_cast<unsigned char>(c) & 0xC0) != 0x80;
  return std::string(static_cast<std::size_t>(std::max(0, width - seen)), ' ') + text;
}

void line(std::string& out, const std::string& what, double value, const std::string& unit,
          int decimals = 1) {
  out += fmt::format("  {:<34}", what) + padded(format_number(value, decimals), 9) +
         (unit == "°" ? "" : " ") + unit + "\n";
}

void blade(std::string& out, const std::string& title, const layout::Placed& p) {
  out += title + "\n";
  line(out, "splay", to_deg(p.splay), "°", 2);
  line(out, "lower trim", p.lower_trim, "mm");
  line(out, "used between the design points", p.s_top - p.lower_trim, "mm");
  line(out, "crown height below the race seat", p.crown_height, "mm");
  line(out, "top angle to the steering axis", to_deg(p.top_angle), "°");
  line(out, "tyre clearance", p.clearance.value, "mm");
  out += "  offset made up of\n";
  line(out, "  blade tilt", p.shares.tilt, "mm", 2);
  line(out, "  mitre offset", p.shares.mitre_offset, "mm", 2);
  line(out, "  blade rake", p.shares.rake, "mm", 2);
  line(out, "  dropout lead", p.shares.dropout_lead, "mm", 2);
  line(out, "  sum", p.shares.sum(), "mm", 2);
}

std::string speed(const std::optional<double>& v_m_s) {
  return v_m_s ? format_number(*v_m_s, 1) : "–";
}

/// "from 4.3 to 6.0 m/s (15 to 22 km/h)"
std::string range_in_words(const std::optional<study::SpeedRange>& range) {
  if (!range) return "at no speed";
  const auto both = [&](double factor, int decimals) {
    return format_number(factor * range->from_m_s, decimals) +
           (range->to_m_s ? " to " + format_number(factor * *range->to_m_s, decimals) : "");
  };
  return fmt::format("{}from {} m/s ({} km/h)", range->to_m_s ? "" : "at all speeds ", both(1, 1),
                     both(kKmhPerMs, 0));
}

void bicycle(std::string& out, const study::Handling& b) {
  out += "Bicycle with a rigid rider, hands off the bars\n";
  line(out, "mass of all", b.mass, "kg");
  line(out, "its centre ahead of the rear axle", b.centre_ahead, "mm", 0);
  line(out, "its centre above the ground", b.centre_height, "mm", 0);
  out += fmt::format("  {:<34}  {}\n", "holds itself upright", range_in_words(b.drawn.steady));
  out += "    offset    trail  wheelbase  weave dies out above, m/s  falls slowly above, m/s\n";
  for (const study::Steadiness& s : b.by_offset) {
    out += padded(format_number(s.offset, 1), 10) + padded(format_number(s.trail, 1), 9) +
           padded(format_number(s.wheelbase, 1), 11) + padded(speed(s.weave_m_s), 27) +
           padded(speed(s.capsize_m_s), 25) + "\n";
  }
  const auto good_to = [](const std::optional<double>& v) {
    return v ? format_number(*v, 1) + " m/s" : "nothing";
  };
  out += fmt::format("  With rider and masses guessed, the two speeds are good to {} and {}.\n",
                     good_to(b.by_guesses.weave_m_s), good_to(b.by_guesses.capsize_m_s));
  out +=
      "  A model with estimated inertias (docs/handling.md): good for comparing forks, no measure of "
      "safety.\n\n";
}

constexpr double kGrams = 1000;  // per kg

void mass(std::string& out, const study::Mass& m) {
  out += fmt::format("Mass once the ends are cut (steel of {} kg/m³; bosses not counted)\n",
                     format_number(m.density_kg_m3, 0));
  const auto row = [&](const std::string& what, const std::optional<double>& kg) {
    if (kg) return line(out, what, kGrams * *kg, "g", 0);
    out += fmt::format("  {:<34}", what) + padded("unknown", 9) + ": its wall isn't given\n";
  };
  for (const study::PartMass& p : m.parts) row(p.part.empty() ? p.filler : bike::spoken(p.part), p.mass);
  row("all", m.total);
  line(out, "centre of gravity below the seat", -m.centre.z(), "mm", 0);
  line(out, "  ahead of the steering axis", m.centre.x(), "mm");
  line(out, "  left of the middle", m.centre.y(), "mm");
  line(out, "inertia about the steering axis", m.about_steering, "kg mm²", 0);
}

void verdict(std::string& out, const bike::Verdict& v) {
  const std::string unit = v.unit.empty() ? "" : " " + v.unit;
  const bike::Standing standing = v.standing();
  const bool open = standing == bike::Standing::not_met || standing == bike::Standing::unknown;
  out += fmt::format("  {:<10} {}{}", bike::word_of(standing),
                     open ? fmt::format("({}) ", bike::word_of(v.grade())) : "", v.what);
  if (v.value) out += ": " + format_number(*v.value, 2) + unit;
  if (v.limit) {
    out += fmt::format(", {} {}{} [{}]", bike::word_of(v.limit->bound), format_number(v.limit->value, 2),
                       unit, v.limit->source);
  }
  if (!v.where.empty()) out += "; at " + v.where;
  out += v.note.empty() ? "\n" : "; " + v.note + "\n";
  if (!v.fix) return;
  out += fmt::format("{:13}To meet it: {}\n", "", v.fix->what);
}

/// The questions a builder asks, each with its count and then its lines.
void questions(std::string& to, const solve::Answer& a) {
  const std::vector<bike::Verdict>& all = a.verdicts;
  std::string out;
  for (const auto& q : bike::kQuestions) {
    std::vector<bike::Verdict> mine;
    std::ranges::copy_if(all, std::back_inserter(mine),
                         [&](const bike::Verdict& v) { return v.question() == q.value; });
    if (mine.empty()) continue;
    out += fmt::format("{} {}\n", q.words, bike::in_words(bike::tally_of(mine)));
    for (const bike::Verdict& v : mine) verdict(out, v);
  }
  to += std::move(out);
}

void tolerance(std::string& out, const solve::Answer& a) {
  out += fmt::format("Which dimension to hold tight ({} draws)\n", a.tolerance->draws);
  for (const study::MeasureResult& m : a.tolerance->measures) {
    out += fmt::format("  {}: 95 of 100 within {} {}, worst case ± {}, root sum square ± {}\n", m.name,
                       format_number(m.spread95, 2), m.unit, format_number(m.worst_case, 2),
                       format_number(m.rss, 2));
    if (const std::string advice = study::advice(m, a.chain.dimensions); !advice.empty())
      out += "    " + advice + "\n";
  }
}

void changes(std::string& out, const std::vector<study::Change>& all) {
  const auto margin = [](const std::optional<double>& before, const std::optional<double>& after) {
    if (!before || !after) return std::string("unknown");
    return fmt::format("{} to {}", format_number(*before, 2), format_number(*after, 2));
  };
  out += "What more metal would bring\n";
  for (const study::Change& c : all) {
    out += fmt::format("  {}: {} g; margin against yield {}, against fatigue {}\n", c.what,
                       format_number(kGrams * c.mass_change, 0), margin(c.yield_before, c.yield_after),
                       margin(c.fatigue_before, c.fatigue_after));
  }
}

/// What a bench test of this very fork should read, and what a wrong reading means. The shares are our own.
void joining(std::string& out, const study::JoiningPlan& p) {
  if (p.refused)
    out += fmt::format("Joining: no plan. {} {}\n", p.refused->what, p.refused->fits);
  else
    out += fmt::format("Joining: {} g of filler in the joints; rods with {} % for waste\n",
                       format_number(kGrams * p.mass, 0), format_number(100 * p.waste, 0));
  for (const study::JointFill& j : p.joints) {
    if (j.gap.empty())
      out += fmt::format("  {}, onto the {}: {} mm of joint, surfaces {}° to {}° apart",
                         bike::spoken(j.member, j.end), bike::spoken(j.onto), format_number(j.length, 0),
                         format_number(to_deg(j.psi_least), 0), format_number(to_deg(j.psi_most), 0));
    else
      out += "  " + j.gap;
    for (const study::Fill& f : j.fills)
      out += fmt::format("; {} {} g", f.filler, format_number(kGrams * f.mass, 1));
    out += "\n";
  }
  for (const study::Shopping& s : p.shopping) {
    out +=
        fmt::format("  {} rod, {}:", s.filler, s.on_the_rack ? "on the rack, any one of" : "to buy, one of");
    for (const study::Rod& r : s.rods)
      out += fmt::format(" {} mm of {} mm;", format_number(r.length, 0), format_number(r.diameter, 2));
    out.back() = '\n';
  }
  for (const study::Vent& v : p.vents)
    out += fmt::format("  vent {}: {} mm hole {} mm along it at {}°; {}\n", bike::spoken(v.member),
                       format_number(v.diameter, 1), format_number(v.s, 0), format_number(to_deg(v.u), 0),
                       v.why);
  int n = 0;
  for (const study::Step& s : p.steps) out += fmt::format("  {}. {}\n", ++n, s.what);
  for (const study::Step& s : p.cautions) out += "  ! " + s.what + "\n";
}

void mount(std::string& out, const study::Mount& m) {
  out += fmt::format("Brake mount on the {}: ", bike::spoken(m.blade));
  if (m.known) {
    out += fmt::format(
        "face {} mm behind the axle, leaning {}°, bolts {} mm out from the wheel's middle; ± {} mm\n",
        format_number(m.face, 1), format_number(to_deg(m.turn), 1), format_number(m.lateral, 1),
        format_number(m.tolerance, 1));
  } else {
    out += "its place is not known\n";
  }
  for (std::size_t i = 0; i < m.feet.size(); ++i) {
    const study::MountFoot& f = m.feet[i];
    out += fmt::format(
        "  bolt {}: {} mm along the face; stands {} mm off the blade, over {} mm along it at clock {}°{}\n",
        i + 1, format_number(f.along, 1), format_number(f.meets ? f.standing : f.nearest, 1),
        format_number(f.s, 1), format_number(to_deg(f.u), 0),
        f.meets ? "" : "; a straight post passes beside it");
  }
  for (const std::string& n : m.notes) out += "  " + n + "\n";
}

void features(std::string& out, const std::vector<study::Feature>& all) {
  out += "Small parts and openings, in the order to make them\n";
  int n = 0;
  for (const study::Feature& f : all) {
    out += fmt::format("  {}. {} of {} mm on the {}, {} mm along it at {}°: {}.{}{}{}\n", ++n, f.name,
                       format_number(f.size, 1), bike::spoken(f.member), format_number(f.s, 1),
                       format_number(to_deg(f.u), 0), f.when,
                       f.placed.empty() ? "" : " By rule: " + f.placed + ".", f.caution.empty() ? "" : " ",
                       f.caution);
  }
}

void mitre(std::string& out, const study::Mitre& m) {
  out += fmt::format("Mitre: {}, onto the {}\n", bike::spoken(m.member, m.end), bike::spoken(m.onto));
  out += fmt::format("  scribe line {}\n", shop::scribe_place(m));
  if (const std::string skin = shop::scribe_on_skin(m); !skin.empty()) out += "  " + skin + "\n";
  out += fmt::format("  joint {} mm; depths from the scribe line\n", format_number(m.joint_length, 1));
  out += "    clock    outer    inner    bevel\n";
  for (const study::ClockDepth& c : m.clock) {
    out += padded(base::format_clock(c.u), 9) + padded(format_number(c.outer, 2), 9) +
           padded(std::isnan(c.inner) ? "–" : format_number(c.inner, 2), 9) +
           padded(format_number(to_deg(c.bevel), 1) + "°", 9) + (c.met ? "" : "   passes beside") + "\n";
  }
}

/// What one study has to say beside its verdicts.
void tell(std::string& out, const solve::Answer& a, solve::Study which) {
  switch (which) {
    case solve::Study::steering:
      if (a.bicycle) bicycle(out, *a.bicycle);
      return;
    case solve::Study::mass:
      return mass(out, a.mass);
    case solve::Study::strength:
      if (!a.changes.empty()) changes(out, a.changes), out += "\n";
      if (a.strength.unknown.empty()) out += proof_text(a.strength) + "\n";
      return;
    case solve::Study::tolerance:
      if (a.tolerance) tolerance(out, a);
      return;
    case solve::Study::joining:
      return joining(out, a.joining);
    case solve::Study::mount:
      if (a.mount) mount(out, *a.mount);
      return;
    case solve::Study::small_parts:
      if (!a.features.empty()) features(out, a.features);
      return;
    case solve::Study::wheel:
    case solve::Study::clearance:
    case solve::Study::edges:
    case solve::Study::stands:
      return;  // all is said by the verdicts and notes
  }
}

}  // namespace

std::string to_text(const solve::Answer& a) {
  std::string out = a.name + "   (revision " + a.revision + ")\n\nSteering\n";
  line(out, "head angle", to_deg(a.handling.head_angle), "°", 2);
  line(out, "offset", a.intent.offset, "mm");
  line(out, "axle to crown, straight", a.handling.axle_to_crown_straight, "mm");
  line(out, "axle to crown, along the axis", a.handling.axle_to_crown_along, "mm");
  line(out, "wheel radius", a.handling.wheel_radius, "mm");
  line(out, a.handling.loaded_trail ? "trail, tyre unloaded" : "trail", a.handling.trail, "mm");
  if (a.handling.loaded_trail) line(out, "trail, rider on", *a.handling.loaded_trail, "mm");
  line(out, "wheel flop", a.handling.flop, "mm");
  if (a.front_centre) line(out, "front centre", a.front_centre->straight, "mm");
  out += "\n";
  tell(out, a, solve::Study::steering);
  if (a.fork.mirrored) {
    blade(out, "Both blades (mirror images)", a.fork.left);
  } else {
    blade(out, "Left blade", a.fork.left);
    blade(out, "Right blade", a.fork.right);
  }
  line(out, "tyre to steerer", a.crown_gap, "mm");
  line(out, "joint below the race seat", a.seat_gap, "mm");
  out += "\n";
  tell(out, a, solve::Study::mass);
  out += "\nChecked\n";
  questions(out, a);
  out += fmt::format("  {}\n\n", study::kStrengthCaution);
  tell(out, a, solve::Study::strength);
  tell(out, a, solve::Study::tolerance);
  out += "\n";
  for (const auto which : {solve::Study::joining, solve::Study::mount, solve::Study::small_parts})
    tell(out, a, which);
  for (const study::Mitre& m : a.mitres) {
    out += "\n";
    mitre(out, m);
  }
  if (!a.notes.empty()) out += "\nTo note\n";
  for (const solve::Note& n : a.notes) out += "  - " + n.what + "\n";
  out += "\nCautions\n";
  for (const std::string& c : solve::cautions()) out += "  - " + c + "\n";
  return out;
}

std::string verdicts_text(const solve::Answer& a) {
  std::string out;
  questions(out, a);
  return out;
}

}  // namespace halfround::speak
