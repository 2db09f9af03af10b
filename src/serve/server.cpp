#include "serve/server.h"

#include <fmt/format.h>
#include <sys/resource.h>
#include <unistd.h>

#include <future>
#include <iterator>
#include <vector>

#include "serve/net.h"
#include "serve/pairing.h"

namespace halfround::serve {

using base::Problem;
using base::Result;

struct Server::Inside {
  Inside(Desk& desk, const ServeOptions& o);
  ServeOptions options;
  Hub hub;  // before the context, whose end takes the connections down, which look at the hub
  asio::io_context io{1};
  std::optional<tcp::acceptor> local, outer;

  asio::awaitable<void> accept(tcp::acceptor& from, bool from_here);
  Result<void> open(std::optional<tcp::acceptor>& into, const std::string& address, unsigned short port);
  Result<Network> switch_network(bool on);
  template <class Work>
  auto on_talking_thread(Work work) -> decltype(work());
};

namespace {

/// On Linux a thread has its own; elsewhere, or where it may not, it works on like the others.
void give_way() {
#ifdef __linux__
  constexpr int kNice = 10;
  (void)setpriority(PRIO_PROCESS, static_cast<id_t>(gettid()), kNice);
#endif
}

}  // namespace

Server::Inside::Inside(Desk& desk, const ServeOptions& o) : options(o), hub(desk, io, o.limits) {
  hub.complain = options.complain;
  for (asio::thread_pool* pool : {&hub.spare, &hub.outside, &hub.outside_slow}) asio::post(*pool, give_way);
}

asio::awaitable<void> Server::Inside::accept(tcp::acceptor& from, bool from_here) {
  constexpr int kPatience = 16;  // refusals
  int refused = 0;
  while (from.is_open()) {
    beast::error_code error;
    tcp::socket socket = co_await from.async_accept(asio::redirect_error(asio::use_awaitable, error));
    if (error == asio::error::operation_aborted) co_return;
    if (error) {  // out of descriptors, perhaps: give the others time to go
      asio::steady_timer pause(io, std::chrono::milliseconds(50));
      co_await pause.async_wait(asio::redirect_error(asio::use_awaitable, error));
      continue;
    }
    const std::string address = socket.remote_endpoint(error).address().to_string();
    if (error || !hub.has_room(from_here, address)) {
      if (from_here) continue;
      socket.close(error);
      // who knocks without end neither takes this thread from the editor nor lets the others wait behind it
      if (++refused % kPatience != 0) continue;
      asio::steady_timer pause(io, std::chrono::milliseconds(2));
      co_await pause.async_wait(asio::redirect_error(asio::use_awaitable, error));
      continue;
    }
    socket.set_option(tcp::no_delay(true), error);
    start(hub, [this, from_here, address, s = Stream(std::move(socket))]() mutable -> asio::awaitable<void> {
      return session(hub, std::move(s), from_here, address);
    });
  }
}

Result<void> Server::Inside::open(std::optional<tcp::acceptor>& into, const std::string& address,
                                  unsigned short port) {
  try {
    const tcp::endpoint at(asio::ip::make_address(address), port);
    into.emplace(io, at, true);
    return {};
  } catch (const boost::system::system_error& e) {
    into.reset();
    return tl::unexpected(
        Problem{"port-taken",
                {},
                fmt::format("{}:{} can't be listened on: {}.", address, port, e.code().message()),
                "Is Halfround running already? Else give another --port."});
  }
}

Result<Network> Server::Inside::switch_network(bool on) {
  if (on == hub.network.on) return hub.network;
  if (!on) {
    outer->close();
    hub.network = {};
    recheck(hub);
    return hub.network;
  }
  const std::string address = serve::network_address();
  if (address.empty())
    return tl::unexpected(Problem{
        "network-none", {}, "This machine is in no network.", "Join the shop's network, then switch it on."});
  if (auto opened = open(outer, address, hub.port); !opened) return tl::unexpected(opened.error());
  hub.network = {true, fmt::format("{}:{}", address, hub.port)};
  start(hub, [this] { return accept(*outer, false); });
  return hub.network;
}

template <class Work>
auto Server::Inside::on_talking_thread(Work work) -> decltype(work()) {
  const auto promise = std::make_shared<std::promise<decltype(work())>>();
  auto out = promise->get_future();
  asio::post(io, [promise, work] {
    try {
      promise->set_value(work());
    } catch (...) {
      promise->set_exception(std::current_exception());
    }
  });
  // it doesn't answer when it was stopped meanwhile
  base::check(out.wait_for(std::chrono::seconds(5)) == std::future_status::ready,
              "the server is still running");
  return out.get();
}

void Hub::mistake(std::exception_ptr thrown) noexcept {
  try {
    try {
      std::rethrow_exception(thrown);
    } catch (const std::exception& e) {
      if (complain) complain(std::string("Halfround made a mistake of its own: ") + e.what());
    }
  } catch (...) {
    // nothing that is thrown here may end the server either
  }
}

Server::Server(Desk& desk, const ServeOptions& options) : in_(std::make_unique<Inside>(desk, options)) {
  Inside& in = *in_;
  in.hub.house.network = [&in] { return in.on_talking_thread([&in] { return in.hub.network; }); };
  in.hub.house.switch_network = [&in](bool on) {
    return in.on_talking_thread([&in, on] { return in.switch_network(on); });
  };
  in.hub.house.recheck_devices = [&in] { asio::post(in.io, [&in] { recheck(in.hub); }); };
}

Server::~Server() {
  stop();
  in_->hub.quick.join();
  in_->hub.slow.join();
  in_->hub.outside.join();
  in_->hub.outside_slow.join();
  in_->hub.spare.join();
  in_->hub.turns.end();
}

Result<void> Server::listen() {
  Inside& in = *in_;
  if (auto opened = in.open(in.local, "127.0.0.1", in.options.port); !opened) return opened;
  in.hub.port = in.local->local_endpoint().port();
  in.hub.here = fmt::format("127.0.0.1:{}", in.hub.port);
  in.hub.devices.read(std::chrono::steady_clock::now());
  start(in.hub, [&in] { return in.accept(*in.local, true); });
  if (!in.options.open_network) return {};
  if (const auto on = in.switch_network(true); !on) return tl::unexpected(on.error());
  return {};
}

std::string Server::address() const {
  return "http://" + in_->hub.here + "/";
}

std::string Server::network_address() const {
  return in_->hub.network.on ? "http://" + in_->hub.network.address + "/" : "";
}

void Server::run(bool signals) {
  asio::signal_set wait(in_->io);
  if (signals) {
    wait.add(SIGINT);
    wait.add(SIGTERM);
    wait.async_wait([this](const beast::error_code& error, int) {
      if (!error) in_->io.stop();
    });
  }
  for (bool ended = false; !ended;) {
    try {
      in_->io.run();
      ended = true;
    } catch (...) {
      in_->hub.mistake(std::current_exception());  // of one handler; the others are served on
    }
  }
}

void Server::stop() {
  in_->io.stop();
}

}  // namespace halfround::serve
