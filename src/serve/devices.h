// The paired devices as the server knows them while it runs: who shows a good token, who no longer may, when
// each was last here. Frame: none.
#pragma once

#include <chrono>
#include <map>
#include <string>
#include <string_view>

#include "store/store.h"

namespace halfround::serve {

class Devices {
 public:
  using Time = std::chrono::steady_clock::time_point;
  ///   in  unused  a pairing that nobody used for so long ends
  Devices(store::Store& store, std::chrono::seconds unused);

  /// Reads them anew from the store; what was unused for too long is withdrawn there first.
  void read(Time now);
  /// The same, where it was not done for a while.
  void read_sometimes(Time now);
  /// Null where no device has this token. One whose `gone` is not empty may not come in.
  [[nodiscard]] const store::Device* find(const std::string& token) const;
  [[nodiscard]] bool may_come_in(std::int64_t id) const;
  /// Was it not noted for a while that this device is here? Counts as noted from now on.
  [[nodiscard]] bool to_note(std::int64_t id, Time now);

 private:
  store::Store& store_;
  std::chrono::seconds unused_, note_every_;
  std::map<std::string, store::Device> by_hash_;
  std::map<std::int64_t, Time> noted_;
  Time read_{};
};

/// "phone", "tablet" or "computer", by what a browser says of itself.
///   source  [common practice] "Mobi" stands in the User-Agent of browsers on phones
[[nodiscard]] std::string kind_of_device(std::string_view user_agent);

}  // namespace halfround::serve
