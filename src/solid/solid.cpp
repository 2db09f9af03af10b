#include "solid/solid.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAlgoAPI_Section.hxx>
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepGProp.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <GCPnts_AbscissaPoint.hxx>
#include <GProp_GProps.hxx>
#include <Poly_Triangulation.hxx>
#include <Standard_Failure.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedDataMapOfShapeListOfShape.hxx>
#include <TopoDS.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Pln.hxx>
#include <map>
#include <tuple>

#include "solid/shape.h"

namespace halfround::solid {

using base::Problem;
using base::Result;

struct Shelf::Places {
  std::map<Numbers, std::shared_ptr<const Shape>> by_numbers;
};
Shelf::Shelf() : places_(std::make_unique<Places>()) {}
Shelf::~Shelf() = default;

namespace {

constexpr std::size_t kMostKept = 256;  // parts; then the shelf is cleared
constexpr double kSame = 1e-9;          // numbers nearer than this are the same

void add(Numbers& out, double v) {
  out.push_back(std::round(v / kSame) * kSame + 0.0);
}
void add(Numbers& out, const Vec3& v) {
  for (const double x : {v.x(), v.y(), v.z()}) add(out, x);
}

}  // namespace

void append(Numbers& out, const shape::Tube& tube) {
  for (const shape::Piece& p : tube.centreline.pieces()) {
    add(out, p.length), add(out, p.curvature), add(out, p.p), add(out, p.t), add(out, p.m);
    if (p.curvature > 0) add(out, p.n);
  }
  add(out, -1);
  for (const shape::Station& q : tube.profile.stations()) {
    add(out, q.s), add(out, q.width), add(out, q.depth), add(out, q.wall), add(out, q.smooth ? 1 : 0);
    if (q.outline) {
      for (const Vec2& v : q.outline->points()) add(out, v.x()), add(out, v.y());
    }
  }
  add(out, -2);
}

void append(Numbers& out, const bike::Plate& plate) {
  add(out, plate.X_FP.translation());
  for (int i = 0; i < 3; ++i) add(out, Vec3(plate.X_FP.linear().col(i)));
  add(out, plate.thickness);
  for (const bike::Corner& c : plate.corners) add(out, c.at.x()), add(out, c.at.y()), add(out, c.sweep);
  add(out, -3);
  for (const bike::Bore& b : plate.bores) {
    add(out, b.at.x()), add(out, b.at.y()), add(out, b.diameter), add(out, b.across), add(out, b.depth);
    add(out, b.axis);
    if (b.mouth) add(out, *b.mouth);
  }
  add(out, -4);
}

/// Fills the shelf; what is found there is not made again.
class Maker {
 public:
  explicit Maker(Shelf& shelf) : shelf_(shelf) {}

  template <class Make>
  Result<std::shared_ptr<const Shape>> part(const Numbers& numbers, const Make& make) {
    auto& kept = shelf_.places_->by_numbers;
    if (const auto at = kept.find(numbers); at != kept.end()) {
      ++shelf_.reused_;
      return at->second;
    }
    Result<Made> made = make();
    if (!made) return tl::unexpected(made.error());
    ++shelf_.made_;
    if (kept.size() >= kMostKept) kept.clear();
    auto shape = std::make_shared<Shape>();
    shape->solid = std::move(made->solid), shape->net = std::move(made->net);
    kept.emplace(numbers, shape);
    return std::shared_ptr<const Shape>(shape);
  }

 private:
  Shelf& shelf_;
};

namespace {

Ending ending_of(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres,
                 const bike::Member& member, bike::End end) {
  Ending out;
  out.end = end;
  for (const study::Mitre& m : mitres) {
    if (m.member == member.part && m.end == end) out.mitre = &m, out.target = find_member(assembly, m.onto);
  }
  for (const bike::Joint& j : assembly.joints) {
    if (j.member == member.part && j.end == end && j.kind == bike::JointKind::slotted)
      out.slot = find_plate(assembly, j.onto);
  }
  return out;
}

void append_ending(Numbers& out, const Ending& e, const bike::Member& member) {
  add(out, e.end == bike::End::end ? member.s_end : member.s_start);
  if (e.mitre) {
    append(out, e.target->tube);
    add(out, e.mitre->stop_point), add(out, e.mitre->stop_normal);
  }
  if (e.slot) append(out, *e.slot);
  add(out, -5);
}

}  // namespace

Result<std::vector<Part>> solids(const bike::Assembly& assembly, const std::vector<study::Mitre>& mitres,
                                 Shelf& shelf) {
  Maker maker(shelf);
  std::vector<Part> out;
  try {
    for (const bike::Member& m : assembly.members) {
      const Ending start = ending_of(assembly, mitres, m, bike::End::start),
                   end = ending_of(assembly, mitres, m, bike::End::end);
      Numbers numbers;
      append(numbers, m.tube);
      append_ending(numbers, start, m), append_ending(numbers, end, m);
      auto shape = maker.part(numbers, [&] { return member_solid(m, start, end); });
      if (!shape) return tl::unexpected(shape.error());
      out.push_back({m.part, std::move(*shape)});
    }
    for (const bike::Plate& p : assembly.plates) {
      Numbers numbers;
      append(numbers, p);
      auto shape = maker.part(numbers, [&] { return plate_solid(p); });
      if (!shape) return tl::unexpected(shape.error());
      out.push_back({p.part, std::move(*shape)});
    }
  } catch (const Standard_Failure& e) {
    return tl::unexpected(Problem{"solid-unclosed",
                                  {},
                                  std::string("The geometry library stopped: ") + e.GetMessageString() + ".",
                                  "Make the sheets without solids, and please report the job."});
  }
  return out;
}

namespace {

/// By the corners of facets, which lie on the surface: the library's own box goes with a face's surface
/// beyond its edges.
std::pair<Vec3, Vec3> box_of(const TopoDS_Shape& solid) {
  const TopoDS_Shape copy = BRepBuilderAPI_Copy(solid).Shape();
  BRepMesh_IncrementalMesh(copy, 0.02, false, 0.1);
  Vec3 low = Vec3::Constant(INFINITY), high = -low;
  for (TopExp_Explorer face(copy, TopAbs_FACE); face.More(); face.Next()) {
    TopLoc_Location at;
    const Handle(Poly_Triangulation) facets = BRep_Tool::Triangulation(TopoDS::Face(face.Current()), at);
    for (int i = 1; !facets.IsNull() && i <= facets->NbNodes(); ++i) {
      const Vec3 p = back(facets->Node(i).Transformed(at.Transformation()).XYZ());
      low = low.cwiseMin(p), high = high.cwiseMax(p);
    }
  }
  return {low, high};
}

}  // namespace

Result<void> sound(const std::vector<Part>& parts) {
  for (const Part& part : parts) {
    if (part.shape->sound) continue;
    part.shape->sound = BRepCheck_Analyzer(part.shape->solid).IsValid();
    if (part.shape->sound) continue;
    return tl::unexpected(
        Problem{"solid-unsound",
                {"", 0, 0, part.part.name},
                "Its solid does not pass the geometry library's own check, so it is not written.",
                "Use the other files, and please report the job."});
  }
  return {};
}

Figures figures(const Part& part) {
  Figures out;
  const TopoDS_Shape& solid = part.shape->solid;
  GProp_GProps volume, surface;
  BRepGProp::VolumeProperties(solid, volume, 1e-9);
  BRepGProp::SurfaceProperties(solid, surface);
  out.volume = volume.Mass(), out.area = surface.Mass();
  out.centre = back(volume.CentreOfMass().XYZ());
  std::tie(out.low, out.high) = box_of(solid);
  out.valid = BRepCheck_Analyzer(solid).IsValid();
  TopTools_IndexedDataMapOfShapeListOfShape uses;
  TopExp::MapShapesAndAncestors(solid, TopAbs_EDGE, TopAbs_FACE, uses);
  out.closed = !uses.IsEmpty();
  for (int i = 1; i <= uses.Extent(); ++i) {
    if (uses(i).Extent() != 2 && !BRep_Tool::Degenerated(TopoDS::Edge(uses.FindKey(i)))) out.closed = false;
  }
  return out;
}

std::vector<std::vector<Vec3>> section(const Part& part, const Vec3& point, const Vec3& normal, double step) {
  std::vector<std::vector<Vec3>> out;
  BRepAlgoAPI_Section cut(part.shape->solid, gp_Pln(pnt(point), dir(normal)), false);
  cut.Approximation(true);
  cut.Build();
  for (TopExp_Explorer e(cut.Shape(), TopAbs_EDGE); e.More(); e.Next()) {
    const BRepAdaptor_Curve line(TopoDS::Edge(e.Current()));
    const double length = GCPnts_AbscissaPoint::Length(line);
    const int n = std::max(1, static_cast<int>(std::ceil(length / step)));
    out.emplace_back();
    for (int i = 0; i <= n; ++i) {
      const double t = line.FirstParameter() + (line.LastParameter() - line.FirstParameter()) * i / n;
      out.back().push_back(back(line.Value(t).XYZ()));
    }
  }
  return out;
}

}  // namespace halfround::solid
