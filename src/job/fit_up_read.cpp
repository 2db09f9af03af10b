#include "job/fit_up_read.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/plain.h"
#include "base/quantity.h"
#include "job/table_reader.h"
#include "job/text_door.h"

namespace halfround::job {

using base::Kind;
using base::Problem;
using base::Problems;
using base::Result;

namespace {

using enum Form;
using enum Need;

constexpr Row kRows[] = {
    {"end", text, required, 5, 40, "", "", "\"left blade, upper end\"", "The end that is tried.", ""},
    {"touch", list, optional, 1, 72, "", "", "[30, 210]", "Clock positions where it touches.", ""},
    {"touch[].clock", angle, required, -360, 720, "", "", "30", "A clock position.", ""},
    {"gaps", list, optional, 1, 72, "", "", "[[90, 0.15], [270, 0.3]]",
     "Clock positions with the thickest feeler that goes in.", ""},
    {"gaps[].clock", angle, required, -360, 720, "", "", "90", "A clock position.", ""},
    {"gaps[].gap", length, required, 0, 5, "", "", "0.15", "The thickest feeler that goes in.", ""},
    {"no_touch", list, optional, 1, 72, "", "", "[0]", "Clock positions where nothing may be taken off.", ""},
    {"no_touch[].clock", angle, required, -360, 720, "", "", "0", "A clock position.", ""},
    {"allowed", length, optional, 0, 2, "", "", "0.1", "Gap that may stay; left out, 0.", ""},
    {"feeler", length, optional, 0.01, 0.5, "", "", "0.05",
     "Step from one feeler to the next; left out, 0.04.", ""},
};

constexpr const char* kEnds =
    "Give one of \"left blade, upper end\", \"left blade, lower end\", \"right blade, upper "
    "end\", \"right blade, lower end\".";

/// What neither form of input can get right by itself.
void check_report(const FitUpReport& r, const base::Place& where, Problems& problems) {
  if (r.readings.size() < 2) {
    problems.push_back({"fit-up-few", where,
                        fmt::format("Found {} clock position{}; that says nothing about an angle.",
                                    r.readings.size(), r.readings.size() == 1 ? "" : "s"),
                        "Read two at least, six all round are good."});
  }
}

void feeler(FitUpReport& r, double step) {
  r.options.sd = step / 2;
}

std::vector<std::string> split(const std::string& text) {
  std::vector<std::string> out;
  std::string word;
  for (const char c : text + " ") {
    if (c == ' ' || c == '\t' || c == ',') {
      if (!word.empty()) out.push_back(std::move(word));
      word.clear();
    } else {
      word += c;
    }
  }
  return out;
}

/// A quantity typed on the command line, within its row.
std::optional<double> number(const std::string& text, const std::string& key, Kind kind, double least,
                             double most, Problems& problems) {
  const base::Place where{"", 0, 0, key};
  const auto q = base::parse_quantity(text, kind);
  if (!q) {
    problems.push_back({q.error().code, where, q.error().what, q.error().fits});
    return std::nullopt;
  }
  const double v = kind == Kind::angle ? base::to_deg(q->value) : q->value;
  if (v >= least && v <= most) return q->value;
  const char* unit = kind == Kind::angle ? "deg" : "mm";
  problems.push_back({"out-of-range", where, base::plainly("Found {} {}.", v, unit),
                      fmt::format("Give {} to {} {}.", least, most, unit)});
  return std::nullopt;
}

}  // namespace

Result<std::pair<bike::Part, bike::End>> end_of(std::string_view words) {
  for (const bike::Side side : {bike::Side::left, bike::Side::right}) {
    for (const bike::End end : {bike::End::end, bike::End::start}) {
      const bike::Part blade = bike::part(bike::PartKind::blade, side);
      if (words == bike::spoken(blade, end)) return std::pair{blade, end};
    }
  }
  return tl::unexpected(Problem{
      "fit-up-end", {"", 0, 0, "end"}, fmt::format("There is no end \"{}\".", words.substr(0, 60)), kEnds});
}

Result<FitUpReport, Problems> read_fit_up(std::string_view text, const std::string& file) {
  if (auto problem = stopped_at_door(text, file)) {
    if (problem->code == "job-empty")
      problem->fits = "Give the end and what you read at which clock angles: see docs/fit-up.md.";
    return tl::unexpected(Problems{std::move(*problem)});
  }
  Problems problems;
  FitUpReport out;
  std::map<std::string, Line> lines;
  std::vector<std::string> assumed;
  try {
    const toml::table table = toml::parse(text, std::string{file});
    TableReader r(text, {kRows, "docs/fit-up.md"}, {file, lines, assumed}, problems);
    const Spot root = r.root(table), end = r.in(root, "end");
    const std::string words = r.text(end);
    if (!words.empty()) {
      const auto which = end_of(words);
      if (which) {
        std::tie(out.member, out.end) = *which;
      } else {
        r.complain("fit-up-end", r.place(end), which.error().what, which.error().fits);
      }
    }
    // a bare clock position, not a row of one
    const auto clocks = [&](std::string_view name, const auto& take) {
      const Spot list = r.in(root, name);
      if (list.node == nullptr) return;
      for (Spot row : r.rows(list)) {
        row.key = fmt::format("{}[].clock", name);
        if (const auto q = r.maybe(row)) take(q->value);
      }
    };
    clocks("touch", [&](double u) { out.readings.push_back({u, 0}); });
    const Spot gaps = r.in(root, "gaps");
    if (gaps.node != nullptr) {
      for (const Spot& row : r.rows(gaps)) {
        const auto c = r.cells(row, {"clock", "gap"});
        if (!c.empty()) out.readings.push_back({r.quantity(c[0]).value, r.quantity(c[1]).value});
      }
    }
    clocks("no_touch", [&](double u) { out.options.no_touch.push_back(u); });
    if (const auto q = r.maybe(r.in(root, "allowed"))) out.options.allowed = q->value;
    if (const auto q = r.maybe(r.in(root, "feeler"))) feeler(out, q->value);
    r.refuse_unknown(table, "");
    if (problems.empty()) check_report(out, {file, 0, 0, "touch"}, problems);
  } catch (const toml::parse_error& error) {
    return tl::unexpected(Problems{grammar_problem(error, file)});
  }
  if (!problems.empty()) return tl::unexpected(in_file_order(std::move(problems)));
  return out;
}

Result<FitUpReport, Problems> fit_up_of(const FitUpWords& words) {
  Problems problems;
  FitUpReport out;
  const auto which = end_of(words.end);
  if (which) {
    std::tie(out.member, out.end) = *which;
  } else {
    problems.push_back(which.error());
    problems.back().where.key = "--end";
  }
  const auto clock = [&](const std::string& text, const char* key) {
    return number(text, key, Kind::angle, -360, 720, problems);
  };
  for (const std::string& word : split(words.touch)) {
    if (const auto u = clock(word, "--touch")) out.readings.push_back({*u, 0});
  }
  for (const std::string& word : split(words.gaps)) {
    const auto at = word.find('=');
    if (at == std::string::npos) {
      problems.push_back({"fit-up-pair",
                          {"", 0, 0, "--gap"},
                          fmt::format("Found {} without a gap.", word),
                          "Give clock position and gap together: 90=0.15."});
      continue;
    }
    const auto u = clock(word.substr(0, at), "--gap");
    const auto gap = number(word.substr(at + 1), "--gap", Kind::length, 0, 5, problems);
    if (u && gap) out.readings.push_back({*u, *gap});
  }
  for (const std::string& word : split(words.no_touch)) {
    if (const auto u = clock(word, "--no-touch")) out.options.no_touch.push_back(*u);
  }
  if (!words.allowed.empty())
    out.options.allowed = number(words.allowed, "--allowed", Kind::length, 0, 2, problems).value_or(0);
  if (!words.feeler.empty())
    if (const auto step = number(words.feeler, "--feeler", Kind::length, 0.01, 0.5, problems))
      feeler(out, *step);
  if (problems.empty()) check_report(out, {"", 0, 0, "--touch"}, problems);
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return out;
}

}  // namespace halfround::job
