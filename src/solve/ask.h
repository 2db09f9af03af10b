// What a job asks of each study: the job's words as the studies' options. Frame: none.
#pragma once

#include "job/job.h"
#include "layout/as_built.h"
#include "layout/lay_out.h"
#include "shop/shop.h"
#include "study/braze.h"
#include "study/clearance.h"
#include "study/mass.h"
#include "study/small_parts.h"
#include "study/strength.h"
#include "study/tolerance.h"
#include "study/wheel_hold.h"

namespace halfround::solve {

[[nodiscard]] study::ClearanceOptions clearance_of(const job::Job& job, const layout::Intent& intent,
                                                   double wheel_radius);
/// in  mount  of the brake; null: none, or not known
[[nodiscard]] study::StrengthOptions strength_of(const job::Job& job, const layout::Fork& fork,
                                                 double wheel_radius, const study::Mount* mount = nullptr,
                                                 const std::vector<study::Feature>& features = {});
/// Every dimension of the chain with the job's plus-minus, else the shop's (its fixture's scales), else the
/// usual one; the finished fork's limits.
[[nodiscard]] study::Tolerances tolerances_of(const job::Job& job, const shop::Shop* shop,
                                              const bike::Chain& chain, const layout::Intent& intent);
/// The gap study's dimensions likewise; its limit is what the filler bridges.
[[nodiscard]] study::Tolerances gap_tolerances_of(const job::Job& job, const shop::Shop* shop,
                                                  const study::Formula& gaps);
/// What the builder cold sets after measuring, and how well he reads it; nothing where he doesn't or may not.
[[nodiscard]] std::vector<study::ColdSet> cold_set_of(const job::Job& job);
[[nodiscard]] study::WheelHold wheel_hold_of(const job::Job& job);
/// Nothing without a disc brake.
[[nodiscard]] std::optional<study::MountOptions> mount_of(const job::Job& job);
[[nodiscard]] std::vector<study::FeatureWish> features_of(const job::Job& job);
/// Passes, gaps and metals; with a shop, the rods on its rack.
///   in  mount  of the brake, whose feet vents keep clear of, as of the small parts placed by hand; null:
///   none
[[nodiscard]] study::BrazeOptions joining_of(const job::Job& job, const bike::Assembly& assembly,
                                             const study::Mount* mount, const shop::Shop* shop);
/// The key that names the material of a member or plate: "material.blades".
[[nodiscard]] std::string material_key(const job::Job& job, bike::PartKind kind);
[[nodiscard]] study::MassOptions mass_of(const job::Job& job, const bike::Assembly& assembly);

/// Bottom bracket to front axle, where the frame's numbers are given.
struct FrontCentre {
  double straight = 0;  ///< mm
  double level = 0;     ///< along the ground, mm
  double drop = 0;      ///< bottom bracket below the front axle, mm
};
[[nodiscard]] std::optional<FrontCentre> front_centre_of(const job::Job& job, double wheel_radius);

}  // namespace halfround::solve
