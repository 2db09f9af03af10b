#include "solve/read_back.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "base/quantity.h"
#include "job/material.h"

namespace halfround::solve {

using base::Problem;
using base::Vec3;

namespace {

constexpr double kEnough = 0.05;  // mm: nobody pushes a blade by less
constexpr const char* kLetters = "ABDEFG";

Problem problem(const char* code, const std::string& reading, std::string what) {
  return {code,
          {"", 0, 0, reading},
          std::move(what),
          "Give the six readings of the measuring sheet, e.g. A=404.6 B=404.5 D=44.1 E=43.9 F=50.0 G=50.2."};
}

TrueStand stand_of(const Vec3& left, const Vec3& right, double wheel_radius) {
  TrueStand out;
  out.left = left, out.right = right;
  const Vec3 middle = (left + right) / 2;
  out.offset = middle.x(), out.axle_to_crown = std::hypot(middle.x(), middle.z());
  out.height = left.z() - right.z(), out.lead = left.x() - right.x(), out.spacing = left.y() - right.y();
  // the tyre's top follows the axle's lean: over its radius the faces' width [derived]
  out.centring = middle.y() - wheel_radius / std::max(1.0, out.spacing) * out.height;
  return out;
}

/// Both ends of the drawn fork.
std::pair<Vec3, Vec3> drawn(const Answer& a) {
  Vec3 left = a.fork.assembly.axle, right = left;
  for (const bike::Limb& limb : a.chain.limbs) (limb.end.y() > 0 ? left : right) = limb.end;
  return {left, right};
}

std::string at(char letter, double reading) {
  return fmt::format("{} reads {} mm", letter, base::format_number(reading, 2));
}

/// Sideways each end goes to its drawn distance from the middle, moved so far that the wheel's top comes into
/// the middle in spite of an axle that leans.
void set_sideways(ReadBack& out, const Vec3& left, const Vec3& right, double wheel_radius) {
  const double width = left.y() - right.y();
  const double lean = wheel_radius / std::max(1.0, width) * out.now.height;
  const double to_left = left.y() + lean, to_right = right.y() + lean;
  const auto push = [&](bool is_left, double from, double to) {
    if (std::abs(to - from) < kEnough) return;
    const bool outward = is_left == (to > from);
    out.settings.push_back({is_left ? "left blade" : "right blade", outward ? "outward" : "inward",
                            std::abs(to - from), is_left ? at('F', to) : at('G', -to)});
  };
  push(true, out.now.left.y(), to_left);
  push(false, out.now.right.y(), to_right);
  if (std::abs(to_left - out.now.left.y()) >= kEnough) out.then.left.y() = to_left;
  if (std::abs(to_right - out.now.right.y()) >= kEnough) out.then.right.y() = to_right;
}

/// Fore and aft only the two ends against each other: the one that is farther from its place goes.
void set_fore_and_aft(ReadBack& out, const Vec3& left, const Vec3& right) {
  if (std::abs(out.now.lead - (left.x() - right.x())) < kEnough) return;
  const bool is_left = std::abs(out.now.left.x() - left.x()) > std::abs(out.now.right.x() - right.x());
  Vec3& end = is_left ? out.then.left : out.then.right;
  const Vec3& other = is_left ? out.now.right : out.now.left;
  const double to = other.x() + (is_left ? 1 : -1) * (left.x() - right.x()), by = to - end.x();
  out.settings.push_back({is_left ? "left blade" : "right blade", by > 0 ? "forward" : "rearward",
                          std::abs(by), at(is_left ? 'D' : 'E', to)});
  end.x() = to;
}

void tell_what_remains(ReadBack& out, const job::Job& job, const Answer& a) {
  const auto say = [&](const char* what, double is, double drawn_as) {
    out.remains.push_back(fmt::format("{} is {} mm, drawn {} mm: cold setting does not change it.", what,
                                      base::format_number(is, 2), base::format_number(drawn_as, 2)));
  };
  if (std::abs(out.then.height) > kEnough) {
    const bool open = layout::row_of(job.lower_end.kind).axle == layout::AxleHold::slot;
    out.remains.push_back(fmt::format("The {} end stands {} mm too high. {}",
                                      out.then.height > 0 ? "left" : "right",
                                      base::format_number(std::abs(out.then.height), 2),
                                      open ? "File the other end's slot deeper by that."
                                           : "A closed fork end can't be filed: the blades are set so "
                                             "that the wheel's top stands in the middle all the same."));
  }
  const double drawn_straight = std::hypot(a.intent.offset, a.intent.drop);
  if (std::abs(out.then.offset - a.intent.offset) > 0.2) say("The offset", out.then.offset, a.intent.offset);
  if (std::abs(out.then.axle_to_crown - drawn_straight) > 0.2)
    say("The axle-to-crown", out.then.axle_to_crown, drawn_straight);
}

std::string caution_of(const job::Job& job) {
  const bike::Material m = job::material_called(job.material, job.material.blades);
  if (m.metal != bike::BaseMetal::steel)
    return "Don't cold set these blades: " + std::string(m.name) + " cracks or takes no set that stays.";
  return "Cold set a cold fork, in small pushes, measuring after each. Clamp the steerer, not the crown. "
         "Never "
         "bend at a joint, a bend or a dent, and stop when a push gives more than the one before.";
}

}  // namespace

base::Result<PlateReadings> plate_readings(const std::vector<std::string>& words) {
  PlateReadings out;
  double* const places[] = {&out.a, &out.b, &out.d, &out.e, &out.f, &out.g};
  bool seen[6] = {};
  for (const std::string& word : words) {
    const std::string letters = kLetters;
    const auto index = word.size() > 1 && word[1] == '=' ? letters.find(word[0]) : std::string::npos;
    if (index == std::string::npos)
      return tl::unexpected(problem("reading-unknown", word.substr(0, word.find('=')),
                                    fmt::format("Found \"{}\", which is no reading.", word)));
    if (seen[index])
      return tl::unexpected(
          problem("reading-twice", std::string(1, word[0]), fmt::format("{} is given twice.", word[0])));
    auto q = base::parse_quantity(word.substr(2), base::Kind::length);
    if (!q) {
      q.error().where.key = word[0];
      for (base::Offer& o : q.error().offers) o.key = word[0];
      return tl::unexpected(q.error());
    }
    *places[index] = q->value, seen[index] = true;
  }
  for (std::size_t i = 0; i < 6; ++i) {
    if (!seen[i])
      return tl::unexpected(problem("reading-missing", std::string(1, kLetters[i]),
                                    fmt::format("The reading {} is missing.", kLetters[i])));
  }
  return out;
}

PlateReadings readings_of(const Vec3& left, const Vec3& right) {
  return {-left.z(), -right.z(), left.x(), right.x(), left.y(), -right.y()};
}

ReadBack read_back(const job::Job& job, const Answer& a, const PlateReadings& r) {
  ReadBack out;
  const double radius = a.chain.wheel_radius;
  out.now = stand_of(Vec3(r.d, r.f, -r.a), Vec3(r.e, -r.g, -r.b), radius);
  out.then = out.now;
  const auto [left, right] = drawn(a);
  out.caution = caution_of(job);
  set_sideways(out, left, right, radius);
  set_fore_and_aft(out, left, right);
  out.then = stand_of(out.then.left, out.then.right, radius);
  tell_what_remains(out, job, a);
  return out;
}

}  // namespace halfround::solve
