// What is known of a disc brake's place before the parts are on the bench. Frame: none; mm.
#pragma once

#include "base/words.h"

namespace halfround::bike {

/// What a brake stands on.
enum class Mount { none, rim, post, flat, tab };
inline constexpr std::array<base::Word<Mount>, 5> kMounts{{{Mount::none, "none", "no brake"},
                                                           {Mount::rim, "rim", "rim brake"},
                                                           {Mount::post, "post", "post mount"},
                                                           {Mount::flat, "flat", "flat mount"},
                                                           {Mount::tab, "tab", "tab mount"}}};
static_assert(base::complete(kMounts));
/// A mount of a disc brake's calliper.
[[nodiscard]] constexpr bool is_disc(Mount mount) {
  return mount == Mount::post || mount == Mount::flat || mount == Mount::tab;
}

/// From the hub's face in to the rotor's inner face at the front [from memory, unsure by 0.3 mm].
inline constexpr double kRotorFromHub = 10.5;

}  // namespace halfround::bike
