// The network: one thread that listens and talks, a few that think. On this machine only, until the shop
// network is switched on; Host and Origin are checked, everything has a limit (docs/serve.md).
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "base/result.h"
#include "serve/desk.h"

namespace halfround::serve {

struct ServeOptions {
  unsigned short port = 8710;  ///< 0: any free one
  bool open_network = false;
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
