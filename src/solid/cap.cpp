// The end of a mitred tube: loops through the points of the mitre study, and the faces between the two walls:
// on the target's own skin, on the plane where passing generators stop, and, where a generator that just
// touches ends short of that plane, the strip from there to it. Frame: the assembly's. docs/solids.md.
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <Geom_BSplineSurface.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColgp_Array2OfPnt.hxx>
#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include "solid/tube_ends.h"

namespace halfround::solid {

namespace {

using base::Problem;
using base::Result;
using Kind = Piece::Kind;

constexpr double kTurn = 2 * base::kPi;
constexpr int kGrazing = 48;  // stretches of the line where generators just touch

/// The layers between the two walls: tau 0 inside, 1 outside.
struct Layers {
  const shape::Tube& outer;
  shape::Tube inner;
  const shape::Tube& target;
  Vec3 stop_point, stop_normal;

  struct Point {
    shape::SurfacePoint at;
    Vec3 across;  ///< d p / d tau
  };
  [[nodiscard]] Point at(const Vec2& e, double tau, double s) const {
    const shape::Frame f = outer.centreline.at(s);
    const shape::Radius o = outer.profile.at(e, s), i = inner.profile.at(e, s);
    const auto mix = [tau](double a, double b) { return a + tau * (b - a); };
    return {shape::surface(f, {mix(i.r, o.r), mix(i.ru, o.ru), mix(i.rs, o.rs)}, e),
            (o.r - i.r) * (e.x() * f.m + e.y() * f.b)};
  }
};

/// Where a generator just touches the target: its layer and place.
struct Graze {
  double u = 0, tau = 0, s = 0;
};

/// The layer whose generator at u just touches.
void graze(const Layers& layers, Graze& g) {
  const Vec2 e = base::unit_at(g.u);
  const auto slope = [&](double s) {
    const Layers::Point q = layers.at(e, g.tau, s);
    return shape::level(layers.target, q.at.p).gradient.dot(q.at.ps);
  };
  for (int i = 0; i < 30; ++i) {
    for (int k = 0; k < 20; ++k) {  // the level's dip along the generator
      const double d = 1e-4, f = slope(g.s), df = (slope(g.s + d) - slope(g.s - d)) / (2 * d);
      const double step = std::clamp(-f / df, -2.0, 2.0);
      g.s += step;
      if (std::abs(step) < 1e-10) break;
    }
    const Layers::Point q = layers.at(e, g.tau, g.s);
    const shape::Level l = shape::level(layers.target, q.at.p);
    const double step = -l.value / l.gradient.dot(q.across);
    g.tau += step;
    if (std::abs(step) < 1e-12) return;
  }
}

/// Where the same layer's generator reaches the plane.
double stop_at_plane(const Layers& layers, const Graze& g) {
  const Vec2 e = base::unit_at(g.u);
  double s = g.s;
  for (int i = 0; i < 50; ++i) {
    const Layers::Point q = layers.at(e, g.tau, s);
    const double step =
        -(q.at.p - layers.stop_point).dot(layers.stop_normal) / q.at.ps.dot(layers.stop_normal);
    s += std::clamp(step, -20.0, 20.0);
    if (std::abs(step) < 1e-12) break;
  }
  return s;
}

/// A stretch of a loop that passes by: its pieces with the jumps at either end.
struct Sector {
  std::vector<const Piece*> pieces;
  std::size_t first = 0;          ///< index of its first piece in the loop
  const Piece* before = nullptr;  ///< the met piece it follows
  double u0 = 0, u1 = 0;          ///< u1 > u0
  [[nodiscard]] const Piece* jump_in() const {
    return !pieces.empty() && pieces.front()->kind == Kind::jump ? pieces.front() : nullptr;
  }
  [[nodiscard]] const Piece* jump_out() const {
    return !pieces.empty() && pieces.back()->kind == Kind::jump ? pieces.back() : nullptr;
  }
  [[nodiscard]] bool holds(double u) const { return u - u0 - kTurn * std::floor((u - u0) / kTurn) < u1 - u0; }
};

std::vector<Sector> sectors_of(const Chain& chain) {
  std::vector<Sector> out;
  const std::size_t n = chain.size();
  std::size_t start = 0;
  while (start < n && chain[start].kind != Kind::met) ++start;
  if (start == n) return out;
  bool open = false;
  for (std::size_t k = 1; k <= n; ++k) {
    const std::size_t i = (start + k) % n;
    if (chain[i].kind == Kind::met) {
      open = false;
      continue;
    }
    if (!open) {
      out.push_back({});
      out.back().first = i, out.back().before = &chain[(i + n - 1) % n], out.back().u0 = chain[i].u0;
    }
    open = true;
    out.back().pieces.push_back(&chain[i]);
    out.back().u1 = chain[i].u1 + (chain[i].u1 < out.back().u0 ? kTurn : 0);
  }
  return out;
}

/// Where an inner edge crosses itself inside an outer sector the wall ends in a point: a sector without
/// pieces.
void add_points(std::vector<Sector>& inner, const Chain& chain, const std::vector<Sector>& outer) {
  for (std::size_t i = 0; i < chain.size(); ++i) {
    if (!chain[i].crosses) continue;
    for (const Sector& o : outer) {
      if (!o.holds(chain[i].u0)) continue;
      inner.push_back({});
      inner.back().first = i, inner.back().before = &chain[(i + chain.size() - 1) % chain.size()];
      inner.back().u0 = inner.back().u1 = chain[i].u0;
    }
  }
}

/// Slopes of parabolas through three neighbours.
std::vector<Vec3> slopes(const std::vector<Vec3>& p, const std::vector<double>& at) {
  std::vector<Vec3> out(p.size());
  for (std::size_t i = 0; i < p.size(); ++i) {
    const std::size_t j = std::clamp<std::size_t>(i, 1, p.size() - 2);
    const double h0 = at[j] - at[j - 1], h1 = at[j + 1] - at[j];
    const Vec3 d0 = (p[j] - p[j - 1]) / h0, d1 = (p[j + 1] - p[j]) / h1;
    out[i] = i < j   ? Vec3(d0 - (d1 - d0) * h0 / (h0 + h1))
             : i > j ? Vec3(d1 + (d1 - d0) * h1 / (h0 + h1))
                     : Vec3((h1 * d0 + h0 * d1) / (h0 + h1));
  }
  return out;
}

/// The line of just touching generators over a sector, and where the same generators reach the plane.
struct Brink {
  std::vector<Vec3> touch, stop;
  std::vector<Vec3> touch_slope, stop_slope;  ///< d p / ds times the way from touch to stop
  double jump = 0;                            ///< greatest way between the two, mm
  Piece touching, stopping;
};

Brink brink_of(const Layers& layers, double u0, double u1, double tau0, double tau1, double s0, double s1) {
  Brink out;
  Graze g{u0, tau0, s0};
  for (int i = 0; i <= kGrazing; ++i) {
    const double x = static_cast<double>(i) / kGrazing;
    if (i == 0 || i == kGrazing) {
      g = i == 0 ? Graze{u0, tau0, s0} : Graze{u1, tau1, s1};
    } else {
      g.u = u0 + (u1 - u0) * x;
      if (tau0 != tau1) g.tau = tau0 + (tau1 - tau0) * x;
      graze(layers, g);
    }
    const double s_stop = stop_at_plane(layers, g);
    const Vec2 e = base::unit_at(g.u);
    const Layers::Point a = layers.at(e, g.tau, g.s), b = layers.at(e, g.tau, s_stop);
    out.touch.push_back(a.at.p), out.stop.push_back(b.at.p);
    out.touch_slope.push_back(a.at.ps * (s_stop - g.s)), out.stop_slope.push_back(b.at.ps * (s_stop - g.s));
    out.jump = std::max(out.jump, (a.at.p - b.at.p).norm());
  }
  return out;
}

/// A jump of a loop as a side of a strip.
struct Jump {
  const Piece* piece = nullptr;
  bool to_plane = true;  ///< it runs from the touching end to the plane
};

/// The strip from the touching generators' ends to the plane.
TopoDS_Face strip_face(const Brink& brink, const Jump& first, const Jump& last, bool outward) {
  const std::vector<double>& at = brink.touching.strand.at;
  const int n = static_cast<int>(at.size());
  std::array<std::vector<Vec3>, 4> rows;
  for (std::size_t i = 0; i < at.size(); ++i) {
    rows[0].push_back(brink.touch[i]);
    rows[1].push_back(brink.touch[i] + brink.touch_slope[i] / 3);
    rows[2].push_back(brink.stop[i] - brink.stop_slope[i] / 3);
    rows[3].push_back(brink.stop[i]);
  }
  TColgp_Array2OfPnt poles(1, 2 * n, 1, 4);
  for (int r = 0; r < 4; ++r) {
    const std::vector<Vec3>& p = rows[static_cast<std::size_t>(r)];
    const std::vector<Vec3> d = slopes(p, at);
    int k = 1;
    poles(k++, r + 1) = pnt(p.front());
    for (std::size_t i = 0; i + 1 < at.size(); ++i) {
      const double h = (at[i + 1] - at[i]) / 3;
      poles(k++, r + 1) = pnt(p[i] + h * d[i]);
      poles(k++, r + 1) = pnt(p[i + 1] - h * d[i + 1]);
    }
    poles(k, r + 1) = pnt(p.back());
  }
  TColStd_Array1OfReal u_knots(1, n), v_knots(1, 2);
  TColStd_Array1OfInteger u_mults(1, n), v_mults(1, 2);
  for (int i = 0; i < n; ++i)
    u_knots(i + 1) = at[static_cast<std::size_t>(i)], u_mults(i + 1) = i == 0 || i == n - 1 ? 4 : 2;
  v_knots(1) = 0, v_knots(2) = 1, v_mults(1) = v_mults(2) = 4;
  const Handle(Geom_Surface) surface =
      new Geom_BSplineSurface(poles, u_knots, v_knots, u_mults, v_mults, 3, 3);
  // corners in the strip's parameters: along the touching line, and from it to the plane
  const double end = at.back();
  const auto along = [&](double v) {
    std::vector<Vec2> q;
    for (const double a : at) q.emplace_back(a, v);
    return q;
  };
  BRep_Builder builder;
  const auto put = [&](const Piece& p, const std::vector<Vec2>& q) {
    builder.UpdateEdge(p.edge, curve_on(surface, p.strand, q), surface, TopLoc_Location(), kFitTol);
  };
  put(brink.touching, along(0)), put(brink.stopping, along(1));
  const auto side = [&](const Jump& j, double u) {
    put(*j.piece, j.to_plane ? std::vector<Vec2>{{u, 0}, {u, 1}} : std::vector<Vec2>{{u, 1}, {u, 0}});
  };
  side(first, 0), side(last, end);
  TopoDS_Face face;
  TopoDS_Wire wire;
  builder.MakeFace(face, surface, kFitTol);
  builder.MakeWire(wire);
  const auto walk = [&](const Piece& p, bool forward) {
    builder.Add(wire, p.edge.Oriented(forward ? TopAbs_FORWARD : TopAbs_REVERSED));
  };
  walk(brink.touching, true), walk(*last.piece, last.to_plane);
  walk(brink.stopping, false), walk(*first.piece, !first.to_plane);
  wire.Closed(true);
  builder.Add(face, wire);
  if (!outward) face.Reverse();
  return face;
}

/// Puts the target's seam on the side away from the cut.
Skin skin_behind(const shape::Tube& target, const std::vector<study::EdgePoint>& edge) {
  Vec3 side = Vec3::Zero();
  double lo = INFINITY, hi = -INFINITY;
  for (const study::EdgePoint& q : edge) {
    const double s = target.centreline.nearest(q.point);
    lo = std::min(lo, s), hi = std::max(hi, s);
    side += (q.point - target.centreline.point(s)).normalized();
  }
  const double middle = (lo + hi) / 2;
  const shape::Frame f = target.centreline.at(middle);
  const double seam = Skin::eccentric(target, middle, Vec2(side.dot(f.m), side.dot(f.b))) + base::kPi;
  return {target, lo - 4, hi + 4, seam};
}

/// Makes the faces of one end, sector by sector.
class CapMaker {
 public:
  CapMaker(const Layers& layers, const Skin& target, Ended& out, bool at_end)
      : layers_(layers), target_(target), out_(out), at_end_(at_end) {}
  Result<void> make();

 private:
  struct Passage {  ///< an outer sector with what closes it
    const Sector* outer = nullptr;
    const Sector* inner = nullptr;                    ///< set where the inner wall passes by as well
    const Brink *first = nullptr, *second = nullptr;  ///< second only with an inner sector
  };
  const Brink* brink(const Brink& lines, const TopoDS_Vertex& a, const TopoDS_Vertex& b, const Jump& first,
                     const Jump& last);
  Result<void> pass(Passage& p);
  void face_plane(const Passage& p);
  void face_target(const std::vector<Passage>& all);
  [[nodiscard]] double s_of(const TopoDS_Vertex& v) const;

  const Layers& layers_;
  const Skin& target_;
  Ended& out_;
  bool at_end_;
  std::vector<std::unique_ptr<Brink>> brinks_;
};

const TopoDS_Vertex& turn_in(const Sector& q) {
  return q.before->b;
}
const TopoDS_Vertex& turn_out(const Sector& q) {
  return q.pieces.empty() ? q.before->b : q.pieces.back()->b;
}

double CapMaker::s_of(const TopoDS_Vertex& v) const {
  return layers_.outer.centreline.nearest(back(BRep_Tool::Pnt(v).XYZ()));
}

const Brink* CapMaker::brink(const Brink& lines, const TopoDS_Vertex& a, const TopoDS_Vertex& b,
                             const Jump& first, const Jump& last) {
  brinks_.push_back(std::make_unique<Brink>(lines));
  Brink& q = *brinks_.back();
  q.touching = piece_of(Kind::met, strand_of(q.touch, {}), a, b);
  if (!first.piece || !last.piece) return &q;
  const auto at_plane = [](const Jump& j) { return j.to_plane ? j.piece->b : j.piece->a; };
  q.stopping = piece_of(Kind::passing, strand_of(q.stop, {}), at_plane(first), at_plane(last));
  // walked with rising clock angle, the strip faces outward of the tube; the metal lies on that side
  out_.cap.push_back(strip_face(q, first, last, !at_end_));
  return &q;
}

Result<void> CapMaker::pass(Passage& p) {
  const Sector& o = *p.outer;
  const Jump in{o.jump_in(), true}, leave{o.jump_out(), false};
  bool even = !in.piece == !leave.piece;
  if (!p.inner) {
    const Brink lines = brink_of(layers_, o.u0, o.u1, 1, 1, s_of(turn_in(o)), s_of(turn_out(o)));
    if (even) p.first = brink(lines, turn_in(o), turn_out(o), in, leave);
  } else {
    const Sector& i = *p.inner;
    const double shift = i.u0 < o.u0 ? kTurn : 0;
    const Jump inner_in{i.jump_in(), true}, inner_leave{i.jump_out(), false};
    even = even && !inner_in.piece == !in.piece && !inner_leave.piece == !leave.piece;
    if (even) {
      p.first = brink(brink_of(layers_, o.u0, i.u0 + shift, 1, 0, s_of(turn_in(o)), s_of(turn_in(i))),
                      turn_in(o), turn_in(i), in, inner_in);
      p.second = brink(brink_of(layers_, i.u1 + shift, o.u1, 0, 1, s_of(turn_out(i)), s_of(turn_out(o))),
                       turn_out(i), turn_out(o), inner_leave, leave);
    }
  }
  if (!even) {
    return tl::unexpected(
        Problem{"solid-unclosed", {}, "Where the tube passes by, its end does not close.", ""});
  }
  return {};
}

const Piece& plane_line(const Brink& b) {
  return b.stopping.edge.IsNull() ? b.touching : b.stopping;
}

void CapMaker::face_plane(const Passage& p) {
  Walk walk;
  for (const Piece* q : p.outer->pieces) {
    if (q->kind == Kind::passing) walk.push_back({q, true});
  }
  if (p.inner) {
    walk.push_back({&plane_line(*p.second), false});
    for (auto q = p.inner->pieces.rbegin(); q != p.inner->pieces.rend(); ++q) {
      if ((*q)->kind == Kind::passing) walk.push_back({*q, false});
    }
  }
  walk.push_back({&plane_line(*p.first), false});
  out_.cap.push_back(flat_face(layers_.stop_point, layers_.stop_normal, {walk}));
}

/// Between two passages that go through both walls lies one face; without any such there is one with a hole.
void CapMaker::face_target(const std::vector<Passage>& all) {
  const Chain &outer = out_.outer.pieces, &inner = out_.inner.pieces;
  std::vector<const Passage*> through;
  for (const Passage& p : all) {
    if (p.inner) through.push_back(&p);
  }
  const auto outer_from = [&](std::size_t start, std::size_t stop,
                              Walk& walk) {  // both indices of met pieces
    for (std::size_t k = start;; k = (k + 1) % outer.size()) {
      if (outer[k].kind == Kind::met) walk.push_back({&outer[k], true});
      for (const Passage& p : all) {
        if (p.outer->first == k && !p.inner) walk.push_back({&p.first->touching, true});
      }
      if (k == stop) return;
    }
  };
  if (through.empty()) {
    Walk walk;
    std::size_t start = 0;
    while (outer[start].kind != Kind::met) ++start;
    outer_from(start, (start + outer.size() - 1) % outer.size(), walk);
    out_.cap.push_back(face_on_skin(target_, {walk, walk_of(inner, false)}, false));
    return;
  }
  for (std::size_t i = 0; i < through.size(); ++i) {
    const Passage &p = *through[i], &q = *through[(i + 1) % through.size()];
    Walk walk;
    const std::size_t n = outer.size(), m = inner.size();
    outer_from((p.outer->first + p.outer->pieces.size()) % n, (q.outer->first + n - 1) % n, walk);
    walk.push_back({&q.first->touching, true});
    const std::size_t last = (p.inner->first + p.inner->pieces.size()) % m;
    for (std::size_t k = (q.inner->first + m - 1) % m;; k = (k + m - 1) % m) {
      walk.push_back({&inner[k], false});
      if (k == last) break;
    }
    walk.push_back({&p.second->touching, true});
    out_.cap.push_back(face_on_skin(target_, {walk}, false));
  }
}

Result<void> CapMaker::make() {
  const std::vector<Sector> outer = sectors_of(out_.outer.pieces);
  std::vector<Sector> inner = sectors_of(out_.inner.pieces);
  add_points(inner, out_.inner.pieces, outer);
  std::vector<Passage> all;
  std::size_t matched = 0;
  for (const Sector& o : outer) {
    all.push_back({&o, nullptr, nullptr, nullptr});
    for (const Sector& i : inner) {
      if (o.holds(0.5 * (i.u0 + i.u1))) all.back().inner = &i, ++matched;
    }
    if (const auto made = pass(all.back()); !made) return made;
    face_plane(all.back());
  }
  if (matched != inner.size()) {
    return tl::unexpected(
        Problem{"solid-unclosed", {}, "The inner wall passes by where the outer one does not.", ""});
  }
  face_target(all);
  return {};
}

}  // namespace

Result<Ended> mitred_end(const Wall& wall, const Ending& ending) {
  const study::Mitre& m = *ending.mitre;
  const shape::Tube &tube = wall.member->tube, &target = ending.target->tube;
  const Layers layers{tube, wall.inner ? wall.inner->tube() : tube, target, m.stop_point, m.stop_normal};
  const Skin onto = skin_behind(target, m.outer);
  Ended out;
  auto outer = cut_loop(*wall.outer, onto, m, m.outer);
  if (!outer) return tl::unexpected(outer.error());
  out.outer = std::move(*outer);
  if (wall.inner) {
    if (m.inner.empty()) {
      return tl::unexpected(Problem{
          "solid-unclosed", {}, "The inner wall does not meet what the outer one is mitred onto.", ""});
    }
    auto inner = cut_loop(*wall.inner, onto, m, m.inner);
    if (!inner) return tl::unexpected(inner.error());
    out.inner = std::move(*inner);
  }
  if (const auto made = CapMaker(layers, onto, out, ending.end == bike::End::end).make(); !made)
    return tl::unexpected(made.error());
  return out;
}

}  // namespace halfround::solid
