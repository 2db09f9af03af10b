// One HTTP connection: read within limits, checked, answered by the routes.
#include "serve/net.h"
#include "serve/pairing.h"

namespace halfround::serve {

namespace {

using HttpRequest = http::request<http::string_body>;
using HttpReply = http::response<http::string_body>;

std::string text_of(beast::string_view v) {
  return {v.data(), v.size()};
}

std::string host_of_origin(const std::string& origin) {
  const std::string http = "http://";
  return origin.starts_with(http) ? origin.substr(http.size()) : "";
}

bool needs_token(const HttpRequest& request) {
  return request.target().starts_with("/api/");
}

bool reads(const HttpRequest& request) {
  return request.method() == http::verb::get || request.method() == http::verb::head;
}

HttpReply http_reply(Reply reply, unsigned version, bool keep) {
  HttpReply out{static_cast<http::status>(reply.status), version};
  out.set(http::field::server, "halfround");
  out.set(http::field::content_type, reply.type);
  out.set(http::field::cache_control, reply.lasting ? "public, max-age=31536000, immutable" : "no-cache");
  if (reply.gzipped) out.set(http::field::content_encoding, "gzip");
  out.set(http::field::vary, "Accept-Encoding");
  out.set("Content-Security-Policy",
          "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; object-src "
          "'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'self'");
  if (reply.wait > 0) out.set(http::field::retry_after, std::to_string(reply.wait));
  out.set("X-Content-Type-Options", "nosniff");
  out.set("Referrer-Policy", "no-referrer");
  out.set("Cross-Origin-Resource-Policy", "same-origin");
  out.keep_alive(keep);
  out.body() = std::move(reply.body);
  out.prepare_payload();
  return out;
}

asio::awaitable<bool> send(Stream& stream, HttpReply& reply, bool head, const Limits& limits) {
  stream.expires_after(limits.slow);
  beast::error_code error;
  if (head) {
    http::response_serializer<http::string_body> serializer(reply);
    co_await http::async_write_header(stream, serializer, asio::redirect_error(asio::use_awaitable, error));
  } else {
    co_await http::async_write(stream, reply, asio::redirect_error(asio::use_awaitable, error));
  }
  co_return !error && reply.keep_alive();
}

/// Waits for the first bytes of a request; false where none come.
asio::awaitable<bool> begun(Stream& stream, beast::flat_buffer& buffer, const Limits& limits) {
  if (buffer.size() > 0) co_return true;
  stream.expires_after(limits.idle);
  beast::error_code error;
  const std::size_t n =
      co_await stream.async_read_some(buffer.prepare(4096), asio::redirect_error(asio::use_awaitable, error));
  buffer.commit(n);
  co_return !error;
}

/// A browser that is still sending sees a reply only if what it sends is read, a bounded amount of it.
asio::awaitable<void> say_and_close(Stream& stream, Reply reply, const Limits& limits) {
  HttpReply out = http_reply(std::move(reply), 11, false);
  co_await send(stream, out, false, limits);
  beast::error_code error;
  stream.socket().shutdown(tcp::socket::shutdown_send, error);
  stream.expires_after(std::chrono::seconds(2));
  std::size_t rest = 16 << 20;
  char away[16 << 10];
  while (!error && rest > sizeof away)
    rest -=
        co_await stream.async_read_some(asio::buffer(away), asio::redirect_error(asio::use_awaitable, error));
}

Reply answer_or_sorry(const House& house, const Request& request) {
  try {
    return answer(house, request);
  } catch (const std::exception& e) {
    return refusal(500, "our-mistake", std::string("Halfround made a mistake of its own: ") + e.what(),
                   "Please report it with the job file.");
  }
}

asio::awaitable<Reply> replied(Hub& hub, const Caller& caller, const HttpRequest& request) {
  if (auto away = turned_away(hub, caller, request)) co_return std::move(*away);
  const bool gzip = text_of(request[http::field::accept_encoding]).find("gzip") != std::string::npos;
  const auto plain = std::make_shared<const Request>(Request{
      text_of(request.method_string()), text_of(request.target()), request.body(), caller.from_here, gzip});
  asio::thread_pool& pool = takes_long(*plain) ? hub.slow : hub.quick;
  std::function<Reply()> work = [&hub, plain] { return answer_or_sorry(hub.house, *plain); };
  Reply reply = co_await on_pool<Reply>(hub.io, pool, std::move(work));
  for (const Event& event : reply.events) hub.publish(event);
  co_return reply;
}

Reply later(base::Problem problem, int seconds) {
  Reply out = refusal(429, problem.code, problem.what, problem.fits);
  out.wait = seconds;
  return out;
}

/// Of a device of the network, that asks for what not everybody may see.
std::optional<Reply> turned_away_device(Hub& hub, const Caller& caller, const HttpRequest& request,
                                        Tally::Time now) {
  if (!hub.network.on) return refusal(403, "network-off", "The shop network is off.", "");
  if (const int wait = hub.wrong_tokens.wait(caller.address, now))
    return later({"too-many-tries", {}, "Too many wrong tokens.", "Wait a minute, then pair again."}, wait);
  const std::string token = token_of(request);
  const auto known = token.empty() ? base::Result<bool>(false) : hub.desk.store().knows_token(hash_of(token));
  if (!known || !*known) {
    hub.wrong_tokens.count(caller.address, now);
    return refusal(401, "token-unknown", "This device is not paired.", "Pair it again at the machine.");
  }
  if (reads(request)) return std::nullopt;
  if (const int wait = hub.changes.take(caller.address, now))
    return later(too_many("This device changes too much within a minute.", wait), wait);
  return std::nullopt;
}

/// Counts a connection while it lasts.
struct Counted {
  Counted(Hub& h, bool from_here) : hub(h), outside(!from_here) {
    ++hub.connections, hub.outside += outside ? 1 : 0;
  }
  ~Counted() { --hub.connections, hub.outside -= outside ? 1 : 0; }
  Counted(const Counted&) = delete;
  Counted& operator=(const Counted&) = delete;
  Hub& hub;
  bool outside;
};

}  // namespace

std::string token_of(const HttpRequest& request) {
  const std::string head = text_of(request[http::field::authorization]), bearer = "Bearer ";
  if (head.starts_with(bearer)) return head.substr(bearer.size());
  const auto target = taken_apart(text_of(request.target()));
  return target ? target->get("token") : "";
}

base::Problem too_many(const std::string& what, int seconds) {
  return {"too-many-requests", {}, what, "Go on in " + std::to_string(seconds) + " s."};
}

std::optional<Reply> turned_away(Hub& hub, const Caller& caller, const HttpRequest& request) {
  const auto now = std::chrono::steady_clock::now();
  if (const int wait = caller.from_here ? 0 : hub.requests.take(caller.address, now))
    return later(too_many("This device asks too much within a minute.", wait), wait);
  const std::string host = text_of(request[http::field::host]);
  if (!hub.knows_host(host))
    return refusal(421, "host-unknown", "This is not where Halfround is reached.",
                   "http://" + hub.here + "/");
  const std::string origin = text_of(request[http::field::origin]);
  const bool upgrade = beast::websocket::is_upgrade(request);
  if ((!reads(request) || upgrade) && !origin.empty() && host_of_origin(origin) != host)
    return refusal(403, "origin-unknown", "Another page may not change anything here.", "");
  return !caller.from_here && needs_token(request) ? turned_away_device(hub, caller, request, now)
                                                   : std::nullopt;
}

asio::awaitable<void> session(Hub& hub, Stream stream, Caller caller) {
  const Counted counted(hub, caller.from_here);
  beast::flat_buffer buffer(kLargestHeader + kLargestBody);
  beast::error_code error;
  for (bool keep = true; keep;) {
    http::request_parser<http::string_body> parser;
    parser.body_limit(kLargestBody);
    parser.header_limit(kLargestHeader);
    if (!co_await begun(stream, buffer, hub.limits)) co_return;
    stream.expires_after(hub.limits.slow);  // for the whole request, however it trickles
    co_await http::async_read(stream, buffer, parser, asio::redirect_error(asio::use_awaitable, error));
    if (error == http::error::body_limit) {
      Reply big =
          refusal(413, "request-too-big", "The request is larger than 2 MB.", "A job has at most 1 MB.");
      co_await say_and_close(stream, std::move(big), hub.limits);
      co_return;
    }
    if (error == http::error::header_limit) {
      Reply big = refusal(431, "request-too-big", "The request's head is too long.", "");
      co_await say_and_close(stream, std::move(big), hub.limits);
      co_return;
    }
    if (error) co_return;
    HttpRequest request = parser.release();
    if (beast::websocket::is_upgrade(request)) {
      if (auto away = turned_away(hub, caller, request)) {
        co_await say_and_close(stream, std::move(*away), hub.limits);
      } else {
        co_await live(hub, std::move(stream), std::move(request), caller);
      }
      co_return;
    }
    const bool head = request.method() == http::verb::head;
    Reply plain = co_await replied(hub, caller, request);
    HttpReply reply = http_reply(std::move(plain), request.version(), request.keep_alive());
    keep = co_await send(stream, reply, head, hub.limits);
  }
  stream.socket().shutdown(tcp::socket::shutdown_send, error);
}

}  // namespace halfround::serve
