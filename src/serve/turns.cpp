#include "serve/turns.h"

namespace halfround::serve {

namespace asio = boost::asio;

asio::awaitable<Turns::Turn> Turns::take(std::string device) {
  const auto [line, nobody] = lines_.try_emplace(device);
  if (!nobody) {
    const auto mine = std::make_shared<Waiter>(io_);
    line->second.push_back(mine);
    boost::system::error_code ignored;
    while (!mine->has_turn)
      co_await mine->called.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
  }
  co_return Turn(*this, std::move(device));
}

void Turns::pass_on(const std::string& device) {
  const auto line = lines_.find(device);
  if (line == lines_.end()) return;
  while (!line->second.empty()) {
    const auto next = line->second.front().lock();
    line->second.pop_front();
    if (!next) continue;  // it hung up
    next->has_turn = true;
    next->called.cancel();
    return;
  }
  lines_.erase(line);
}

}  // namespace halfround::serve
