#include "paper/clip.h"

#include <cmath>

#include "paper/draughting.h"
#include "paper/hatch.h"
#include "paper/typeface.h"

namespace halfround::paper {
namespace {

bool contains(const Box& box, const Vec2& p) {
  return (p.array() >= box.min.array()).all() && (p.array() <= box.max.array()).all();
}

struct Span {
  double from = 0, to = 1;
};

// the part of the segment a + t (b - a), 0 <= t <= 1, inside the box
std::optional<Span> span_inside(const Vec2& a, const Vec2& b, const Box& box) {
  Span span;
  for (int axis = 0; axis < 2; ++axis) {
    const double way = b[axis] - a[axis];
    if (way == 0) {
      if (a[axis] < box.min[axis] || a[axis] > box.max[axis]) return {};
      continue;
    }
    const double t0 = (box.min[axis] - a[axis]) / way, t1 = (box.max[axis] - a[axis]) / way;
    span.from = std::max(span.from, std::min(t0, t1));
    span.to = std::min(span.to, std::max(t0, t1));
  }
  if (!(span.from < span.to)) return {};
  return span;
}

// keeps the side of a line where sign * (p[axis] - limit) <= 0
std::vector<Vec2> keep_side(const std::vector<Vec2>& ring, int axis, double limit, double sign) {
  std::vector<Vec2> out;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2& a = ring[i];
    const Vec2& b = ring[(i + 1) % ring.size()];
    const double da = sign * (a[axis] - limit), db = sign * (b[axis] - limit);
    if (da <= 0) out.push_back(a);
    if ((da < 0 && db > 0) || (da > 0 && db < 0)) {
      Vec2 on = a + (b - a) * (da / (da - db));
      on[axis] = limit;
      out.push_back(on);
    }
  }
  return out;
}

bool overlap(const Box& a, const Box& b) {
  return (a.min.array() < b.max.array()).all() && (b.min.array() < a.max.array()).all();
}

struct Hull {
  std::optional<Box> box;
  void take(const Vec2& p) {
    if (!box) box = Box{p, p};
    box->min = box->min.cwiseMin(p);
    box->max = box->max.cwiseMax(p);
  }
};

}  // namespace

std::vector<Path> clipped(const Path& path, const Box& box) {
  bool all_inside = true;
  for (const Vec2& p : path.points) all_inside = all_inside && contains(box, p);
  if (all_inside) return path.points.empty() ? std::vector<Path>{} : std::vector<Path>{path};
  if (path.filled) {
    Path cut = path;
    cut.points = clipped_ring(path.points, box);
    return cut.points.size() < 3 ? std::vector<Path>{} : std::vector<Path>{cut};
  }

  std::vector<Path> parts;
  bool running = false;
  double run = path.dash_from;
  const std::size_t sides = path.points.size() - (path.closed ? 0 : 1);
  for (std::size_t i = 0; i < sides; ++i) {
    const Vec2& a = path.points[i];
    const Vec2& b = path.points[(i + 1) % path.points.size()];
    const double length = (b - a).norm();
    if (const auto span = span_inside(a, b, box)) {
      const Vec2 start = span->from == 0 ? a : Vec2(a + span->from * (b - a));
      if (!running || span->from > 0) {
        parts.push_back({.points = {start}, .stroke = path.stroke});
        parts.back().dash_from = path.stroke.dash == Dash::solid ? 0 : run + span->from * length;
      }
      parts.back().points.push_back(span->to == 1 ? b : Vec2(a + span->to * (b - a)));
      running = span->to == 1;
    } else if (length > 0) {
      running = false;
    }
    run += length;
  }
  // a closed path that starts inside runs on through its first point
  if (path.closed && running && parts.size() > 1 && parts.front().points.front() == path.points.front()) {
    auto& first = parts.front().points;
    parts.back().points.insert(parts.back().points.end(), first.begin() + 1, first.end());
    parts.erase(parts.begin());
  }
  return parts;
}

std::vector<Vec2> clipped_ring(const std::vector<Vec2>& ring, const Box& box) {
  std::vector<Vec2> out = ring;
  for (int axis = 0; axis < 2 && !out.empty(); ++axis) {
    out = keep_side(out, axis, box.min[axis], -1);
    out = keep_side(out, axis, box.max[axis], 1);
  }
  return out.size() < 3 ? std::vector<Vec2>{} : out;
}

std::vector<Item> clipped(const Item& item, const Box& box) {
  std::vector<Item> out;
  if (const auto* path = std::get_if<Path>(&item)) {
    for (Path& part : clipped(*path, box)) out.emplace_back(std::move(part));
  } else if (const auto* area = std::get_if<Area>(&item)) {
    if (area->fill == Area::Fill::hatch) {
      for (const Path& line : hatch_paths(*area))
        for (Path& part : clipped(line, box)) out.emplace_back(std::move(part));
      return out;
    }
    Area cut = *area;
    cut.rings.clear();
    for (const auto& ring : area->rings)
      if (auto inside = clipped_ring(ring, box); !inside.empty()) cut.rings.push_back(std::move(inside));
    if (!cut.rings.empty()) out.emplace_back(std::move(cut));
  } else if (const auto bounds = bounds_of({item}); bounds && overlap(*bounds, box)) {
    out.push_back(item);
  }
  return out;
}

std::optional<Box> bounds_of(const std::vector<Item>& items) {
  Hull hull;
  for (const Item& item : items) {
    if (const auto* path = std::get_if<Path>(&item)) {
      for (const Vec2& p : path->points) hull.take(p);
    } else if (const auto* area = std::get_if<Area>(&item)) {
      for (const auto& ring : area->rings)
        for (const Vec2& p : ring) hull.take(p);
    } else if (const auto* text = std::get_if<Text>(&item)) {
      if (!text->text.empty())
        for (const Vec2& p : plate_of(*text)) hull.take(p);
    }
  }
  return hull.box;
}

void shift(Item& item, const Vec2& by) {
  if (auto* path = std::get_if<Path>(&item)) {
    for (Vec2& p : path->points) p += by;
  } else if (auto* area = std::get_if<Area>(&item)) {
    for (auto& ring : area->rings)
      for (Vec2& p : ring) p += by;
  } else if (auto* text = std::get_if<Text>(&item)) {
    text->at += by;
  }
}

}  // namespace halfround::paper
