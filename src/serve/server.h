// The network: one thread that listens and talks, a few that think. On this machine only, until the shop
// network is switched on; Host and Origin are checked, everything has a limit (docs/serve.md).
#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <string>

#include "base/result.h"
#include "serve/desk.h"

namespace halfround::serve {

/// What a caller may take of the server. They are counted by the device that shows its token, else by the
/// address; this machine's own are not.
struct Limits {
  std::chrono::milliseconds idle{75'000};  ///< a connection that asks nothing
  std::chrono::milliseconds idle_unpaired{15'000};
  std::chrono::milliseconds slow{20'000};  ///< one that doesn't finish asking or taking
  int requests = 1200;                     ///< a minute, of one device; messages of its live sockets too
  int changes = 300;                       ///< a minute, of one device; its live sockets' too
  int wrong_tokens = 20;                   ///< a minute, of one address
  std::chrono::seconds unused = std::chrono::days(90);  ///< a pairing that nobody used for so long ends
};

struct ServeOptions {
  unsigned short port = 8710;  ///< 0: any free one
  bool open_network = false;
  Limits limits{};
  /// Told of our own mistakes, in words; from any thread.
  std::function<void(const std::string&)> complain;
};

class Server {
 public:
  Server(Desk& desk, const ServeOptions& options);
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  ///   fails  port-taken, network-none
  [[nodiscard]] base::Result<void> listen();
  [[nodiscard]] std::string address() const;          ///< "http://127.0.0.1:8710/"
  [[nodiscard]] std::string network_address() const;  ///< "" while it is off
  /// Until stop(), or the terminal's Ctrl-C where `signals`.
  void run(bool signals = true);
  void stop();  ///< from any thread

 private:
  struct Inside;
  std::unique_ptr<Inside> in_;
};

}  // namespace halfround::serve
