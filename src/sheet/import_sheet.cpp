#include "sheet/import_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/say.h"
#include "paper/bound_sheet.h"
#include "paper/draughting.h"

namespace halfround::sheet {
namespace {

const char* name_of(trace::Kind kind) {
  return kind == trace::Kind::blade_section      ? "section of a blade"
         : kind == trace::Kind::blade_centreline ? "middle line of a blade"
                                                 : "profile of a tyre";
}

struct Fit {
  double scale = 1;
  Vec2 shift = Vec2::Zero();
  bool upright = false;  ///< turned by a quarter, so that a long one stands
  [[nodiscard]] Vec2 operator()(const Vec2& p) const {
    return scale * (upright ? Vec2(-p.y(), p.x()) : p) + shift;
  }
};

Fit fit_of(const trace::Understood& w, const Box& box) {
  Fit fit;
  Vec2 low(INFINITY, INFINITY), high = -low;
  for (const auto* points : {&w.raw, &w.shape, &w.picked}) {
    for (const Vec2& p : *points) low = low.cwiseMin(p), high = high.cwiseMax(p);
  }
  low = low.cwiseMin(Vec2::Zero()), high = high.cwiseMax(Vec2::Zero());
  Vec2 size = high - low;
  if (size.x() > size.y() && size.x() > box.width()) {
    fit.upright = true;
    const Vec2 a(-high.y(), low.x()), b(-low.y(), high.x());
    low = a, high = b, size = high - low;
  }
  for (const double s : {2.0, 1.0, 0.5, 0.2, 0.1, 0.05}) {
    fit.scale = s;
    if (s * size.x() <= box.width() && s * size.y() <= box.height()) break;
  }
  fit.shift = box.centre() - fit.scale * 0.5 * (low + high);
  return fit;
}

void put_axes(Group& g, const trace::Understood& w, const Fit& fit) {
  const double reach = 18 / fit.scale;
  const std::pair<Vec2, std::string> axes[] = {{{1, 0}, w.right}, {{0, 1}, w.up}};
  for (const auto& [way, name] : axes) {
    const Vec2 tip = fit(reach * way), from = fit(Vec2::Zero());
    const Vec2 d = (tip - from).normalized();
    g.items.emplace_back(line(from, tip, {Weight::thin, Dash::solid, Ink::hand}));
    g.items.emplace_back(arrow_head(tip, d, 2.5, Ink::hand));
    g.items.emplace_back(Text{.at = tip + 1.5 * d + Vec2(0, std::abs(d.y()) > 0.5 ? 0.5 : -0.9),
                              .text = name,
                              .height = 2.5,
                              .anchor = d.x() > 0.5    ? Anchor::left
                                        : d.x() < -0.5 ? Anchor::right
                                                       : Anchor::centre,
                              .ink = Ink::hand,
                              .backed = true});
  }
}

}  // namespace

Sheet import_sheet(const trace::Understood& w, const TitleBlock& title) {
  BoundSheet sheet(Paper::a4, "import", std::string("traced: ") + name_of(w.kind));
  const Box& box = sheet.box();
  sheet.turn();
  sheet.put("headings", "what was understood",
            paragraph({box.min.x(), sheet.y()}, box.width(), std::string("Traced: ") + name_of(w.kind),
                      {.height = 5, .leading = 1.4, .bold = true}));
  std::string notes =
      "Small crosses: points of the file. Thick line: smoothed. Circles: the points that go into the job.";
  for (const std::string& n : w.notes) notes += " " + n;
  sheet.put("notes", "notes",
            paragraph({box.min.x(), sheet.y() - 2}, box.width(), notes, {.height = 2.5, .leading = 1.7}));
  const Box free{{box.min.x() + 12, box.min.y() + 8}, {box.max.x() - 12, sheet.y() - 10}};
  const Fit fit = fit_of(w, free);
  Group raw{.name = "raw", .label = "points of the file", .items = {}, .clip = {}};
  for (const Vec2& p : w.raw) {
    const Vec2 q = fit(p);
    raw.items.emplace_back(Path{.points = {q - Vec2(0.4, 0), q + Vec2(0.4, 0)},
                                .stroke = {Weight::thin, Dash::solid, Ink::warning}});
    raw.items.emplace_back(Path{.points = {q - Vec2(0, 0.4), q + Vec2(0, 0.4)},
                                .stroke = {Weight::thin, Dash::solid, Ink::warning}});
  }
  Group shape{.name = "shape", .label = "smoothed curve", .items = {}, .clip = {}};
  Path path{.points = {}, .closed = w.closed, .stroke = {Weight::medium}};
  for (const Vec2& p : w.shape) path.points.push_back(fit(p));
  shape.items.emplace_back(std::move(path));
  for (const Vec2& p : w.picked) shape.items.emplace_back(circle(fit(p), 0.7, {Weight::thin}));
  Group axes{.name = "axes", .label = "which way is which", .items = {}, .clip = {}};
  put_axes(axes, w, fit);
  sheet.put(std::move(raw)), sheet.put(std::move(shape)), sheet.put(std::move(axes));
  return std::move(sheet).finished(
      title, fit.scale >= 1 ? base::say("{:.0f}:1", fit.scale) : base::say("1:{:.0f}", 1 / fit.scale));
}

}  // namespace halfround::sheet
