#include "serve/pairing.h"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <qrencode.h>
#include <sodium.h>

#include <memory>

namespace halfround::serve {

std::string fresh_token() {
  unsigned char bytes[32];
  randombytes_buf(bytes, sizeof bytes);
  char text[sodium_base64_ENCODED_LEN(sizeof bytes, sodium_base64_VARIANT_URLSAFE_NO_PADDING)];
  return sodium_bin2base64(text, sizeof text, bytes, sizeof bytes, sodium_base64_VARIANT_URLSAFE_NO_PADDING);
}

std::string hash_of(const std::string& token) {
  unsigned char hash[crypto_hash_sha256_BYTES];
  crypto_hash_sha256(hash, reinterpret_cast<const unsigned char*>(token.data()), token.size());
  char text[2 * sizeof hash + 1];
  return sodium_bin2hex(text, sizeof text, hash, sizeof hash);
}

std::string qr_svg(const std::string& text) {
  const std::unique_ptr<QRcode, decltype(&QRcode_free)> code(
      QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M), &QRcode_free);
  base::check(code != nullptr, "an address is short enough for a QR code");
  constexpr int kQuiet = 4;  // modules of white all round [source: ISO/IEC 18004, from memory]
  const int n = code->width;
  std::string path;
  for (int y = 0; y < n; ++y)
    for (int x = 0; x < n; ++x)
      if (code->data[y * n + x] & 1) path += fmt::format("M{} {}h1v1h-1z", x + kQuiet, y + kQuiet);
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0} {0}\" role=\"img\" "
      "aria-label=\"code for the phone\"><rect width=\"{0}\" height=\"{0}\" fill=\"#fff\"/>"
      "<path d=\"{1}\" fill=\"#000\"/></svg>",
      n + 2 * kQuiet, path);
}

std::string network_address() {
  ifaddrs* all = nullptr;
  if (getifaddrs(&all) != 0) return "";
  const std::unique_ptr<ifaddrs, decltype(&freeifaddrs)> held(all, &freeifaddrs);
  for (const ifaddrs* i = all; i != nullptr; i = i->ifa_next) {
    if (i->ifa_addr == nullptr || i->ifa_addr->sa_family != AF_INET) continue;
    if ((i->ifa_flags & IFF_LOOPBACK) != 0 || (i->ifa_flags & IFF_UP) == 0) continue;
    char text[INET_ADDRSTRLEN];
    const auto* address = reinterpret_cast<const sockaddr_in*>(i->ifa_addr);
    if (inet_ntop(AF_INET, &address->sin_addr, text, sizeof text) != nullptr) return text;
  }
  return "";
}

}  // namespace halfround::serve
