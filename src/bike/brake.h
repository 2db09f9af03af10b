// What is known of a disc brake's place before the parts are on the bench. Frame: none; mm.
#pragma once

namespace halfround::bike {

/// From the hub's face in to the rotor's inner face at the front [from memory, unsure by 0.3 mm].
inline constexpr double kRotorFromHub = 10.5;

}  // namespace halfround::bike
