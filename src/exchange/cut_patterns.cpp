#include "exchange/cut_patterns.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "drawing/adapter_profile.h"
#include "drawing/template_drawing.h"
#include "paper/thinned.h"
#include "shop/set_up.h"
#include "solve/notes.h"
#include "study/slot.h"

namespace halfround::exchange {
namespace {

using base::fixed;
using base::kPi;
using base::Vec3;

/// "left blade, upper end" as a file name: "left-blade-upper-end".
std::string stem_of(const std::string& words) {
  std::string out;
  for (const char c : words) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    if (plain)
      out += c;
    else if (!out.empty() && out.back() != '-')
      out += '-';
  }
  if (!out.empty() && out.back() == '-') out.pop_back();
  return out;
}

std::string revision(const solve::Answer& answer) {
  return fmt::format("{}, revision {}", answer.name, answer.revision);
}

CutDrawing template_pattern(const job::Job& job, const solve::Answer& answer, const study::Mitre& m) {
  const shape::Unrolled& t = m.template_;
  const std::string words = bike::spoken(m.member, m.end);
  CutDrawing d{.stem = "template-" + stem_of(words), .title = "Mitre template, " + words};
  constexpr double kStraight = 1e-6;  // mm
  std::vector<Vec2> ring = thinned(t.ring, kStraight), edge = thinned(t.edge, kStraight);
  d.chord_error = std::max(chord_error_of(t.edge), chord_error_of(t.ring));
  if (ring.front().x() > ring.back().x()) std::ranges::reverse(ring), std::ranges::reverse(edge);
  ring.insert(ring.end(), edge.rbegin(), edge.rend());
  d.cut = {straight_contour(ring)};
  const drawing::Rib mark = drawing::rib_at(m, 0);
  d.marks.push_back(straight_contour({mark.foot, mark.edge}, false));
  for (int deg = -150; deg <= 150; deg += 30) {
    if (deg == 0) continue;
    const drawing::Rib rib = drawing::rib_at(m, base::to_rad(deg));
    d.marks.push_back(straight_contour({rib.foot, rib.foot + 2 * rib.along()}, false));
  }
  d.words.push_back({.at = mark.foot + Vec2(1, 3), .text = "0 mark line", .height = 2});
  const std::string end = bike::end_name(m.member, m.end);
  furnish(d,
          {fmt::format(
               "Lower edge: scribe line, {} mm from the {} end of the stock, {} mm from its other end. Long "
               "line: mark line, clock 0.",
               fixed(m.scribe_from_end.centre, 1), end, fixed(m.scribe_from_other.centre, 1)),
           fmt::format(
               "Ticks every 30 degrees; the clock grows to the {}. Outside face up; edge to edge, no flap.",
               m.paper_turn > 0 ? "right" : "left"),
           fmt::format("For a sheet {} mm thick; no kerf taken off.",
                       fixed(job.printer.paper_thickness.value, 2)),
           revision(answer)});
  return d;
}

/// Way round a section from the clock angle 0 on, mm, every half degree: to the middle of a sheet laid on it.
std::vector<double> way_round(const shape::Profile& profile, double s, double sheet) {
  constexpr int n = 720;
  std::vector<double> out{0};
  const auto at = [&](int i) {
    const Vec2 e = base::unit_at(2 * kPi * i / n);
    return Vec2((profile.at(e, s).r + sheet / 2) * e);
  };
  for (int i = 1; i <= n; ++i) out.push_back(out.back() + (at(i) - at(i - 1)).norm());
  return out;
}

double way_to(const std::vector<double>& way, double u) {
  const double n = static_cast<double>(way.size() - 1);
  double at = u / (2 * kPi) * n;
  at -= n * std::floor(at / n);
  const auto i = std::min(static_cast<std::size_t>(at), way.size() - 2);
  return way[i] + (at - static_cast<double>(i)) * (way[i + 1] - way[i]);
}

CutDrawing slot_pattern(const job::Job& job, const solve::Answer& answer, const bike::Joint& joint,
                        const bike::Member& member, const bike::Plate& plate) {
  const bool start = joint.end == bike::End::start;
  const double s = start ? member.s_start : member.s_end;
  const study::Slot slot = study::slot_of(member, joint.end, plate);
  const std::vector<double> way = way_round(member.tube.profile, s, job.printer.paper_thickness.value);
  // from the outside with the blade's body up: the clock runs to the left where the start end is cut
  const double turn = start ? -1 : 1, all = way.back(), half = slot.width / 2, depth = slot.depth;
  const double high = depth + 15;
  std::vector<double> slots;
  for (const double u : slot.clock) {
    double x = turn * way_to(way, u);
    x -= all * std::floor((x + all / 2) / all);
    slots.push_back(x);
  }
  std::ranges::sort(slots);
  const std::string words = bike::spoken(member.part, joint.end);
  CutDrawing d{.stem = "slot-" + stem_of(words), .title = "Slot template, " + words};
  std::vector<Vec2> ring{{-all / 2, 0}};
  for (const double x : slots)
    ring.insert(ring.end(), {{x - half, 0}, {x - half, depth}, {x + half, depth}, {x + half, 0}});
  ring.insert(ring.end(), {{all / 2, 0}, {all / 2, high}, {-all / 2, high}});
  d.cut = {straight_contour(ring)};
  d.marks = {straight_contour({{0, 0}, {0, high}}, false)};
  furnish(d,
          {fmt::format("Lower edge on the blade's end. Slots {} mm wide (the plate's thickness), {} mm deep.",
                       fixed(plate.thickness, 2), fixed(depth, 2)),
           "Line: mark line, clock 0. Outside face up; edge to edge, no flap.",
           "The section at the end is taken all along the slots.", revision(answer)});
  return d;
}

/// A bore into the plate's edge: its middle line and its bottom.
void mark_socket(CutDrawing& d, const bike::Bore& b) {
  const Vec2 mouth = b.mouth->head<2>(), bottom = (*b.mouth + b.depth * b.axis).head<2>();
  const Vec2 way = (bottom - mouth).normalized(), aside = b.diameter / 2 * Vec2(-way.y(), way.x());
  d.marks.push_back(straight_contour({mouth, bottom}, false));
  d.marks.push_back(straight_contour({bottom - aside, bottom + aside}, false));
}

CutDrawing plate_pattern(const solve::Answer& answer, const bike::Plate& plate) {
  const std::string words = bike::spoken(plate.part);
  CutDrawing d{.stem = "plate-" + stem_of(words), .title = "Plate, " + words};
  Contour outline;
  for (const bike::Corner& c : plate.corners) outline.corners.push_back({c.at, std::tan(c.sweep / 4)});
  d.cut.push_back(std::move(outline));
  std::vector<std::string> lines{fmt::format("{} mm thick; no kerf taken off.", fixed(plate.thickness, 2))};
  for (const bike::Bore& b : plate.bores) {
    if (b.mouth) {
      mark_socket(d, b);
      lines.push_back(fmt::format("Socket for the {} from the edge: {} mm, {} mm deep. Sheet \"axle block\".",
                                  bike::spoken(b.takes), fixed(b.diameter, 2), fixed(b.depth, 2)));
      continue;
    }
    const double lean = std::acos(std::clamp(std::abs(b.axis.z()), 0.0, 1.0));
    std::string note = fmt::format("Bore for the {}: {} mm", bike::spoken(b.takes), fixed(b.diameter, 2));
    if (b.across > 0) {
      std::vector<Vec2> edge = bike::bore_edge(b, 0, 360);
      std::vector<Vec2> round = edge;
      round.push_back(edge.front()), round.push_back(edge[1]);
      d.chord_error = std::max(d.chord_error, chord_error_of(round));
      (b.depth > 0 ? d.marks : d.cut).push_back(straight_contour(edge));
      note += fmt::format(" by {} mm", fixed(b.across, 2));
    } else {
      (b.depth > 0 ? d.marks : d.cut).push_back(circle_contour(b.at, b.diameter / 2));
    }
    if (b.depth > 0) note += fmt::format(", blind, {} mm deep from the lower face", fixed(b.depth, 2));
    if (lean > base::to_rad(0.05))
      note += fmt::format(". It leans {} degrees: mark it from this, bore it along its axis",
                          fixed(base::to_deg(lean), 1));
    lines.push_back(note + ".");
    const double cross = b.diameter / 2 + 2;
    d.marks.push_back(straight_contour({b.at - Vec2(cross, 0), b.at + Vec2(cross, 0)}, false));
    d.marks.push_back(straight_contour({b.at - Vec2(0, cross), b.at + Vec2(0, cross)}, false));
  }
  d.cut = in_cutting_order(std::move(d.cut));
  lines.push_back(revision(answer));
  furnish(d, lines);
  return d;
}

std::string limits_of(const char* what, const shop::FitLimits& f) {
  return fmt::format("{} {} {}: from {} to {} mm", what, fixed(f.nominal, 1), f.tolerance_class,
                     fixed(f.least(), 3), fixed(f.most(), 3));
}

void add_adapter(std::vector<CutDrawing>& out, const shop::FixtureSheet& sheet, const shop::Adapter& a) {
  const drawing::Turned t = drawing::turned(a);
  std::vector<std::string> lines;
  if (a.spigot_fit) lines.push_back(limits_of("Outside", *a.spigot_fit));
  if (a.bore_fit) lines.push_back(limits_of("Bore", *a.bore_fit));
  lines.push_back("Fitted diameters are drawn at their nominal size: turn to the limits.");
  const char* part = a.kind == shop::AdapterKind::race_ring      ? "-race-stop"
                     : a.kind == shop::AdapterKind::clamp_sleeve ? "-clamp"
                                                                 : "";
  const std::string stem = "adapter-" + stem_of(sheet.fixture) + part;
  const Contour axis = straight_contour({{-3, 0}, {t.length + 3, 0}}, false);
  CutDrawing half{.stem = stem + "-half", .title = a.title + ", half profile; the axis is y = 0"};
  half.cut = {straight_contour(t.half)}, half.marks = {axis};
  furnish(half, lines);
  CutDrawing full{.stem = stem + "-full", .title = a.title + ", cut along its axis; the axis is y = 0"};
  std::vector<Vec2> lower;
  for (const Vec2& p : t.half) lower.emplace_back(p.x(), -p.y());
  if (t.bore > 0) {
    full.cut = {straight_contour(t.half), straight_contour(lower)};
  } else {
    // solid: once round, the axis' two points only once
    std::vector<Vec2> ring = t.half;
    ring.insert(ring.end(), lower.rbegin() + 1, lower.rend() - 1);
    full.cut = {straight_contour(ring)};
  }
  full.marks = {axis};
  furnish(full, lines);
  out.push_back(std::move(half)), out.push_back(std::move(full));
}

}  // namespace

std::vector<CutDrawing> template_patterns(const job::Job& job, const solve::Answer& answer) {
  std::vector<CutDrawing> out;
  for (const study::Mitre& m : answer.mitres) out.push_back(template_pattern(job, answer, m));
  return out;
}

std::vector<CutDrawing> slot_patterns(const job::Job& job, const solve::Answer& answer) {
  std::vector<CutDrawing> out;
  for (const bike::Joint& joint : answer.fork.assembly.joints) {
    if (joint.kind != bike::JointKind::slotted) continue;
    const bike::Member* member = bike::find_member(answer.fork.assembly, joint.member);
    const auto& plates = answer.fork.assembly.plates;
    const auto plate = std::ranges::find(plates, joint.onto, &bike::Plate::part);
    if (member && plate != plates.end()) out.push_back(slot_pattern(job, answer, joint, *member, *plate));
  }
  return out;
}

std::vector<CutDrawing> plate_patterns(const solve::Answer& answer) {
  std::vector<CutDrawing> out;
  for (const bike::Plate& p : answer.fork.assembly.plates) out.push_back(plate_pattern(answer, p));
  return out;
}

std::vector<CutDrawing> adapter_patterns(const solve::ShopPlan& plan) {
  std::vector<CutDrawing> out;
  for (const shop::FixtureSheet& f : plan.fixtures)
    for (const shop::Adapter& a : f.pieces) add_adapter(out, f, a);
  return out;
}

std::vector<CutDrawing> cut_patterns(const job::Job& job, const solve::Answer& answer,
                                     const solve::ShopPlan* plan) {
  std::vector<CutDrawing> out = template_patterns(job, answer);
  const auto add_all = [&](std::vector<CutDrawing> more) {
    std::ranges::move(more, std::back_inserter(out));
  };
  add_all(slot_patterns(job, answer)), add_all(plate_patterns(answer));
  if (plan) add_all(adapter_patterns(*plan));
  return out;
}

}  // namespace halfround::exchange
