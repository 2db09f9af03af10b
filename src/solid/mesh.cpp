// Facets for viewing. A tube is laid out in rings along its skin; the loops of its ends are joined to the
// first and last ring, and the walls to each other, by strips over the same points, so that nothing gapes.
// Plates are left to the library.
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <cmath>

#include "solid/shape.h"

namespace halfround::solid {

namespace {

constexpr double kTurn = 2 * base::kPi;
constexpr double kClear = 0.05;  // mm of skin between a loop and the first ring

/// Facets of one face of a plate, which may be another one moved; normals come from its surface.
void add_face(Mesh& mesh, const TopoDS_Face& face) {
  TopLoc_Location at;
  const Handle(Poly_Triangulation) facets = BRep_Tool::Triangulation(face, at);
  if (facets.IsNull()) return;
  facets->ComputeNormals();
  const auto first = static_cast<std::uint32_t>(mesh.points.size() / 3);
  const bool reversed = face.Orientation() == TopAbs_REVERSED;
  for (int i = 1; i <= facets->NbNodes(); ++i) {
    const gp_Pnt p = facets->Node(i).Transformed(at.Transformation());
    for (const double v : {p.X(), p.Y(), p.Z()}) mesh.points.push_back(static_cast<float>(v));
    const gp_Dir n = facets->Normal(i).Transformed(at.Transformation());
    for (const double v : {n.X(), n.Y(), n.Z()})
      mesh.normals.push_back(static_cast<float>(reversed ? -v : v));
  }
  for (int i = 1; i <= facets->NbTriangles(); ++i) {
    int a = 0, b = 0, c = 0;
    facets->Triangle(i).Get(a, b, c);
    if (reversed) std::swap(b, c);
    for (const int k : {a, b, c}) mesh.corners.push_back(first + static_cast<std::uint32_t>(k - 1));
  }
}

std::uint32_t put(Mesh& mesh, const Vec3& p, const Vec3& n) {
  for (int k = 0; k < 3; ++k) mesh.points.push_back(static_cast<float>(p[k]));
  for (int k = 0; k < 3; ++k) mesh.normals.push_back(static_cast<float>(n[k]));
  return static_cast<std::uint32_t>(mesh.points.size() / 3 - 1);
}

/// A row of corners round a skin, closed: the last repeats the first a turn on.
struct Row {
  std::vector<std::uint32_t> at;
  std::vector<double> w;
};

/// Facets between two rows, each step taken where less of the turn is done; `low` lies nearer the start.
void strip(Mesh& mesh, const Row& low, const Row& high, bool outward) {
  std::size_t i = 0, j = 0;
  while (i + 1 < low.at.size() || j + 1 < high.at.size()) {
    const bool step_low = j + 1 >= high.at.size() ||
                          (i + 1 < low.at.size() && low.w[i + 1] + low.w[i] <= high.w[j + 1] + high.w[j]);
    std::array<std::uint32_t, 3> t{low.at[i], step_low ? low.at[i + 1] : high.at[j + 1], high.at[j]};
    if (!outward) std::swap(t[1], t[2]);
    mesh.corners.insert(mesh.corners.end(), t.begin(), t.end());
    ++(step_low ? i : j);
  }
}

Vec3 normal_at(const Skin& skin, const Vec3& p, bool outward) {
  const Vec3 n = shape::level(skin.tube(), p).gradient.normalized();
  return outward ? n : Vec3(-n);
}

Row ring_at(Mesh& mesh, const Skin& skin, double s, int around, bool outward) {
  Row out;
  for (int i = 0; i <= around; ++i) {
    const Vec3 p = shape::surface(skin.tube(), base::unit_at(kTurn * (i % around) / around), s).p;
    out.at.push_back(i == around ? out.at.front() : put(mesh, p, normal_at(skin, p, outward)));
    out.w.push_back(i == around ? kTurn : skin.place(p).x());
  }
  return out;
}

Row row_of(Mesh& mesh, const Skin& skin, const Border& border, bool outward) {
  Row out;
  for (std::size_t i = 0; i < border.points.size(); ++i) {
    out.at.push_back(put(mesh, border.points[i], normal_at(skin, border.points[i], outward)));
    out.w.push_back(border.w[i]);
  }
  out.at.push_back(out.at.front()), out.w.push_back(kTurn);
  return out;
}

std::pair<double, double> reach(const Skin& skin, const Border& border) {
  double lo = INFINITY, hi = -INFINITY;
  for (const Vec3& p : border.points) {
    const double s = skin.tube().centreline.nearest(p);
    lo = std::min(lo, s), hi = std::max(hi, s);
  }
  return {lo, hi};
}

/// Where rings stand: close enough for the bends and the taper.
std::vector<double> rings(const shape::Tube& tube, double from, double to, const MeshOptions& options) {
  std::vector<double> at{from, to};
  const auto add = [&](double s) {
    if (s > from + 1 && s < to - 1) at.push_back(s);
  };
  for (const shape::Piece& p : tube.centreline.pieces()) {
    add(p.s0);
    const double radius = p.curvature > 0 ? 1 / p.curvature + tube.profile.max_radius() : INFINITY;
    const double step = std::min(2 * std::sqrt(2 * options.chord / radius), options.angle);
    const int n = p.curvature > 0 ? static_cast<int>(std::ceil(p.length * p.curvature / step)) : 1;
    for (int i = 1; i < n; ++i) add(p.s0 + p.length * i / n);
  }
  if (!tube.profile.constant()) {
    const auto& q = tube.profile.stations();
    for (std::size_t i = 0; i < q.size(); ++i) {
      add(q[i].s);
      for (int k = 1; i + 1 < q.size() && k < 4; ++k) add(q[i].s + (q[i + 1].s - q[i].s) * k / 4);
    }
  }
  std::sort(at.begin(), at.end());
  return at;
}

void add_skin(Mesh& mesh, const Skin& skin, const Border& low, const Border& high, bool outward,
              const MeshOptions& options) {
  const double from = reach(skin, low).second + kClear, to = reach(skin, high).first - kClear;
  const double step =
      std::min(2 * std::sqrt(2 * options.chord / skin.tube().profile.max_radius()), options.angle);
  const int around = 8 * static_cast<int>(std::ceil(kTurn / step / 8));
  Row before = row_of(mesh, skin, low, outward);
  if (to > from) {
    for (const double s : rings(skin.tube(), from, to, options)) {
      Row next = ring_at(mesh, skin, s, around, outward);
      strip(mesh, before, next, outward);
      before = std::move(next);
    }
  }
  strip(mesh, before, row_of(mesh, skin, high, outward), outward);
}

/// Flat facets between the walls at one end.
void add_wall(Mesh& mesh, const Border& outer, const Border& inner, bool at_end) {
  const auto flat = [&](const Vec3& a, Vec3 b, Vec3 c) {
    if (at_end) std::swap(b, c);
    const Vec3 n = (b - a).cross(c - a);
    if (n.norm() < 1e-12) return;
    for (const Vec3& p : {a, b, c}) mesh.corners.push_back(put(mesh, p, n.normalized()));
  };
  const std::size_t n = outer.points.size(), m = inner.points.size();
  const auto strip_between = [&](std::size_t o0, std::size_t o1, std::size_t i0, std::size_t i1,
                                 bool by_turn) {
    std::size_t i = o0, j = i0;
    const auto done = [&](const Border& b, std::size_t k, std::size_t k0, std::size_t k1) {
      if (by_turn) return k < b.w.size() ? b.w[k] : kTurn;
      return static_cast<double>(k - k0) / static_cast<double>(k1 - k0);
    };
    while (i < o1 || j < i1) {
      const bool step_outer = j >= i1 || (i < o1 && done(outer, i + 1, o0, o1) + done(outer, i, o0, o1) <=
                                                        done(inner, j + 1, i0, i1) + done(inner, j, i0, i1));
      const Vec3 &a = outer.points[i % n], &b = inner.points[j % m];
      flat(a, b, step_outer ? outer.points[(i + 1) % n] : inner.points[(j + 1) % m]);
      ++(step_outer ? i : j);
    }
  };
  // a slot's corners belong together; a mitre's points are joined by clock angle
  if (outer.starts.size() == 9 && inner.starts.size() == 9) {
    for (std::size_t k = 0; k < 9; ++k) {
      strip_between(outer.starts[k], k < 8 ? outer.starts[k + 1] : n, inner.starts[k],
                    k < 8 ? inner.starts[k + 1] : m, false);
    }
  } else {
    strip_between(0, n, 0, m, true);
  }
}

/// A solid bar's end.
void add_disc(Mesh& mesh, const Border& border, bool at_end) {
  Vec3 middle = Vec3::Zero();
  const std::size_t n = border.points.size();
  for (const Vec3& p : border.points) middle += p / static_cast<double>(n);
  for (std::size_t i = 0; i < n; ++i) {
    Vec3 b = border.points[i], c = border.points[(i + 1) % n];
    if (!at_end) std::swap(b, c);
    const Vec3 normal = (b - middle).cross(c - middle).normalized();
    for (const Vec3& p : {middle, b, c}) mesh.corners.push_back(put(mesh, p, normal));
  }
}

}  // namespace

const Mesh& mesh_of(const Shape& shape, const MeshOptions& options) {
  Mesh& mesh = shape.mesh;
  if (mesh.chord == options.chord && mesh.angle == options.angle) return mesh;
  mesh = {options.chord, options.angle, {}, {}, {}};
  const Net& net = shape.net;
  if (!net.outer) {
    BRepMesh_IncrementalMesh(shape.solid, options.chord, false, options.angle, false);
    for (TopExp_Explorer f(shape.solid, TopAbs_FACE); f.More(); f.Next())
      add_face(mesh, TopoDS::Face(f.Current()));
    return mesh;
  }
  add_skin(mesh, *net.outer, net.low[0], net.high[0], true, options);
  if (!net.inner) {
    add_disc(mesh, net.low[0], false), add_disc(mesh, net.high[0], true);
    return mesh;
  }
  add_skin(mesh, *net.inner, net.low[1], net.high[1], false, options);
  add_wall(mesh, net.low[0], net.low[1], false), add_wall(mesh, net.high[0], net.high[1], true);
  return mesh;
}

}  // namespace halfround::solid
