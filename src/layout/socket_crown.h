// Socket crown: a cast or machined crown that is there already, with a blind socket for each blade. Frame F.
// The sockets stand where the crown has them and point where it points them; the blades are laid from the
// sockets' mouths to the lower ends, and how far the two directions differ is for study/socket_fit.h to tell.
// docs/constructions.md
#pragma once

#include "base/result.h"
#include "layout/lay_out.h"

namespace halfround::layout {

inline constexpr double kLeastSocketWall =
    1;  ///< metal that must be left round a socket bored wider, mm; ours
inline constexpr double kWidestSocketGap = 1.5;             ///< a side, mm; a wider one wants a sleeve; ours
inline constexpr double kMostSocketLean = base::to_rad(5);  ///< between blade and socket; ours

/// Adds the crown with its bores and joints; steerer and blades are there already.
///   fails  socket-too-deep         the socket would come out of the crown's top
///          socket-into-steerer     a socket or its wall runs into the steerer's bore
///          socket-too-narrow       boring it out for the blade would leave less than kLeastSocketWall
///          socket-too-wide         more than kWidestSocketGap stays on either side
///          socket-another-way      blade and socket differ by more than kMostSocketLean
[[nodiscard]] base::Result<void> add_crown(const SocketCrown& crown, const Fork& placed,
                                           bike::Assembly& assembly);

}  // namespace halfround::layout
