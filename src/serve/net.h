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

#include "serve/devices.h"
#include "serve/request.h"
#include "serve/routes.h"
#include "serve/server.h"
#include "serve/tally.h"
#include "serve/turns.h"

namespace halfround::serve {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using tcp = asio::ip::tcp;
using Executor = asio::io_context::executor_type;
using Stream = beast::tcp_stream;

inline constexpr std::size_t kLargestBody = 2 << 20;     // bytes; a job has at most 1 MB
inline constexpr std::size_t kLargestHeader = 16 << 10;  // bytes
inline constexpr std::size_t kReadAhead = 32 << 10;      // bytes; the fields behind a body are smaller, too
inline constexpr std::size_t kLargestMessage = 1 << 20;  // bytes of one message on a live socket
inline constexpr std::size_t kLargestOfDevice = 64 << 10;
inline constexpr std::size_t kMostConnections = 1000;  // of them from outside at most kMostOutside
inline constexpr std::size_t kMostOutside = 100;
inline constexpr std::size_t kMostUnpaired = 20;  // of an address, that have not shown a good token
inline constexpr std::size_t kMostOfDevice = 16;  // of a device, of them at most kMostLive live sockets
inline constexpr std::size_t kMostLive = 6;

class Live;
struct Hub;

/// A connection while it lasts.
struct Connection {
  Connection(Hub& of, bool here, std::string from, Stream& through);
  ~Connection();
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;

  void close();
  /// What it is counted by: its device, else its address.
  [[nodiscard]] std::string counted_as() const;

  Hub& hub;
  bool from_here;
  std::string address;
  std::int64_t device = 0;  ///< the paired one, as soon as it has shown a good token; 0: none
  Stream* stream;           ///< null where a live socket took it over
  bool closed = false;
  std::uint64_t number = 0;  ///< those that came later have a higher one
};

/// All that belongs to the running server; touched by the talking thread only.
struct Hub {
  Hub(Desk& d, asio::io_context& i, const Limits& l) : desk(d), io(i), limits(l) {}
  Desk& desk;
  asio::io_context& io;
  Limits limits;
  std::function<void(const std::string&)> complain;  ///< about our own mistakes, at the terminal
  asio::thread_pool quick{2};                        ///< edits and views of this machine
  asio::thread_pool slow{1};                         ///< sheets and solids of this machine
  asio::thread_pool outside{1}, outside_slow{1};  ///< the same for the devices; gives way to this machine's
  asio::thread_pool spare{1};  ///< what may be asked for next; gives way to all else on the machine
  House house{desk, {}, {}, {}};
  std::string here;  ///< "127.0.0.1:8710"
  Network network;   ///< as the talking thread sees it
  unsigned short port = 0;
  std::uint64_t numbered = 0;
  std::set<Connection*> connections;
  std::set<Live*> lives;
  Devices devices{desk.store(), limits.unused};
  Turns turns{io};
  Tally requests{limits.requests}, changes{limits.changes}, wrong_tokens{limits.wrong_tokens};

  /// Tells every live socket on the event's job but `from`.
  void publish(const Event& event, const Live* from = nullptr);
  /// Host names a browser may use to reach us.
  [[nodiscard]] bool knows_host(std::string_view host) const;
  /// Is there room for one more? From outside, an unpaired one makes room for it where all places are taken.
  [[nodiscard]] bool has_room(bool from_here, const std::string& address);
  /// Our own mistake, said at the terminal; it ends nothing but the work it was made in.
  void mistake(std::exception_ptr thrown) noexcept;
};

/// Starts a coroutine on the talking thread. What it throws ends it alone.
template <class Work>
void start(Hub& hub, Work work) {
  asio::co_spawn(hub.io, std::move(work), [&hub](std::exception_ptr thrown) {
    if (thrown) hub.mistake(thrown);
  });
}

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

/// The same on the pool of this machine's callers, or on that of the devices, where each has one turn at a
/// time.
template <class Out>
asio::awaitable<Out> on_pool_of(Hub& hub, bool from_here, std::string counted_as, bool takes_long,
                                std::function<Out()> work) {
  if (from_here) {
    asio::thread_pool& pool = takes_long ? hub.slow : hub.quick;
    co_return co_await on_pool<Out>(hub.io, pool, std::move(work));
  }
  const Turns::Turn turn = co_await hub.turns.take(std::move(counted_as));
  asio::thread_pool& pool = takes_long ? hub.outside_slow : hub.outside;
  co_return co_await on_pool<Out>(hub.io, pool, std::move(work));
}

using HttpRequest = http::request<http::string_body>;
using HttpHead = http::request_header<>;
using RequestParser = http::request_parser<http::string_body>;

/// A device has to wait so many seconds.
[[nodiscard]] base::Problem too_many(const std::string& what, int seconds);

/// Why a request must not even be read to its end; nothing where it may. Network, Host, Origin, target,
/// token, how many there were. A good token makes the connection its device's.
///   in  target  nothing where it can't be taken apart;  upgrade  a live socket is asked for
[[nodiscard]] std::optional<Reply> turned_away(Connection& connection, const HttpHead& head,
                                               const std::optional<Target>& target, bool upgrade);

/// What its head says of a request, the rest of it not read yet.
struct Judged {
  std::optional<Target> target;
  bool upgrade = false;       ///< a live socket is asked for
  std::optional<Reply> away;  ///< why it may not come in
};
/// Makes a parser that reads no more than it may.
void limit(RequestParser& parser);
///   in  parser  has read the head
[[nodiscard]] Judged judged(Connection& connection, const RequestParser& parser);
/// One that was read whole, as the routes want it.
[[nodiscard]] Request plain_request(const Connection& connection, HttpRequest request, Target target);
/// The routes' reply; our own mistake is said at the terminal, and told.
[[nodiscard]] Reply answered(Hub& hub, const Request& request);

asio::awaitable<void> session(Hub& hub, Stream stream, bool from_here, std::string address);
asio::awaitable<void> live(Connection& connection, Stream stream, HttpRequest request, std::string job);
/// Reads the paired devices anew and closes what may no longer come in: all from outside where the network is
/// off.
void recheck(Hub& hub);

}  // namespace halfround::serve
