#include "serve/tally.h"

namespace halfround::serve {

namespace {

constexpr auto kMinute = std::chrono::seconds(60);
constexpr std::size_t kMostKnown = 200;  // addresses until the old ones are forgotten

}  // namespace

void Tally::count(const std::string& address, Time now) {
  const auto over = [&](const auto& one) { return now - one.second.since >= kMinute; };
  if (of_.size() >= kMostKnown) std::erase_if(of_, over);
  Minute& minute = of_.try_emplace(address, Minute{now, 0}).first->second;
  if (now - minute.since >= kMinute) minute = {now, 0};
  ++minute.count;
}

int Tally::wait(const std::string& address, Time now) const {
  const auto at = of_.find(address);
  if (at == of_.end() || at->second.count < most_) return 0;
  const auto left = at->second.since + kMinute - now;
  return left.count() <= 0 ? 0 : static_cast<int>(std::chrono::ceil<std::chrono::seconds>(left).count());
}

int Tally::take(const std::string& address, Time now) {
  const int seconds = wait(address, now);
  if (seconds == 0) count(address, now);
  return seconds;
}

}  // namespace halfround::serve
