// One piece of work at a time for each device; what else it asks for waits in line. Of the talking thread
// only.
#pragma once

#include <utility>  // Asio 1.74 forgets it
//
#include <boost/asio.hpp>
#include <deque>
#include <map>
#include <memory>
#include <string>

namespace halfround::serve {

class Turns {
 public:
  explicit Turns(boost::asio::io_context& io) : io_(io) {}

  /// A device's turn; the next of its line has it when this goes.
  class Turn {
   public:
    Turn(Turns& of, std::string device) : of_(&of), device_(std::move(device)) {}
    ~Turn() {
      if (of_ != nullptr) of_->pass_on(device_);
    }
    Turn(Turn&& other) noexcept : of_(std::exchange(other.of_, nullptr)), device_(std::move(other.device_)) {}
    Turn(const Turn&) = delete;
    Turn& operator=(const Turn&) = delete;
    Turn& operator=(Turn&&) = delete;

   private:
    Turns* of_;
    std::string device_;
  };
  [[nodiscard]] boost::asio::awaitable<Turn> take(std::string device);
  /// Nobody is called any more: the context the waiting hang on is about to end.
  void end() { lines_.clear(); }

 private:
  struct Waiter {
    explicit Waiter(boost::asio::io_context& io) : called(io, boost::asio::steady_timer::time_point::max()) {}
    boost::asio::steady_timer called;  ///< never runs out; cancelled to wake who waits
    bool has_turn = false;
  };
  void pass_on(const std::string& device);

  boost::asio::io_context& io_;
  std::map<std::string, std::deque<std::weak_ptr<Waiter>>> lines_;  ///< of the devices that work
};

}  // namespace halfround::serve
