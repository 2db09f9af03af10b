// Filler metals for brazing, one row each with where the figures come from. Frame: none; temperatures in C.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "base/result.h"

namespace halfround::bike {

enum class FillerKind { bronze, silver };

struct Filler {
  std::string_view name;     ///< AWS A5.8: "RBCuZn-C"
  std::string_view iso;      ///< ISO 17672, from memory; empty: none known
  std::string_view made_of;  ///< nominal, % by mass
  FillerKind kind;
  double solidus_C, liquidus_C;
  double work_from_C, work_to_C;  ///< the brazing range of the source
  double density_kg_m3;
  double density_band;  ///< how far the density may be off, as a share of 1
  std::string_view source, density_source;
  bool for_stainless = false;  ///< holds nickel, against water creeping in along the joint [common practice]
};

/// The fillers a plan may use; none of them holds cadmium.
[[nodiscard]] std::span<const Filler> fillers();
/// Names of known alloys with cadmium. They are only here to be refused.
[[nodiscard]] std::span<const std::string_view> cadmium_fillers();

/// A filler by its AWS or ISO name; capitals, spaces and hyphens don't matter.
///   fails  filler-cadmium  the alloy holds cadmium
///          filler-unknown  no row has that name; all names are given
[[nodiscard]] base::Result<const Filler*> find_filler(std::string_view name);

/// Eye protection by process.
struct Shade {
  std::string_view process;
  std::string_view shade;  ///< as the source prints it: "3 or 4"
  std::string_view source;
};
[[nodiscard]] std::span<const Shade> shades();

}  // namespace halfround::bike
