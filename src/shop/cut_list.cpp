#include "shop/cut_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "shop/set_up.h"

namespace halfround::shop {

namespace {

/// One real length on the rack while it is being cut up.
struct Rest {
  std::size_t stock = 0;
  int nth = 0;
  double used = 0, left = 0;  // mm
  bool cut = false;
};

bool suits(const Piece& p, const Stock& s, const CutWishes& w) {
  if (p.kind != s.kind) return false;
  const bool wall = p.wall == 0 || s.wall == 0 || std::abs(p.wall - s.wall) <= w.wall_off;
  if (p.kind == StockKind::tube) return wall && std::abs(p.diameter - s.diameter) <= w.diameter_off;
  return wall && s.diameter >= p.diameter;  // bar and plate may be larger
}

/// Of the lengths that serve: the thinnest, then the shortest.
Rest* best_rest(const Piece& p, std::vector<Rest>& rests, const std::vector<Stock>& stock,
                const CutWishes& w) {
  Rest* best = nullptr;
  for (Rest& r : rests) {
    if (!suits(p, stock[r.stock], w) || r.left < p.length) continue;
    const auto key = [&](const Rest& x) { return std::pair(stock[x.stock].diameter, x.left); };
    if (best == nullptr || key(r) < key(*best)) best = &r;
  }
  return best;
}

void buy(std::vector<Buy>& out, const Piece& p, double kerf) {
  const auto same = std::ranges::find_if(
      out, [&](const Buy& b) { return b.kind == p.kind && b.diameter == p.diameter && b.wall == p.wall; });
  if (same == out.end()) {
    out.push_back({p.kind, p.diameter, p.wall, p.length, {p.what}});
    return;
  }
  same->length += kerf + p.length;
  same->pieces.push_back(p.what);
}

Piece turned(std::string what, double diameter, double length, const CutWishes& w) {
  return {std::move(what), StockKind::bar, diameter, 0, length + 2 * w.facing, length};
}

Piece plate_piece(const bike::Plate& plate, const CutWishes& w) {
  // the longest side of its outline's box in its own plane, the long way found among the outline's chords
  Vec3 along = Vec3::UnitZ();
  double longest = 0;
  for (const Vec3& a : plate.outline) {
    for (const Vec3& b : plate.outline) {
      if ((b - a).norm() > longest) longest = (b - a).norm(), along = (b - a) / longest;
    }
  }
  const Vec3 across = plate.normal.cross(along);
  double least = std::numeric_limits<double>::infinity(), most = -least;
  for (const Vec3& p : plate.outline)
    least = std::min(least, p.dot(across)), most = std::max(most, p.dot(across));
  return {bike::spoken(plate.part), StockKind::plate, most - least, plate.thickness,
          longest + 2 * w.facing,   longest,          plate.part};
}

}  // namespace

std::vector<Piece> pieces_of(const bike::Assembly& fork, const std::vector<Adapter>& adapters,
                             const CutWishes& w) {
  std::vector<Piece> out;
  for (const bike::Member& m : fork.members) {
    const double length = m.s_end - m.s_start, across = m.tube.profile.width(0);
    if (m.part.kind == bike::PartKind::steerer) {
      // the thickest wall tells which tube it is; a butted one is bought as it is
      out.push_back({bike::spoken(m.part), StockKind::tube, across,
                     std::max(m.tube.profile.wall(0), m.tube.profile.wall(m.tube.length())),
                     m.stock_length + w.facing, m.stock_length, m.part});
    } else if (m.part.kind == bike::PartKind::crown_tube) {
      out.push_back({bike::spoken(m.part), StockKind::tube, across, m.tube.profile.wall(0),
                     m.stock_length + w.facing, m.stock_length, m.part});
    } else if (m.part.kind == bike::PartKind::insert) {
      out.push_back(turned(bike::spoken(m.part), across, length, w));
      out.back().part = m.part;
    }
  }
  for (const bike::Plate& p : fork.plates) out.push_back(plate_piece(p, w));
  for (const Adapter& a : adapters) {
    const double across = std::max(a.shoulder_diameter, a.spigot_fit ? a.spigot_fit->most() : 0.0);
    const double length =
        a.kind == AdapterKind::dummy_axle ? a.over_shoulders + 2 * a.spigot : a.shoulder + a.spigot;
    for (int i = 0; i < a.pieces; ++i)
      out.push_back(turned(a.pieces > 1 ? fmt::format("adapter {} of {}", i + 1, a.pieces) : a.title, across,
                           length, w));
  }
  return out;
}

CutList cut_list(const std::vector<Piece>& pieces, const std::vector<Stock>& stock, const CutWishes& w) {
  CutList out;
  std::vector<Rest> rests;
  for (std::size_t i = 0; i < stock.size(); ++i) {
    for (int n = 0; n < stock[i].count; ++n) rests.push_back({i, n, 0, stock[i].length, false});
  }
  out.pieces.resize(pieces.size());
  std::vector<std::size_t> order(pieces.size());
  std::iota(order.begin(), order.end(), 0);
  std::ranges::stable_sort(order,
                           [&](std::size_t a, std::size_t b) { return pieces[a].length > pieces[b].length; });
  for (const std::size_t i : order) {
    const Piece& p = pieces[i];
    Served& served = out.pieces[i];
    served.piece = p;
    Rest* r = best_rest(p, rests, stock, w);
    if (r == nullptr) {
      buy(out.buy, p, w.kerf);
      continue;
    }
    served.stock = r->stock, served.nth = r->nth, served.from = r->used;
    const double taken = std::min(p.length + w.kerf, r->left);
    r->used += taken, r->left -= taken, r->cut = true;
  }
  for (const Rest& r : rests) {
    if (r.cut) out.off_cuts.push_back({r.stock, r.nth, r.left});
  }
  return out;
}

}  // namespace halfround::shop
