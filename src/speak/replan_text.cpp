#include "speak/replan_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "shop/set_up.h"

namespace halfround::speak {

namespace {

using base::format_number;

std::string shown(const replan::Move& m, double v, bool sign = false) {
  const double value = m.angle ? base::to_deg(v) : v;
  std::string number = format_number(value, 1);
  if (sign && value > 0) number = "+" + number;
  return number + (m.angle ? "°" : " mm");
}

/// Whether a difference shows in the digits that are printed.
bool shows(const replan::Move& m) {
  return std::abs(m.difference()) >= (m.angle ? replan::kFileTurn : replan::kFileStep) / 2;
}

const char* word(replan::Fate fate) {
  switch (fate) {
    case replan::Fate::kept:
      return "keep";
    case replan::Fate::file:
      return "keep and file";
    case replan::Fate::cut_again:
      return "CUT AGAIN";
    case replan::Fate::scrap:
      return "SCRAP";
    case replan::Fate::to_cut:
      break;
  }
  return "to cut";
}

void piece(std::string& out, const replan::Piece& p) {
  out += fmt::format("     {}: {}. {}\n", bike::spoken(p.member), word(p.fate), p.why);
  if (p.fate != replan::Fate::to_cut && p.fate != replan::Fate::cut_again && p.fate != replan::Fate::scrap)
    return;
  out += fmt::format(
      "       check length {} mm (was {}); lower trim {} mm (was {}), upper end {} mm from the tip at the "
      "axis "
      "(was {})\n",
      format_number(p.length, 1), format_number(p.length_was, 1), format_number(p.lower_trim, 1),
      format_number(p.lower_trim_was, 1), format_number(p.top, 1), format_number(p.top_was, 1));
  std::string changed;
  for (const auto& [by, where] : {std::pair{p.lower_change, "lower"}, std::pair{p.upper_change, "upper"}}) {
    if (by > replan::kSeats)
      changed += fmt::format("{}its {} template by {} mm", changed.empty() ? "" : " and ", where,
                             format_number(by, 1));
  }
  if (!changed.empty()) out += "       what changes: " + changed + "; print again\n";
}

void way(std::string& out, const replan::Alternative& a) {
  std::string stay;
  for (const replan::Move& m : a.moves) {
    if (shows(m)) {
      out += fmt::format("     {}: {} ({}, planned {})\n", m.what, shown(m, m.is),
                         shown(m, m.difference(), true), shown(m, m.was));
    } else {
      stay += (stay.empty() ? "" : ", ") + m.what;
    }
  }
  if (!stay.empty()) out += "     as planned: " + stay + "\n";
  if (a.joints_apart >= replan::kFileStep / 2)
    out += fmt::format("     the two joints come {} mm apart on the steerer\n",
                       format_number(a.joints_apart, 1));
  for (const replan::Piece& p : a.pieces) piece(out, p);
  for (const std::string& b : a.broken) out += "     NOT MET: " + b + "\n";
}

/// What keeps a way out: the freedom it needs most beyond what is allowed.
std::string needs(const replan::Alternative& a) {
  std::string out;
  for (const replan::Move& m : a.moves) {
    if (m.used() <= 1 + 1e-9) continue;
    out += fmt::format("{}{} {}, you allow {}", out.empty() ? "needs " : "; ", m.what,
                       shown(m, m.difference(), true), shown(m, m.freedom));
  }
  return out;
}

}  // namespace

std::string replan_text(const replan::Replan& plan) {
  std::string out = plan.name + "\n";
  for (const replan::Reading& n : plan.notes) {
    out += "  " + n.words;
    for (const base::Offer& o : n.offers)
      out += fmt::format(" If {}, say {} = \"{}\".", o.label, o.key, o.typed);
    out += "\n";
  }
  out += plan.ways.empty() ? "\nNo way lies within your freedoms.\n"
                           : "\nWays to go on, the least change of what matters first\n";
  if (!plan.ways.empty() && !plan.mends())
    out += "  NONE KEEPS EVERYTHING THAT IS FINISHED: each throws away what it says.\n";
  int n = 0;
  for (const replan::Alternative& a : plan.ways) {
    out += fmt::format("\n  {}. {}\n", ++n, a.title);
    way(out, a);
    std::string keys;
    for (const replan::Setting& s : a.set)
      keys += fmt::format("{}{} = {}", keys.empty() ? "" : ", ", s.key, s.value);
    std::string gone;
    for (const std::string& s : a.drop) gone += (gone.empty() ? "" : ", ") + s;
    if (!keys.empty() || !gone.empty()) {
      out += "     in the job: " + keys + (keys.empty() || gone.empty() ? "" : "; ") +
             (gone.empty() ? "" : "take out " + gone) + "\n";
    }
  }
  if (!plan.ways.empty())
    out +=
        "\nhalfround replan JOB --take N --write NEW.toml writes way N into a new job; check and make go on "
        "from there.\n";
  if (!plan.outside.empty()) {
    out += "\nBeyond your freedoms\n";
    for (const replan::Alternative& a : plan.outside) {
      out += fmt::format("  - {}: {}.\n", a.title, needs(a));
      for (const replan::Piece& p : a.pieces) {
        if (p.fate == replan::Fate::scrap)
          out += fmt::format("    {}: SCRAP. {}\n", bike::spoken(p.member), p.why);
      }
    }
  }
  return out;
}

}  // namespace halfround::speak
