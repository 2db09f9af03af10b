#include "study/load_case.h"

#include <algorithm>
#include <array>

namespace halfround::study {

namespace {

/// One line of the published tables: a figure for each kind of bicycle.
struct Row {
  PublishedLoad load;
  LoadKind kind;
  Cycle cycle;
  std::array<double, 4> force;  // N; city, young adult, mountain, racing
  std::array<double, 4> cycles;
  std::array<double, 4> drop;  // mm
  bool disc;                   // only with a disc brake
  std::string_view source;
};

constexpr std::array<Row, 5> kRows{{
    {PublishedLoad::static_bending,
     LoadKind::force,
     Cycle::once,
     {1000, 1000, 1500, 1200},
     {},
     {},
     false,
     "ISO 4210-6:2014 Table 6, from memory; 1200 N for racing as in ASTM F2899-11"},
    {PublishedLoad::bending_fatigue,
     LoadKind::force,
     Cycle::reversed,
     {450, 450, 650, 620},
     {1e5, 1e5, 1e5, 1e5},
     {},
     false,
     "JIS D 9301:2019 (after ISO 4210-6:2015) as told by the Japan Bicycle Promotion Institute, no. 4618; "
     "young adult "
     "from memory"},
    {PublishedLoad::brake_static,
     LoadKind::brake,
     Cycle::once,
     {1000, 1000, 1000, 1000},
     {},
     {},
     true,
     "TBIS 15194:2019 p. 79"},
    {PublishedLoad::brake_fatigue,
     LoadKind::brake,
     Cycle::pulsating,
     {600, 600, 600, 600},
     {12e3, 12e3, 12e3, 20e3},
     {},
     true,
     "JIS D 9301:2019 as told by the Japan Bicycle Promotion Institute, no. 4596; cycles TBIS 15194:2019 "
     "Table 22"},
    {PublishedLoad::impact,
     LoadKind::impact,
     Cycle::once,
     {1, 1, 1, 1},
     {},
     {180, 180, 360, 360},
     false,
     "JIS D 9301:2019 as told by the Japan Bicycle Promotion Institute, no. 4616, metal forks; young adult "
     "from "
     "memory; 22.5 kg and 45 mm of set"},
}};

constexpr double kStrikerMass = 22.5;  // kg
constexpr double kImpactSet = 45;      // mm
/// ASTM F2899-11 for rigid forks of its first condition; ISO 4210-2 from memory 5 or 10 by type: the careful
/// one. For the brake ISO 4210-2 from memory.
constexpr double kStaticSet = 5;  // mm

}  // namespace

std::vector<LoadCase> published_cases(TestedAs type, bool disc, std::span<const PublishedLoad> left_out) {
  const auto column = static_cast<std::size_t>(type);
  std::vector<LoadCase> out;
  for (const Row& row : kRows) {
    if (row.disc && !disc) continue;
    if (std::ranges::find(left_out, row.load) != left_out.end()) continue;
    LoadCase c;
    c.name = base::word_of(kPublishedLoads, row.load).words, c.kind = row.kind, c.cycle = row.cycle;
    c.cycles = row.cycles[column];
    c.force = Vec3(-row.force[column], 0, 0);  // rearward
    if (row.kind == LoadKind::impact) {
      c.mass = kStrikerMass, c.drop = row.drop[column], c.set_limit = kImpactSet;
    }
    if (row.cycle == Cycle::once && row.kind != LoadKind::impact) c.set_limit = kStaticSet;
    c.source = row.source;
    out.push_back(c);
  }
  return out;
}

double brake_arm(double bead_seat, double outside_diameter) {
  struct Arm {
    double bead_seat, arm;
  };
  constexpr std::array<Arm, 4> arms{{{507, 305}, {559, 330}, {584, 349}, {622, 368}}};
  for (const Arm& a : arms) {
    if (a.bead_seat == bead_seat) return a.arm;
  }
  return outside_diameter / 2;
}

}  // namespace halfround::study
