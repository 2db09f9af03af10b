// Who may come in from the shop network: tokens nobody can guess, kept as hashes only, and the picture that
// carries one to a phone.
#pragma once

#include <string>

#include "base/result.h"

namespace halfround::serve {

/// 256 random bits as 43 letters that may stand in an address.
[[nodiscard]] std::string fresh_token();
/// SHA-256 of a token, 64 hex digits.
[[nodiscard]] std::string hash_of(const std::string& token);
/// A QR code (ISO/IEC 18004) as SVG, one module 1 unit, with its quiet zone.
[[nodiscard]] std::string qr_svg(const std::string& text);
/// The first IPv4 address that isn't this machine's own loop; "" where it is in no network.
[[nodiscard]] std::string network_address();

}  // namespace halfround::serve
