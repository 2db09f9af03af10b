// Small parts placed by rule: openings for wire and hose, eyes and bosses, where the tube is straight and
// clear of every joint's heat. A place given by hand goes before the rule. docs/small-parts.md
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "bike/assembly.h"
#include "study/mitre.h"
#include "study/small_parts.h"

namespace halfround::study {

/// Two bolts of a bottle cage, middle to middle, mm. [common practice]
inline constexpr double kCagePitch = 64;
/// Least from rim to rim of two small parts on one member, mm: our own figure, room for a torch.
inline constexpr double kBetweenParts = 12;

/// What a rule says of a kind. Sizes and sides are common practice; mm.
struct FeatureRule {
  enum class Side { outward, rearward, inward } side = Side::outward;
  enum class Where { low, low_and_high, middle } where = Where::middle;
  double size = 0;   ///< across foot or hole, where none is given
  double pitch = 0;  ///< of a pair of one kind along the member; 0: single
  const char* why = "";
};
/// Empty for a kind that is always placed by hand.
[[nodiscard]] std::optional<FeatureRule> rule_of(FeatureKind kind);

/// From p to the nearest joint on a member: mitred lines, and the stretches in bores, over plates and at
/// square ends; infinite: none.
///   in  s  of p along the member, mm
[[nodiscard]] double from_joints(const bike::Assembly& assembly, const bike::Member& member, double s,
                                 const Vec3& p, const std::vector<Mitre>& mitres);

/// A wish with its place: one, or two where the rule makes two.
///   in      wish   size 0 and u empty: the rule's; s empty: by rule
///           taken  what stands already
///   out     places to the whole mm, clock to the whole degree; with s given the wish itself
///   fails   feature-place-missing  the kind has no rule
///           feature-rule-member    only blades have rules
///           feature-no-room        says the longest clear stretch and what would fit
[[nodiscard]] base::Result<std::vector<FeatureWish>> placed_by_rule(const bike::Assembly& assembly,
                                                                    const std::vector<Mitre>& mitres,
                                                                    const FeatureWish& wish,
                                                                    const std::vector<FeatureWish>& taken,
                                                                    const FeatureOptions& options);

}  // namespace halfround::study
