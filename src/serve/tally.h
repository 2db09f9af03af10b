// How often each address did something within its minute. Frame: none; the time is told from outside.
#pragma once

#include <chrono>
#include <cstddef>
#include <map>
#include <string>

namespace halfround::serve {

class Tally {
 public:
  using Time = std::chrono::steady_clock::time_point;
  explicit Tally(int most) : most_(most) {}

  /// A minute begins with the first one that is counted after the last minute is over.
  void count(const std::string& address, Time now);
  /// Whole seconds until the address may do it again; 0: now.
  [[nodiscard]] int wait(const std::string& address, Time now) const;
  /// Counts one, unless it has to wait.
  [[nodiscard]] int take(const std::string& address, Time now);
  [[nodiscard]] std::size_t known() const { return of_.size(); }

 private:
  struct Minute {
    Time since;
    int count = 0;
  };
  int most_;
  std::map<std::string, Minute> of_;
};

}  // namespace halfround::serve
