#include "solid/edges.h"

#include <BRep_Builder.hxx>
#include <Geom2d_BSplineCurve.hxx>
#include <Geom_BSplineCurve.hxx>
#include <Geom_Plane.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColgp_Array1OfPnt.hxx>
#include <TColgp_Array1OfPnt2d.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <cmath>

namespace halfround::solid {

namespace {

constexpr double kTurn = 2 * base::kPi;

/// Cubic stretches joined smoothly as one spline: `poles` takes value and slope at each parameter.
template <class Point, class Poles, class Curve>
Handle(Curve)
    hermite(const std::vector<double>& at, const std::vector<Point>& value, const std::vector<Point>& slope,
            const std::function<void(Poles&, int, const Point&)>& put) {
  const int n = static_cast<int>(at.size());
  TColStd_Array1OfReal knots(1, n);
  TColStd_Array1OfInteger mults(1, n);
  for (int i = 0; i < n; ++i) {
    knots(i + 1) = at[static_cast<std::size_t>(i)];
    mults(i + 1) = i == 0 || i == n - 1 ? 4 : 2;
  }
  Poles poles(1, 2 * n);
  int k = 1;
  put(poles, k++, value.front());
  for (std::size_t i = 0; i + 1 < at.size(); ++i) {
    const double h = at[i + 1] - at[i];
    put(poles, k++, value[i] + h / 3 * slope[i]);
    put(poles, k++, value[i + 1] - h / 3 * slope[i + 1]);
  }
  put(poles, k, value.back());
  return new Curve(poles, knots, mults, 3);
}

double signed_area(const std::vector<Vec2>& p) {
  double sum = 0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const Vec2 &a = p[i], &b = p[(i + 1) % p.size()];
    sum += a.x() * b.y() - a.y() * b.x();
  }
  return sum / 2;
}

using Place = std::function<std::vector<Vec2>(const Strand&)>;

/// A wire that runs anticlockwise in the face's parameters, or clockwise where it is a hole.
TopoDS_Wire wire_of(const Walk& walk, const Place& place, bool hole) {
  std::vector<Vec2> outline;
  for (const Step& step : walk) {
    std::vector<Vec2> part = place(step.piece->strand);
    if (!step.forward) std::reverse(part.begin(), part.end());
    if (!outline.empty()) {  // a whole turn apart: the same place
      const double turns = std::round((outline.back().x() - part.front().x()) / kTurn);
      if (std::abs(outline.back().x() - part.front().x() - turns * kTurn) < 1e-6)
        for (Vec2& q : part) q.x() += turns * kTurn;
    }
    outline.insert(outline.end(), part.begin(), part.end());
  }
  const bool turn_round = (signed_area(outline) < 0) != hole;
  BRep_Builder builder;
  TopoDS_Wire wire;
  builder.MakeWire(wire);
  const auto add = [&](const Step& step) {
    const bool forward = step.forward != turn_round;
    builder.Add(wire, step.piece->edge.Oriented(forward ? TopAbs_FORWARD : TopAbs_REVERSED));
  };
  if (turn_round)
    std::for_each(walk.rbegin(), walk.rend(), add);
  else
    std::for_each(walk.begin(), walk.end(), add);
  wire.Closed(true);
  return wire;
}

TopoDS_Face face_of(const Handle(Geom_Surface) & surface, const std::vector<Walk>& walks, const Place& place,
                    bool forward) {
  BRep_Builder builder;
  TopoDS_Face face;
  builder.MakeFace(face, surface, kFitTol);
  for (std::size_t i = 0; i < walks.size(); ++i) builder.Add(face, wire_of(walks[i], place, i > 0));
  if (!forward) face.Reverse();
  return face;
}

}  // namespace

Strand strand_of(std::vector<Vec3> points, std::vector<Vec3> tangents) {
  Strand out;
  const std::size_t n = points.size();
  base::check(n >= 2, "an edge has two ends");
  tangents.resize(n, Vec3::Zero());
  for (std::size_t i = 0; i < n; ++i) {
    if (tangents[i].squaredNorm() > 0) continue;
    // slope of the parabola through three neighbours
    const std::size_t j = std::clamp<std::size_t>(i, 1, std::max<std::size_t>(1, n - 2));
    if (n == 2) {
      tangents[i] = (points[1] - points[0]).normalized();
      continue;
    }
    const double h0 = (points[j] - points[j - 1]).norm(), h1 = (points[j + 1] - points[j]).norm();
    const Vec3 d0 = (points[j] - points[j - 1]) / h0, d1 = (points[j + 1] - points[j]) / h1;
    Vec3 d;
    if (i == j)
      d = (h1 * d0 + h0 * d1) / (h0 + h1);
    else if (i < j)
      d = d0 - (d1 - d0) * h0 / (h0 + h1);
    else
      d = d1 + (d1 - d0) * h1 / (h0 + h1);
    tangents[i] = d.normalized();
  }
  out.at.push_back(0);
  for (std::size_t i = 0; i + 1 < n; ++i) {
    const double chord = (points[i + 1] - points[i]).norm();
    const double turn = std::acos(std::clamp(tangents[i].dot(tangents[i + 1]), -1.0, 1.0));
    out.at.push_back(out.at.back() + chord * (1 + turn * turn / 24));
  }
  out.points = std::move(points), out.tangents = std::move(tangents);
  return out;
}

Strand line(const Vec3& a, const Vec3& b) {
  const Vec3 t = (b - a).normalized();
  return strand_of({a, b}, {t, t});
}

TopoDS_Vertex vertex(const Vec3& p) {
  TopoDS_Vertex v;
  BRep_Builder().MakeVertex(v, pnt(p), kFitTol);
  return v;
}

Piece piece_of(Piece::Kind kind, Strand strand, const TopoDS_Vertex& a, const TopoDS_Vertex& b) {
  const auto put = [](TColgp_Array1OfPnt& poles, int k, const Vec3& p) { poles(k) = pnt(p); };
  const Handle(Geom_BSplineCurve) curve =
      hermite<Vec3, TColgp_Array1OfPnt, Geom_BSplineCurve>(strand.at, strand.points, strand.tangents, put);
  BRep_Builder builder;
  TopoDS_Edge edge;
  builder.MakeEdge(edge, curve, kFitTol);
  builder.Add(edge, a.Oriented(TopAbs_FORWARD));
  builder.Add(edge, b.Oriented(TopAbs_REVERSED));
  builder.Range(edge, strand.at.front(), strand.at.back());
  return {kind, std::move(strand), a, b, edge, 0, 0, false};
}

Walk walk_of(const Chain& chain, bool forward) {
  Walk out;
  for (const Piece& p : chain) out.push_back({&p, true});
  if (!forward) {
    std::reverse(out.begin(), out.end());
    for (Step& s : out) s.forward = false;
  }
  return out;
}

std::vector<Vec2> places(const Skin& skin, const Strand& strand) {
  std::vector<Vec2> out;
  for (const Vec3& p : strand.points) {
    Vec2 q = skin.place(p);
    if (!out.empty()) q.x() += kTurn * std::round((out.back().x() - q.x()) / kTurn);
    out.push_back(q);
  }
  return out;
}

Handle(Geom2d_Curve)
    curve_on(const Handle(Geom_Surface) & surface, const Strand& strand, const std::vector<Vec2>& places) {
  std::vector<Vec2> slopes;
  Standard_Real u0, u1, v0, v1;
  surface->Bounds(u0, u1, v0, v1);
  const bool closed = surface->IsUClosed();
  for (std::size_t i = 0; i < places.size(); ++i) {
    gp_Pnt p;
    gp_Vec du, dv;
    double w = places[i].x();
    if (closed) w -= kTurn * std::floor(w / kTurn);  // a whole turn on or back is the same place
    surface->D1(std::clamp(w, u0, u1), std::clamp(places[i].y(), v0, v1), p, du, dv);
    const gp_Vec t = vec(strand.tangents[i]);
    const double uu = du * du, uv = du * dv, vv = dv * dv, det = uu * vv - uv * uv;
    slopes.emplace_back((vv * (du * t) - uv * (dv * t)) / det, (uu * (dv * t) - uv * (du * t)) / det);
  }
  const auto put = [](TColgp_Array1OfPnt2d& poles, int k, const Vec2& q) {
    poles(k) = gp_Pnt2d(q.x(), q.y());
  };
  return hermite<Vec2, TColgp_Array1OfPnt2d, Geom2d_BSplineCurve>(strand.at, places, slopes, put);
}

void add_curve_on(const Skin& skin, const Piece& piece) {
  const Handle(Geom2d_Curve) curve = curve_on(skin.surface(), piece.strand, places(skin, piece.strand));
  BRep_Builder().UpdateEdge(piece.edge, curve, skin.surface(), TopLoc_Location(), kFitTol);
}

TopoDS_Face face_on_skin(const Skin& skin, const std::vector<Walk>& walks, bool outward) {
  for (const Walk& walk : walks) {
    for (const Step& step : walk) add_curve_on(skin, *step.piece);
  }
  return face_of(
      skin.surface(), walks, [&](const Strand& s) { return places(skin, s); }, outward);
}

TopoDS_Face flat_face(const Vec3& point, const Vec3& normal, const std::vector<Walk>& walks) {
  const Handle(Geom_Plane) plane = new Geom_Plane(pnt(point), dir(normal));
  const gp_Ax3 axes = plane->Position();
  const Vec3 x = back(axes.XDirection().XYZ()), y = back(axes.YDirection().XYZ());
  const auto place = [&](const Strand& s) {
    std::vector<Vec2> out;
    for (const Vec3& p : s.points) out.emplace_back((p - point).dot(x), (p - point).dot(y));
    return out;
  };
  return face_of(plane, walks, place, true);
}

}  // namespace halfround::solid
