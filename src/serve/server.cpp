#include "serve/server.h"

#include <fmt/format.h>
#include <sys/resource.h>
#include <unistd.h>

#include <future>
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
  asio::post(hub.spare, give_way);
}

asio::awaitable<void> Server::Inside::accept(tcp::acceptor& from, bool from_here) {
  while (from.is_open()) {
    beast::error_code error;
    tcp::socket socket = co_await from.async_accept(asio::redirect_error(asio::use_awaitable, error));
    if (error == asio::error::operation_aborted) co_return;
    if (error) {  // out of descriptors, perhaps: give the others time to go
      asio::steady_timer pause(io, std::chrono::milliseconds(50));
      co_await pause.async_wait(asio::redirect_error(asio::use_awaitable, error));
      continue;
    }
    if (hub.connections >= kMostConnections || (!from_here && hub.outside >= kMostOutside)) continue;
    socket.set_option(tcp::no_delay(true), error);
    const std::string address = socket.remote_endpoint(error).address().to_string();
    Stream stream(std::move(socket));
    asio::co_spawn(
        io,
        [this, from_here, address, s = std::move(stream)]() mutable -> asio::awaitable<void> {
          return session(hub, std::move(s), {from_here, address});
        },
        asio::detached);
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
  asio::co_spawn(io, accept(*outer, false), asio::detached);
  return hub.network;
}

template <class Work>
auto Server::Inside::on_talking_thread(Work work) -> decltype(work()) {
  const auto promise = std::make_shared<std::promise<decltype(work())>>();
  auto out = promise->get_future();
  asio::post(io, [promise, work] { promise->set_value(work()); });
  // it doesn't answer when it was stopped meanwhile
  base::check(out.wait_for(std::chrono::seconds(5)) == std::future_status::ready,
              "the server is still running");
  return out.get();
}

bool Hub::knows_host(std::string_view host) const {
  for (const char* name : {"127.0.0.1", "localhost", "[::1]"})
    if (host == fmt::format("{}:{}", name, port)) return true;
  return network.on && host == network.address;
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
  in_->hub.spare.join();
}

Result<void> Server::listen() {
  Inside& in = *in_;
  if (auto opened = in.open(in.local, "127.0.0.1", in.options.port); !opened) return opened;
  in.hub.port = in.local->local_endpoint().port();
  in.hub.here = fmt::format("127.0.0.1:{}", in.hub.port);
  asio::co_spawn(in.io, in.accept(*in.local, true), asio::detached);
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
  in_->io.run();
}

void Server::stop() {
  in_->io.stop();
}

}  // namespace halfround::serve
