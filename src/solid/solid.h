// Parts as exact solids, and their files. Frame: that of the assembly, mm. How it is done and how well it
// holds: docs/solids.md. OpenCASCADE stays behind this header.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

#include "base/result.h"
#include "bike/assembly.h"
#include "study/mitre.h"

namespace halfround::solid {

using base::Vec3;

/// Greatest distance of a solid's surfaces and edges from the true ones, mm.
inline constexpr double kFitTol = 1e-5;

struct Shape;  ///< a closed solid and its mesh, as the library keeps them

/// One part.
struct Part {
  bike::Part part;  ///< the member or plate
  std::shared_ptr<const Shape> shape;
};

/// What can be read off a part.
struct Figures {
  double volume = 0;  ///< mm3
  double area = 0;    ///< of its skin, mm2
  Vec3 centre = Vec3::Zero();
  Vec3 low = Vec3::Zero(), high = Vec3::Zero();  ///< box, at most 0.02 mm smaller than the part
  bool valid = false;                            ///< the library's own check of faces, edges and their fit
  bool closed = false;                           ///< every edge belongs to two faces
};
/// Takes some hundredths of a second: meant for tests and for those who want to be sure.
[[nodiscard]] Figures figures(const Part& part);

/// The library's own check of every part; what was found sound once is not looked at again. Some tenths of a
/// second.
///   fails  solid-unsound: names the part
[[nodiscard]] base::Result<void> sound(const std::vector<Part>& parts);

/// Keeps parts by their numbers, so that an unchanged part is not made again. Belongs to one caller at a
/// time.
class Shelf {
 public:
  Shelf();
  ~Shelf();
  Shelf(const Shelf&) = delete;
  Shelf& operator=(const Shelf&) = delete;
  [[nodiscard]] std::size_t made() const { return made_; }      ///< parts worked out since the beginning
  [[nodiscard]] std::size_t reused() const { return reused_; }  ///< parts found on the shelf

 private:
  friend class Maker;
  struct Places;
  std::unique_ptr<Places> places_;
  std::size_t made_ = 0, reused_ = 0;
};

/// Solids of all members and plates, in the assembly's order.
///   in      mitres  of this assembly
///   within  kFitTol
///   fails   solid-wall      a member's wall is unknown
///           solid-outline   a member's outline is measured, not round or oval
///           solid-unclosed  the pieces of a part's skin do not close
[[nodiscard]] base::Result<std::vector<Part>> solids(const bike::Assembly& assembly,
                                                     const std::vector<study::Mitre>& mitres, Shelf& shelf);

/// STEP AP214 in millimetres, parts with names and colours. The same bytes for the same parts: the header
/// holds no time.
///   fails  step-unwritten  the library refused;  those of sound()
[[nodiscard]] base::Result<std::string> to_step(const std::vector<Part>& parts, const std::string& name);

struct MeshOptions {
  double chord = 0.1;   ///< of facets from the surface, mm
  double angle = 0.35;  ///< between neighbouring facets, rad
};
/// glTF 2.0, binary: one named node a part, metres, +Y up, +Z forward, +X to the rider's left.
[[nodiscard]] std::string to_glb(const std::vector<Part>& parts, const std::string& name,
                                 const MeshOptions& options = {});

/// Section of a part by a plane, as points along its curves. Frame: the assembly's.
///   within  kFitTol of the solid's own skin, chords `step` mm long
[[nodiscard]] std::vector<std::vector<Vec3>> section(const Part& part, const Vec3& point, const Vec3& normal,
                                                     double step);

}  // namespace halfround::solid
