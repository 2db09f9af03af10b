// Small parts: where a disc brake's mount stands and how its foot meets the blade; lugs, slots, holes, guides
// and bosses with their place on a member and the order to make them in. Frame F for points; station s and
// clock angle u are the member's own. Sources and doubts: docs/small-parts.md.
//
//   seen from the left        a  along the mount's face, upward      n  rearward, square to a
//        a ^   | face         A  axle          face at `face` from A along n
//          |   |o bolt 2      bolts at `along` from A's foot, measured along a
//          A---|o bolt 1      lateral: +y of F, from the rotor's inner face
//              `-> n
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "bike/assembly.h"
#include "bike/brake.h"
#include "bike/limit.h"
#include "study/braze.h"
#include "study/mitre.h"
#include "study/words.h"

namespace halfround::study {

/// Post mount in the plane of the rotor, from the axle.
struct PostGeometry {
  double face = 0;               ///< from the axle, mm
  double first = 0, second = 0;  ///< bolts along the face from the axle's foot, mm
};
/// source  public post-mount specification, as restated by a second-hand author; +-0.5 mm, makers differ
[[nodiscard]] PostGeometry post_geometry(double rotor);

/// Tolerance to hold and to expect of a calliper's own drawing, mm.
inline constexpr double kMountTolerance = 0.5;

struct MountOptions {
  bike::Mount kind = bike::Mount::post;
  double rotor = 160;  ///< diameter, mm
  bike::Part blade = bike::part(bike::PartKind::blade, bike::Side::left);
  /// its inner face from the wheel's middle, mm; empty: over_locknut/2 - 10.5
  std::optional<double> rotor_plane{};
  double over_locknut = 100;
  std::optional<double> bolts_from_rotor{};  ///< outward from the rotor's inner face, mm; empty: 12.2 assumed
  std::vector<Vec2> bolts{};     ///< (face, along) off the calliper in hand, mm; needed for flat and tab
  std::optional<double> turn{};  ///< of the face about the axle from upright, > 0 leaning forward at the
                                 ///< top, rad; empty: along the blade
  double post = 14;              ///< diameter of the post or width of the foot, mm
};

/// One bolt's foot.
struct MountFoot {
  Vec3 face = Vec3::Zero();    ///< centre of the bolt in the mount's face
  double along = 0;            ///< of it, from the axle along the face, mm
  bool meets = false;          ///< the post's middle line, run toward the blade, strikes it
  Vec3 foot = Vec3::Zero();    ///< where; else the nearest point of the blade
  double standing = 0;         ///< from the face to there, mm
  double least = 0, most = 0;  ///< shortest and longest generator of the post, mm; 0 where it does not meet
  double passed_by = 0;        ///< of the post's generators, rad
  double s = 0, u = 0;         ///< of the foot on the blade
  std::vector<Vec2>
      depths;  ///< (clock angle of the post from a toward +y, standing length), every 15 deg where met
  double nearest = 0;  ///< from the face's centre to the blade, mm
};

struct Mount {
  bike::Mount kind = bike::Mount::post;
  bike::Part blade;
  bool known = false;                   ///< coordinates are known
  double turn = 0;                      ///< rad
  double rotor_plane = 0, lateral = 0;  ///< y of F: rotor's inner face, bolts, mm
  double face = 0;                      ///< mm from the axle
  std::vector<MountFoot> feet;
  double tolerance = kMountTolerance;
  std::vector<std::string> notes;
};

/// The mount of a calliper on one blade (the side follows from the blade's name).
///   fails  mount-blade    no such member
///          mount-rotor    a rotor no calliper is made for (120 to 230 mm are taken)
[[nodiscard]] base::Result<Mount> brake_mount(const bike::Assembly& assembly, const MountOptions& options);

struct FeatureWish {
  FeatureKind kind = FeatureKind::boss;
  bike::Part member;
  std::optional<double> s{};  ///< mm from the member's start end; empty: by rule (study/feature_rules.h)
  std::optional<double> u{};  ///< rad; empty: the rule's side, else the mark line
  double size = 0;            ///< across its foot or hole, mm; 0: the rule's
  bool by_rule = false;       ///< its place is the rule's
};

struct FeatureOptions {
  double neck = 25;              ///< heat-affected length beside a joint, mm: our own figure
  const Mount* mount = nullptr;  ///< of the brake: its feet are joints too
};

struct Feature {
  FeatureKind kind = FeatureKind::boss;
  std::string name;  ///< "vent hole"
  bike::Part member;
  double s = 0, u = 0, size = 0;
  Vec3 point = Vec3::Zero(), outward = Vec3::UnitX();
  int order = 0;          ///< 1 first
  std::string when, why;  ///< "before the blade is joined", "afterwards it can't be held"
  double from_joint = 0;  ///< from its rim to the nearest joint line on this member, mm; infinite: none
  std::string caution;    ///< near a neck, or on the part that is cut off
  std::string placed;     ///< by which rule; "": by hand
};

/// Features in the order to make them; those by rule find their place after all that are given by hand.
///   in     mitres  of this assembly; vents from the joining plan
///   fails  feature-member, feature-place  outside the stock; those of placed_by_rule
[[nodiscard]] base::Result<std::vector<Feature>> features(const bike::Assembly& assembly,
                                                          const std::vector<Mitre>& mitres,
                                                          const std::vector<FeatureWish>& wishes,
                                                          const std::vector<Vent>& vents = {},
                                                          const FeatureOptions& options = {});

[[nodiscard]] std::string name_of(FeatureKind kind);  ///< "pinch-bolt lug"
[[nodiscard]] std::vector<bike::Verdict> verdicts(const Mount& mount);

}  // namespace halfround::study
