// What session, live socket and server share. Only this room sees this header: Asio and Beast stay behind it.
#pragma once

#include <utility>  // Asio 1.74 forgets it
//
#include <boost/asio.hpp>
#include <boost/beast.hpp>
#include <chrono>
#include <deque>
#include <exception>
#include <functional>
#include <memory>
#include <optional>
#include <set>
#include <string>

#include "serve/request.h"
#include "serve/routes.h"
#include "serve/server.h"
#include "serve/tally.h"

namespace halfround::serve {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using tcp = asio::ip::tcp;
using Executor = asio::io_context::executor_type;
using Stream = beast::tcp_stream;

inline constexpr std::size_t kLargestBody = 2 << 20;     // bytes; a job has at most 1 MB
inline constexpr std::size_t kLargestHeader = 16 << 10;  // bytes
inline constexpr std::size_t kLargestMessage = 1 << 20;  // bytes of one message on a live socket
inline constexpr std::size_t kMostConnections = 1000;    // of them from outside at most kMostOutside
inline constexpr std::size_t kMostOutside = 100;

class Live;

/// All that belongs to the running server; touched by the talking thread only.
struct Hub {
  Hub(Desk& d, asio::io_context& i, const Limits& l) : desk(d), io(i), limits(l) {}
  Desk& desk;
  asio::io_context& io;
  Limits limits;
  asio::thread_pool quick{2};  ///< edits and views
  asio::thread_pool slow{1};   ///< sheets and solids
  asio::thread_pool spare{1};  ///< what may be asked for next; gives way to all else on the machine
  House house{desk, {}, {}, {}};
  std::string here;  ///< "127.0.0.1:8710"
  Network network;   ///< as the talking thread sees it
  unsigned short port = 0;
  std::size_t connections = 0, outside = 0;
  std::set<Live*> lives;
  Tally requests{limits.requests}, changes{limits.changes}, wrong_tokens{limits.wrong_tokens};

  /// Tells every live socket on the event's job but `from`.
  void publish(const Event& event, const Live* from = nullptr);
  /// Host names a browser may use to reach us.
  [[nodiscard]] bool knows_host(std::string_view host) const;
};

/// What a connection is known by.
struct Caller {
  bool from_here = true;
  std::string address;
};

/// Runs `work` on a pool and comes back to the talking thread with what it gave, or with what it threw.
template <class Out>
asio::awaitable<Out> on_pool(asio::io_context& io, asio::thread_pool& pool, std::function<Out()> work) {
  struct State {
    explicit State(asio::io_context& i) : ready(i, asio::steady_timer::time_point::max()) {}
    asio::steady_timer ready;
    std::optional<Out> out;
    std::exception_ptr thrown;
    bool done = false;  // the talking thread's own
  };
  const auto state = std::make_shared<State>(io);
  asio::post(pool, [&io, state, work] {
    try {
      state->out = work();
    } catch (...) {
      state->thrown = std::current_exception();
    }
    asio::post(io, [state] {
      state->done = true;
      state->ready.cancel();
    });
  });
  beast::error_code ignored;
  while (!state->done) co_await state->ready.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
  if (state->thrown) std::rethrow_exception(state->thrown);
  co_return std::move(*state->out);
}

/// "Authorization: Bearer T", or ?token= where a browser can't set a header; "" without one.
[[nodiscard]] std::string token_of(const http::request<http::string_body>& request);

/// A device has to wait so many seconds.
[[nodiscard]] base::Problem too_many(const std::string& what, int seconds);

/// Why a request must not even be looked at; nothing where it may. Host, Origin, token, how many there were.
[[nodiscard]] std::optional<Reply> turned_away(Hub& hub, const Caller& caller,
                                               const http::request<http::string_body>& request);

asio::awaitable<void> session(Hub& hub, Stream stream, Caller caller);
asio::awaitable<void> live(Hub& hub, Stream stream, http::request<http::string_body> request, Caller caller);
/// Closes the sockets whose device is no longer known.
void recheck(Hub& hub);

}  // namespace halfround::serve
