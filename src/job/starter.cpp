// The order, the words and the units come from the schema; only the numbers of the sample fork stand here.
#include "job/starter.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "job/schema.h"

namespace halfround::job {

namespace {

struct Sample {
  std::string_view key, value;
};

/// A fork of ordinary size, so that the file gives sheets before a number is changed.
constexpr Sample kSamples[] = {
    {"version", "1"},
    {"job.name", "\"my fork\""},
    {"wheel.bead_seat", "559"},
    {"wheel.rim_width", "25"},
    {"wheel.tyre", "\"54-559\""},
    {"hub.over_locknut", "100"},
    {"hub.axle", "12"},
    {"steering.head_angle", "\"71.5 deg\""},
    {"steering.offset", "44"},
    {"steering.axle_to_crown", "408"},
    {"steering.axle_to_crown_is", "\"straight\""},
    {"steerer.diameter", "\"1 1/8 in\""},
    {"steerer.wall", "2.9"},
    {"steerer.length", "240"},
    {"steerer.below_seat", "62"},
    {"blades.stations",
     "[\n  # at, width, depth, wall\n  [0, 16, 16, 1.5],\n  [90, 19, 20.5, 1.5],\n"
     "  [220, 22, 27, 1.5],\n  [330, 24, 30, 1.5],\n]"},
    {"blades.shape",
     "[\n  {straight = 345},\n  {bend = \"71 deg\", radius = 75, toward = \"inward\"},\n"
     "  {straight = 34},\n]"},
    {"lower_end.kind", "\"insert\""},
    {"lower_end.blade_from_hub", "10"},
    {"lower_end.diameter", "24"},
    {"lower_end.length", "20"},
    {"lower_end.bore", "12"},
    {"wishes.clearance", "8"},
    {"wishes.crown_height", "34"},
};

/// The sections that ask a question by being there.
constexpr std::string_view kAsked[] = {"bicycle", "pedals", "mudguard", "done", "freedoms"};

std::string_view sample_of(std::string_view key) {
  for (const Sample& s : kSamples) {
    if (s.key == key) return s.value;
  }
  return {};
}

std::string_view unit_of(const Row& row) {
  switch (row.form) {
    case Form::length:
      return ", mm";
    case Form::angle:
      return ", degrees";
    case Form::mass:
      return ", kg";
    case Form::force:
      return ", N";
    case Form::share:
      return row.least == row.most ? "" : ", mm or \"remainder\"";
    case Form::count:
    case Form::ratio:
    case Form::text:
    case Form::choice:
    case Form::either:
    case Form::list:
      break;
  }
  return "";
}

std::string choices_of(const Row& row) {
  std::string out;
  for (const char c : row.choices) out += c == '|' ? std::string("\" | \"") : std::string(1, c);
  return out.empty() ? out : fmt::format(" \"{}\"", out);
}

std::string line_of(const Row& row, std::string_view name) {
  const std::string_view value = sample_of(row.key);
  std::string out =
      fmt::format("# {}{}{}\n", row.meaning.substr(0, row.meaning.size() - 1), unit_of(row), choices_of(row));
  if (!value.empty()) return out + fmt::format("{} = {}\n", name, value);
  const std::string fallback =
      row.form == Form::choice || row.form == Form::text || row.fallback == "remainder"
          ? fmt::format("\"{}\"", row.fallback)
          : std::string(row.fallback);
  return out + fmt::format("# {} = {}{}\n", name, row.need == Need::assumed ? fallback : row.example,
                           row.need == Need::assumed ? fmt::format("   # left out: {}", fallback) : "");
}

/// A section that may stand several times, each key of it as a comment.
std::string repeated(const Row& list) {
  std::string out = fmt::format("\n# {}\n# [[{}]]\n", list.meaning, list.key);
  for (const Row& row : schema()) {
    if (row.key.starts_with(list.key) && row.key.substr(list.key.size()).starts_with("[]."))
      out += fmt::format("# {} = {}   # {}{}\n", row.key.substr(list.key.size() + 3), row.example,
                         row.meaning.substr(0, row.meaning.size() - 1), unit_of(row));
  }
  return out;
}

}  // namespace

std::string starter_job() {
  std::string out =
      "# A fork for Halfround. Lengths are in mm and angles in degrees unless you write a unit;\n"
      "# anything but a plain number goes in quotation marks: \"28,6 mm\", \"1 1/8 in\", \"72 deg 30'\".\n"
      "# docs/job-file.md explains every key with a picture of where the calliper goes.\n\n";
  std::string section;
  for (const Row& row : schema()) {
    const auto dot = row.key.find('.');
    const std::string_view head = dot == std::string_view::npos ? "" : row.key.substr(0, dot);
    // the columns of a list and the keys of a measured tyre are explained in the documentation
    if (row.key.find("[]") != std::string_view::npos || row.key.starts_with("wheel.tyre.")) continue;
    if (head.empty() && row.form == Form::list) {
      out += repeated(row);
      continue;
    }
    if (head != section) {
      section = head;
      const bool asked = std::ranges::find(kAsked, head) != std::end(kAsked);
      out += asked ? fmt::format(
                         "\n# take the # away from this line and from what you know to have the {} "
                         "looked at\n# [{}]\n",
                         head, head)
                   : fmt::format("\n[{}]\n", head);
    }
    out += line_of(row, dot == std::string_view::npos ? row.key : row.key.substr(dot + 1));
    if (row.key == "wheel.tyre")
      out += "# or measure it: a section [wheel.tyre] with outside_diameter and half_profile\n";
  }
  return out;
}

}  // namespace halfround::job
