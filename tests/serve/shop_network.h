// A whole server whose shop network is on, with one paired phone. It is reached by this machine's own
// address, which never leaves the machine.
#pragma once

#include <string>

#include "serve/asking.h"

namespace halfround::serve {

/// A paired device.
struct Pair {
  int id = 0;
  std::string token;
  [[nodiscard]] std::string bearer() const { return "Authorization: Bearer " + token + "\r\n"; }
};

inline const std::string kUpgrade =
    "Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n"
    "Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n";

/// A text message of a client, shorter than 64 kB. [source: RFC 6455, 5.2; the mask is zero, so the text
/// stands as it is]
inline std::string frame_of(const std::string& text) {
  std::string frame = "\x81";
  frame += static_cast<char>(0x80 | (text.size() < 126 ? text.size() : 126));
  if (text.size() >= 126) frame += {static_cast<char>(text.size() >> 8), static_cast<char>(text.size())};
  return frame + std::string(4, '\0') + text;
}

class ShopNetworkTest : public AskingTest {
 protected:
  void SetUp() override {
    AskingTest::SetUp();
    const Answered on = switch_network(true);
    if (on.status != 200) GTEST_SKIP() << "this machine is in no network: " << on.body;
    address_ = Json::parse(on.body)["address"];
    address_ = address_.substr(0, address_.find(':'));
    phone_ = pair();
  }
  Answered switch_network(bool on) {
    return Client(port_).ask("POST", "/api/network", Json{{"on", on}}.dump());
  }
  [[nodiscard]] Pair pair(const std::string& name = "") const {
    const Json made =
        Json::parse(Client(port_).ask("POST", "/api/pairing", Json{{"name", name}}.dump()).body);
    const std::string link = made["link"];
    return {made["token_id"], link.substr(link.find("token=") + 6)};
  }
  /// A connection from the network.
  [[nodiscard]] Client from_network() const { return Client(port_, address_); }
  static std::string code_of(const Answered& a) { return Json::parse(a.body)["problems"][0]["code"]; }

  std::string address_;
  Pair phone_;
};

}  // namespace halfround::serve
