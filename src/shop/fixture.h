// What a fixture's scales have to show for this fork, and what its holders lack. Frame: the fork's own, F.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "bike/assembly.h"
#include "shop/adapter.h"
#include "shop/shop.h"
#include "study/small_parts.h"

namespace halfround::shop {

inline constexpr std::size_t kMeasures = 12;  ///< values of Measures

/// A fork as a fixture sees it, by Measures; nothing where the fork hasn't got that measure. mm or rad.
struct ForkMeasures {
  std::array<std::optional<double>, kMeasures> left, right;  ///< the same but for splay and crown height
  double bolt_pitch = 0;                                     ///< of the brake mount, along its face, mm
  double mount_tolerance = 0;                                ///< what its bolts are held to, mm
  double steerer = 0;                                        ///< its diameter at the crown race seat, mm
  std::optional<double> crown_race;                          ///< diameter of its seat, mm
  HubEnd hub;
};

/// From the seat down the steering axis to what the crown's scale measures, as the job says it, mm: where the
/// blades' middle lines meet the axis, where the crown tubes' do, the middle of the upper plate, half way up
/// a socket crown.
struct CrownHeight {
  double left = 0, right = 0;
};

/// in  over_locknut, axle  of the job's hub, mm; crown: nothing, its scale has nothing to measure;
/// crown_race: diameter of the seat, where it is known; mount:
///     of the brake, null: none. One whose coordinates aren't known has no measures
[[nodiscard]] ForkMeasures measures_of(const bike::Assembly& assembly, double over_locknut, double axle,
                                       std::optional<CrownHeight> crown = std::nullopt,
                                       std::optional<double> crown_race = std::nullopt,
                                       const study::Mount* mount = nullptr);

/// One scale.
struct Reading {
  std::string adjuster;
  Measures measures = Measures::offset;
  std::string what;    ///< "offset", "splay of the left blade"
  bool angle = false;  ///< rad instead of mm, in everything below
  double wanted = 0;   ///< of the fork
  double seen = 0;     ///< what the scale has to measure for it: more than that where a ring lifts the seat
  double exact = 0;    ///< what the scale would show
  double set = 0;      ///< to the nearest step
  std::string text;    ///< `set` as the scale is marked: "1 47/64 in", "106.5 mm", "−6.25°"
  double error = 0;    ///< what the fork gets by the rounding: set less wanted
  double error_at_axle = 0;  ///< what that moves the axle by, mm; 0 where it doesn't
  bool in_range = true;
  double out_by = 0;  ///< how far the setting lies beyond the scale's nearer end; > 0: past its end, < 0:
                      ///< before its beginning
};

/// The fork that the rounded settings make; the axle's place wants a height and an offset in some form. Of
/// several pairs of scales that fix it the one that comes nearest.
struct AsSet {
  std::array<std::string, 2> by;                                 ///< the two scales
  double offset = 0, along = 0, straight = 0;                    ///< mm
  double offset_error = 0, along_error = 0, straight_error = 0;  ///< less what was wanted, mm
};

/// A scale more than the fork needs, whose rounded setting is not what the others make.
struct Disagreement {
  std::string scale;                ///< "leaning board"
  std::vector<std::string> others;  ///< "bed", "tower"
  std::string what;                 ///< it measures: "offset angle"
  bool angle = false;               ///< rad instead of mm in `by`
  double by = 0;                    ///< its own measure as set less that of the others
  double at_axle = 0;               ///< what that is at the axle, mm; 0 where it doesn't move it
};

/// "The leaning board as set disagrees with bed and tower by 0.04° (0.25 mm at the axle). ..."
[[nodiscard]] std::string words_of(const Disagreement& disagreement);

/// Where the brake mount's bolts come by the rounded settings; a measure without a scale is taken as wanted.
struct MountAsSet {
  double off = 0;    ///< the farther bolt from its place, in the rotor's plane, mm
  double aside = 0;  ///< both bolts outward, mm
  double tolerance = 0;
  [[nodiscard]] bool holds() const;  ///< both within the tolerance
};

struct HolderCheck {
  std::string what;   ///< "steerer clamp", "race stop"
  double has = 0;     ///< mm: the diameter or the nearer end of its range
  double wanted = 0;  ///< mm
  bool fits = true;
  std::string note;  ///< one sentence where it doesn't
};

struct FixtureSheet {
  std::string fixture;
  std::vector<Reading> readings;
  std::optional<AsSet> as_set;      ///< nothing where the scales in range don't fix the axle
  std::optional<MountAsSet> mount;  ///< nothing where no scale measures it, or one is out of range
  std::vector<std::string> idle;    ///< scales this fork has nothing for: "mount arm: brake mount's lean"
  std::vector<HolderCheck> holders;
  std::optional<DummyAxle> dummy;  ///< the one to take
  std::vector<Adapter> pieces;     ///< what to turn: for the dummy axle, the race stop, the clamp
  std::string adapter_problem;     ///< where a piece can't be worked out
  double lift = 0;                 ///< of the seat off the race stop by a ring's flange; in the readings, mm
  std::vector<Disagreement> disagreements;
};

[[nodiscard]] FixtureSheet fixture_sheet(const Fixture& fixture, const ForkMeasures& fork,
                                         const AdapterWishes& wishes = {});
/// Every fixture of the shop, in its order.
[[nodiscard]] std::vector<FixtureSheet> fixture_sheets(const Shop& shop, const ForkMeasures& fork,
                                                       const AdapterWishes& wishes = {});

/// Of the brake's mount rather than of the fork?
[[nodiscard]] constexpr bool of_mount(Measures measures) {
  return measures >= Measures::mount_face;
}

/// "axle-to-crown along the axis"
[[nodiscard]] std::string name_of(Measures measures);

}  // namespace halfround::shop
