// The closed sets of the studies that a job names too: kinds of bicycle, small parts. Frame: none.
#pragma once

#include "base/words.h"

namespace halfround::study {

/// The kinds of bicycle that the published tests tell apart.
enum class TestedAs { city, young_adult, mountain, racing };
inline constexpr std::array<base::Word<TestedAs>, 4> kBicycles{
    {{TestedAs::city, "city", "city"},
     {TestedAs::young_adult, "young adult", "young adult"},
     {TestedAs::mountain, "mountain", "mountain"},
     {TestedAs::racing, "racing", "racing"}}};
static_assert(base::complete(kBicycles));

enum class FeatureKind {
  pinch_lug,
  axle_slot,
  dropout_slot,
  vent,
  boss,
  guide,
  wire_passage,
  hose_passage,
  mudguard_eye,
  rack_boss,
  cage_bosses,
  brake_mount  ///< not by a job's list: the brake's own section asks for it
};
inline constexpr std::array<base::Word<FeatureKind>, 12> kFeatures{
    {{FeatureKind::pinch_lug, "pinch lug", "pinch-bolt lug"},
     {FeatureKind::axle_slot, "axle slot", "slot at the axle end"},
     {FeatureKind::dropout_slot, "dropout slot", "dropout slot"},
     {FeatureKind::vent, "vent", "vent hole"},
     {FeatureKind::boss, "boss", "boss"},
     {FeatureKind::guide, "guide", "guide"},
     {FeatureKind::wire_passage, "wire passage", "wire passage"},
     {FeatureKind::hose_passage, "hose passage", "hose passage"},
     {FeatureKind::mudguard_eye, "mudguard eye", "mudguard eye"},
     {FeatureKind::rack_boss, "rack boss", "rack boss"},
     {FeatureKind::cage_bosses, "cage bosses", "cage boss"},
     {FeatureKind::brake_mount, "brake mount", "brake mount"}}};
static_assert(base::complete(kFeatures));
/// Those a job's list can name.
inline constexpr std::size_t kListedFeatures = static_cast<std::size_t>(FeatureKind::brake_mount);

}  // namespace halfround::study
