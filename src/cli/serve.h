// `halfround serve`: the store, the engine and the network put together.
#pragma once

#include <iosfwd>
#include <string>

namespace halfround::cli {

struct ServeWords {
  unsigned short port = 8710;
  std::string data;  ///< "": the user's own folder
  std::string shop;  ///< read over the store's; "": that stays, and begins as shop.toml of the folder or the
                     ///< example's
  bool open_network = false, take_copy = false;
};

/// Serves until it is stopped; `out` is told the address once it listens.
[[nodiscard]] int serve(const ServeWords& words, std::ostream& out, std::ostream& err);

}  // namespace halfround::cli
