#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "job/replan.h"
#include "shop/set_up.h"

namespace halfround::job {

namespace {

using base::format_number;

std::string shown(const Move& m, double v, bool sign = false) {
  const double value = m.angle ? base::to_deg(v) : v;
  std::string number = format_number(value, 1);
  if (sign && value > 0) number = "+" + number;
  return number + (m.angle ? "°" : " mm");
}

/// Whether a difference shows in the digits that are printed.
bool shows(const Move& m) {
  return std::abs(m.difference()) >= (m.angle ? kFileTurn : kFileStep) / 2;
}

const char* word(Fate fate) {
  switch (fate) {
    case Fate::kept:
      return "keep";
    case Fate::file:
      return "keep and file";
    case Fate::cut_again:
      return "CUT AGAIN";
    case Fate::scrap:
      return "SCRAP";
    case Fate::to_cut:
      break;
  }
  return "to cut";
}

void piece(std::string& out, const Piece& p) {
  out += fmt::format("     {}: {}. {}\n", bike::spoken(p.member), word(p.fate), p.why);
  if (p.fate != Fate::to_cut && p.fate != Fate::cut_again && p.fate != Fate::scrap) return;
  out += fmt::format(
      "       check length {} mm (was {}); lower trim {} mm (was {}), upper end {} mm from the tip at the "
      "axis "
      "(was {})\n",
      format_number(p.length, 1), format_number(p.length_was, 1), format_number(p.lower_trim, 1),
      format_number(p.lower_trim_was, 1), format_number(p.top, 1), format_number(p.top_was, 1));
  std::string changed;
  for (const auto& [by, where] : {std::pair{p.lower_change, "lower"}, std::pair{p.upper_change, "upper"}}) {
    if (by > kSeats)
      changed += fmt::format("{}its {} template by {} mm", changed.empty() ? "" : " and ", where,
                             format_number(by, 1));
  }
  if (!changed.empty()) out += "       what changes: " + changed + "; print again\n";
}

void way(std::string& out, const Alternative& a) {
  std::string stay;
  for (const Move& m : a.moves) {
    if (shows(m)) {
      out += fmt::format("     {}: {} ({}, planned {})\n", m.what, shown(m, m.is),
                         shown(m, m.difference(), true), shown(m, m.was));
    } else {
      stay += (stay.empty() ? "" : ", ") + m.what;
    }
  }
  if (!stay.empty()) out += "     as planned: " + stay + "\n";
  if (a.joints_apart >= kFileStep / 2)
    out += fmt::format("     the two joints come {} mm apart on the steerer\n",
                       format_number(a.joints_apart, 1));
  for (const Piece& p : a.pieces) piece(out, p);
  for (const std::string& b : a.broken) out += "     NOT MET: " + b + "\n";
}

/// What keeps a way out: the freedom it needs most beyond what is allowed.
std::string needs(const Alternative& a) {
  std::string out;
  for (const Move& m : a.moves) {
    if (m.used() <= 1 + 1e-9) continue;
    out += fmt::format("{}{} {}, you allow {}", out.empty() ? "needs " : "; ", m.what,
                       shown(m, m.difference(), true), shown(m, m.freedom));
  }
  return out;
}

}  // namespace

std::string replan_text(const Replan& plan) {
  std::string out = plan.name + "\n";
  for (const Reading& n : plan.notes) {
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
  for (const Alternative& a : plan.ways) {
    out += fmt::format("\n  {}. {}\n", ++n, a.title);
    way(out, a);
    std::string keys;
    for (const Setting& s : a.set) keys += fmt::format("{}{} = {}", keys.empty() ? "" : ", ", s.key, s.value);
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
    for (const Alternative& a : plan.outside) {
      out += fmt::format("  - {}: {}.\n", a.title, needs(a));
      for (const Piece& p : a.pieces) {
        if (p.fate == Fate::scrap) out += fmt::format("    {}: SCRAP. {}\n", bike::spoken(p.member), p.why);
      }
    }
  }
  return out;
}

}  // namespace halfround::job
