// Who may come in: connections counted, requests judged by their heads, before a body is read.
#include <fmt/format.h>

#include <algorithm>

#include "serve/net.h"

namespace halfround::serve {

namespace {

std::string text_of(beast::string_view v) {
  return {v.data(), v.size()};
}

std::string host_of_origin(const std::string& origin) {
  const std::string http = "http://";
  return origin.starts_with(http) ? origin.substr(http.size()) : "";
}

bool reads(const HttpHead& head) {
  return head.method() == http::verb::get || head.method() == http::verb::head;
}

/// "Authorization: Bearer T", or ?token= where a browser can't set a header; "" without one.
std::string token_of(const HttpHead& head, const Target& target) {
  const std::string field = text_of(head[http::field::authorization]), bearer = "Bearer ";
  return field.starts_with(bearer) ? field.substr(bearer.size()) : target.get("token");
}

Reply later(base::Problem problem, int seconds) {
  Reply out = refusal(429, problem.code, problem.what, problem.fits);
  out.wait = seconds;
  return out;
}

std::size_t connections_of(const Hub& hub, std::int64_t device, bool live_only) {
  return static_cast<std::size_t>(std::ranges::count_if(hub.connections, [&](const Connection* c) {
    return c->device == device && !c->closed && (!live_only || c->stream == nullptr);
  }));
}

/// Makes the connection that of a device, where it shows a good token and there are not too many of it.
std::optional<Reply> paired(Connection& c, const store::Device& device, bool upgrade) {
  Hub& hub = c.hub;
  if (c.device != device.id) {
    if (connections_of(hub, device.id, false) >= kMostOfDevice)
      return later(too_many("This device has too many connections.", 5), 5);
    c.device = device.id;
  }
  if (upgrade && connections_of(hub, device.id, true) >= kMostLive)
    return later(too_many("This device has too many live sockets.", 5), 5);
  return std::nullopt;
}

Reply not_paired(const store::Device* device) {
  if (device == nullptr)
    return refusal(401, "token-unknown", "This device is not paired.", "Pair it again at the machine.");
  if (device->gone == "unused")
    return refusal(401, "token-unused", "This device was not used for so long that its pairing ended.",
                   "Pair it again at the machine.");
  return refusal(401, "token-withdrawn", "The pairing of this device was withdrawn at the machine.",
                 "Ask there, and pair it again.");
}

/// Notes that a device is here, now and then, on the thread that works for devices.
void note(Hub& hub, std::int64_t device, std::string user_agent, Tally::Time now) {
  if (!hub.devices.to_note(device, now)) return;
  asio::post(hub.outside, [&hub, device, kind = kind_of_device(user_agent)] {
    try {
      (void)hub.desk.store().device_seen(device, kind);  // on a full disk it is done the next time
    } catch (...) {
      hub.mistake(std::current_exception());
    }
  });
}

/// Of a device of the network. Whatever is no file of the page needs a token.
std::optional<Reply> turned_away_device(Connection& c, const HttpHead& head, const Target& target,
                                        bool upgrade, Tally::Time now) {
  Hub& hub = c.hub;
  hub.devices.read_sometimes(now);
  const std::string token = token_of(head, target);
  const store::Device* device = hub.devices.find(token);
  const bool known = device != nullptr && device->gone.empty();
  if (known) {
    if (auto away = paired(c, *device, upgrade)) return away;
    note(hub, device->id, text_of(head[http::field::user_agent]), now);
  }
  const std::string who = known ? c.counted_as() : c.address;
  if (const int wait = hub.requests.take(who, now))
    return later(too_many("This device asks too much within a minute.", wait), wait);
  if (is_page_file(target) && reads(head) && !upgrade) return std::nullopt;
  if (!known) {
    if (const int wait = hub.wrong_tokens.wait(c.address, now))
      return later({"too-many-tries", {}, "Too many wrong tokens.", "Wait a minute, then pair again."}, wait);
    if (device == nullptr && !token.empty()) hub.wrong_tokens.count(c.address, now);
    return not_paired(device);
  }
  if (reads(head)) return std::nullopt;
  if (const int wait = hub.changes.take(who, now))
    return later(too_many("This device changes too much within a minute.", wait), wait);
  return std::nullopt;
}

}  // namespace

Connection::Connection(Hub& of, bool here, std::string from, Stream& through)
    : hub(of), from_here(here), address(std::move(from)), stream(&through), number(++of.numbered) {
  hub.connections.insert(this);
}

Connection::~Connection() {
  hub.connections.erase(this);
}

void Connection::close() {
  closed = true;
  if (stream != nullptr) stream->close();
}

std::string Connection::counted_as() const {
  return device != 0 ? fmt::format("device {}", device) : address;
}

bool Hub::knows_host(std::string_view host) const {
  for (const char* name : {"127.0.0.1", "localhost", "[::1]"})
    if (host == fmt::format("{}:{}", name, port)) return true;
  return network.on && host == network.address;
}

bool Hub::has_room(bool from_here, const std::string& address) {
  if (connections.size() >= kMostConnections) return false;
  if (from_here) return true;
  std::size_t all = 0, of_address = 0;
  Connection* oldest = nullptr;
  for (Connection* c : connections) {
    if (c->from_here || c->closed) continue;
    ++all;
    if (c->device != 0) continue;
    if (c->address == address) ++of_address;
    if (oldest == nullptr || c->number < oldest->number) oldest = c;
  }
  if (of_address >= kMostUnpaired) return false;
  if (all < kMostOutside) return true;
  if (oldest == nullptr) return false;
  oldest->close();
  return true;
}

base::Problem too_many(const std::string& what, int seconds) {
  return {"too-many-requests", {}, what, "Go on in " + std::to_string(seconds) + " s."};
}

std::optional<Reply> turned_away(Connection& c, const HttpHead& head, const std::optional<Target>& target,
                                 bool upgrade) {
  Hub& hub = c.hub;
  const auto now = std::chrono::steady_clock::now();
  if (!c.from_here && !hub.network.on) return refusal(403, "network-off", "The shop network is off.", "");
  const std::string host = text_of(head[http::field::host]);
  if (!hub.knows_host(host))
    return refusal(421, "host-unknown", "This is not where Halfround is reached.",
                   "http://" + hub.here + "/");
  const std::string origin = text_of(head[http::field::origin]);
  if ((!reads(head) || upgrade) && !origin.empty() && host_of_origin(origin) != host)
    return refusal(403, "origin-unknown", "Another page may not change anything here.", "");
  if (!c.from_here) {
    if (auto away = turned_away_device(c, head, target.value_or(Target{{"?"}, {}}), upgrade, now))
      return away;
  }
  if (!target) return target_unreadable();
  return std::nullopt;
}

void limit(RequestParser& parser) {
  parser.body_limit(kLargestBody);
  parser.header_limit(kLargestHeader);
}

Judged judged(Connection& c, const RequestParser& parser) {
  const HttpHead& head = parser.get();
  Judged out{taken_apart(text_of(parser.get().target())), beast::websocket::is_upgrade(parser.get()), {}};
  out.away = turned_away(c, head, out.target, out.upgrade);
  if (!out.away && !parser.is_done() && !c.from_here && c.device == 0)
    out.away = refusal(413, "request-too-big", "The page's files are asked for without a body.", "");
  return out;
}

}  // namespace halfround::serve
