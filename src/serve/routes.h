// From a request to its reply (docs/serve.md lists them all). Safe to call from several threads.
#pragma once

#include <functional>
#include <string>

#include "serve/desk.h"
#include "serve/request.h"

namespace halfround::serve {

/// What the routes ask the server for.
struct Network {
  bool on = false;
  std::string address;  ///< "192.168.1.20:8710", "" where there is none
};

/// What replies are made from.
struct House {
  Desk& desk;
  std::function<Network()> network;                              ///< as it is
  std::function<base::Result<Network>(bool on)> switch_network;  ///< fails  network-none, network-busy
  std::function<void()> recheck_devices;                         ///< after one was paired or withdrawn
};

[[nodiscard]] Reply answer(const House& house, const Request& request);
/// Does it take so long that it mustn't hold up the editor?
[[nodiscard]] bool takes_long(const Target& target);
/// Is it a file of the page, which everybody may read? All else is for this machine and paired devices.
[[nodiscard]] bool is_page_file(const Target& target);
/// Why a target can't be taken apart.
[[nodiscard]] Reply target_unreadable();

/// A reply that refuses.
[[nodiscard]] Reply refusal(int status, const std::string& code, const std::string& what,
                            const std::string& fits);

}  // namespace halfround::serve
