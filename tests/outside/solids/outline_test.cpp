// Who else says so: sections of the solids by planes, cut by OpenCASCADE. Ours: the outlines that the sheets
// draw, which are worked out from the tubes' own surfaces, and the walls that the mitres go by.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <sstream>

#include "drawing/fork_outline.h"
#include "drawing/view.h"
#include "job/read.h"
#include "parts.h"
#include "solid/solid.h"
#include "solve/solve.h"

namespace halfround::solid {
namespace {

namespace fs = std::filesystem;
using base::Vec2;

double from_line(const Vec2& p, const std::vector<Vec2>& line) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Vec2 along = line[i + 1] - line[i];
    const double share =
        along.squaredNorm() > 0 ? std::clamp((p - line[i]).dot(along) / along.squaredNorm(), 0.0, 1.0) : 0;
    least = std::min(least, (p - line[i] - share * along).norm());
  }
  return least;
}

/// Greatest distances found in one example.
struct Off {
  double outline = 0, wall = 0;
  int planes = 0;
};

/// Planes square to a member, between its cuts: where its outline is widest as seen, and how far its walls
/// are off.
void look(Off& off, const bike::Member& m, const drawing::Trimmed& cut, const Part& part,
          const std::vector<drawing::View>& views) {
  const double from =
      (cut.at_start ? cut.at_start->s_most : m.s_start + 22) + 1;  // 22: past a dropout's slot
  const double to = (cut.at_end ? cut.at_end->s_least : m.s_end) - 1;
  if (to <= from) return;
  const shape::Tube inner = m.tube.inner();
  for (const double share : {0.07, 0.31, 0.52, 0.77, 0.94}) {
    const double s = from + share * (to - from);
    const shape::Frame f = m.tube.centreline.at(s);
    std::vector<Vec3> points;
    for (const auto& curve : section(part, f.c, f.t, 0.05)) {
      for (const Vec3& p : curve) {
        if ((p - f.c).norm() > 2 * m.tube.profile.max_radius()) continue;  // a bend crosses the plane again
        points.push_back(p);
        off.wall = std::max(off.wall, std::min(std::abs(shape::level(m.tube, p).value),
                                               std::abs(shape::level(inner, p).value)));
      }
    }
    ASSERT_GT(points.size(), 100u) << m.part;
    ++off.planes;
    for (const drawing::View& view : views) {
      const Vec3 across = view.toward.cross(f.t);
      if (across.norm() < 0.9) continue;  // foreshortened: its outline there is not this section's
      const auto lines = drawing::sides(cut, view, {});
      for (const double side : {1.0, -1.0}) {
        const auto widest = std::max_element(points.begin(), points.end(), [&](const Vec3& a, const Vec3& b) {
          return side * a.dot(across) < side * b.dot(across);
        });
        double nearest = std::numeric_limits<double>::infinity();
        for (const drawing::Side& line : lines)
          nearest = std::min(nearest, from_line(view(*widest), line.points));
        off.outline = std::max(off.outline, nearest);
      }
    }
  }
}

class Outline : public testing::TestWithParam<fs::path> {};

TEST_P(Outline, RunsThroughTheWidestPlacesOfTheSolidsSections) {
  std::ifstream in(GetParam());
  std::stringstream text;
  text << in.rdbuf();
  const auto job = job::read_job(text.str(), GetParam().string());
  ASSERT_TRUE(job);
  const auto a = solve::solve(*job, {.tolerance = false, .changes = false});
  ASSERT_TRUE(a) << base::sentence(a.error());
  Shelf shelf;
  const auto parts = solids(a->fork.assembly, a->mitres, shelf);
  ASSERT_TRUE(parts) << base::sentence(parts.error());
  const drawing::Drawing drawing = drawing::drawing_of(*job, *a);
  Off off;
  for (std::size_t i = 0; i < a->fork.assembly.members.size(); ++i) {
    const bike::Member& m = a->fork.assembly.members[i];
    if (m.part.kind == bike::PartKind::insert) continue;  // seen from its end in one view, and short
    look(off, m, drawing.parts[i], (*parts)[i], {drawing.front, drawing.side});
  }
  std::printf("%d planes: outlines within %.5f mm, walls within %.6f mm\n", off.planes, off.outline,
              off.wall);
  EXPECT_GE(off.planes, 15);
  EXPECT_LT(off.outline, 0.01);
  EXPECT_LT(off.wall, 1e-4);
}

std::vector<fs::path> examples() {
  std::vector<fs::path> out;
  for (const auto& e : fs::directory_iterator(fs::path(SOURCE_DIR) / "examples"))
    if (fs::exists(e.path() / "fork.toml")) out.push_back(e.path() / "fork.toml");
  std::sort(out.begin(), out.end());
  return out;
}

INSTANTIATE_TEST_SUITE_P(Examples, Outline, testing::ValuesIn(examples()), [](const auto& p) {
  std::string name = p.param.parent_path().filename().string();
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

}  // namespace
}  // namespace halfround::solid
