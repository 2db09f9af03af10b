// One HTTP connection: read within limits, judged by its head, answered by the routes.
#include "serve/net.h"

namespace halfround::serve {

namespace {

using HttpReply = http::response<http::string_body>;

constexpr std::size_t kDrained = 16 << 20;  // bytes read away behind a refusal, so that it is seen
constexpr std::size_t kDrainedOfStranger = 64 << 10;

std::string text_of(beast::string_view v) {
  return {v.data(), v.size()};
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
asio::awaitable<bool> begun(Connection& c, Stream& stream, beast::flat_buffer& buffer) {
  if (buffer.size() > 0) co_return true;
  const Limits& limits = c.hub.limits;
  stream.expires_after(c.from_here || c.device != 0 ? limits.idle : limits.idle_unpaired);
  beast::error_code error;
  const std::size_t n =
      co_await stream.async_read_some(buffer.prepare(4096), asio::redirect_error(asio::use_awaitable, error));
  buffer.commit(n);
  co_return !error;
}

/// A browser that is still sending sees a reply only if what it sends is read, a bounded amount of it.
asio::awaitable<void> say_and_close(Connection& c, Stream& stream, Reply reply) {
  HttpReply out = http_reply(std::move(reply), 11, false);
  co_await send(stream, out, false, c.hub.limits);
  beast::error_code error;
  stream.socket().shutdown(tcp::socket::shutdown_send, error);
  stream.expires_after(std::chrono::seconds(2));
  std::size_t rest = c.from_here || c.device != 0 ? kDrained : kDrainedOfStranger;
  char away[16 << 10];
  while (!error && rest > sizeof away)
    rest -=
        co_await stream.async_read_some(asio::buffer(away), asio::redirect_error(asio::use_awaitable, error));
}

/// A reply to what could not be read; nothing where the other side only hung up.
std::optional<Reply> unreadable(const beast::error_code& error) {
  if (error == http::error::body_limit)
    return refusal(413, "request-too-big", "The request is larger than 2 MB.", "A job has at most 1 MB.");
  if (error == http::error::header_limit || error == http::error::buffer_overflow)
    return refusal(431, "request-too-big", "The request's head, or what follows its body, is too long.", "");
  return std::nullopt;
}

Reply our_mistake(bool from_here, const std::string& what) {
  // what a library says may name files of this machine
  return refusal(500, "our-mistake",
                 "Halfround made a mistake of its own" + (from_here ? ": " + what : std::string(".")),
                 "Please report it with the job file.");
}

asio::awaitable<Reply> replied(Connection& c, HttpRequest request, Target target) {
  Hub& hub = c.hub;
  const bool long_work = takes_long(target);
  const auto plain = std::make_shared<const Request>(plain_request(c, std::move(request), std::move(target)));
  const std::string who = c.counted_as();
  std::function<Reply()> work = [&hub, plain] { return answered(hub, *plain); };
  Reply reply = co_await on_pool_of<Reply>(hub, c.from_here, who, long_work, std::move(work));
  for (const Event& event : reply.events) hub.publish(event);
  co_return reply;
}

/// The head, then what the head may have; the rest only of who may come in. False: this was the last one.
asio::awaitable<bool> one_request(Connection& c, Stream& stream, beast::flat_buffer& buffer) {
  RequestParser parser;
  limit(parser);
  if (!co_await begun(c, stream, buffer)) co_return false;
  stream.expires_after(c.hub.limits.slow);  // for the whole request, however it trickles
  beast::error_code error;
  co_await http::async_read_header(stream, buffer, parser, asio::redirect_error(asio::use_awaitable, error));
  if (error) {
    if (auto reply = unreadable(error)) co_await say_and_close(c, stream, std::move(*reply));
    co_return false;
  }
  auto [target, upgrade, away] = judged(c, parser);
  const bool head = parser.get().method() == http::verb::head;
  if (away && (upgrade || !parser.is_done())) {
    co_await say_and_close(c, stream, std::move(*away));
    co_return false;
  }
  if (!parser.is_done())
    co_await http::async_read(stream, buffer, parser, asio::redirect_error(asio::use_awaitable, error));
  if (error) {
    if (auto reply = unreadable(error)) co_await say_and_close(c, stream, std::move(*reply));
    co_return false;
  }
  HttpRequest request = parser.release();
  if (upgrade) {
    if (target->path != std::vector<std::string>{"api", "live"}) {
      Reply none = refusal(404, "not-found", "There is no such live socket.", "");
      co_await say_and_close(c, stream, std::move(none));
    } else {
      std::string job = target->get("job");
      co_await live(c, std::move(stream), std::move(request), std::move(job));
    }
    co_return false;
  }
  const unsigned version = request.version();
  const bool keep = request.keep_alive();
  Reply plain;
  if (away) {
    plain = std::move(*away);
  } else {
    plain = co_await replied(c, std::move(request), std::move(*target));
  }
  HttpReply reply = http_reply(std::move(plain), version, keep);
  co_return co_await send(stream, reply, head, c.hub.limits);
}

}  // namespace

Request plain_request(const Connection& c, HttpRequest request, Target target) {
  const bool gzip = text_of(request[http::field::accept_encoding]).find("gzip") != std::string::npos;
  const std::string method = request.method() == http::verb::head ? "GET" : text_of(request.method_string());
  return {method, std::move(target), std::move(request.body()), c.from_here, gzip};
}

Reply answered(Hub& hub, const Request& request) {
  try {
    return answer(hub.house, request);
  } catch (const std::exception& e) {
    hub.mistake(std::current_exception());
    return our_mistake(request.from_here, e.what());
  } catch (...) {
    hub.mistake(std::current_exception());
    return our_mistake(request.from_here, "");
  }
}

asio::awaitable<void> session(Hub& hub, Stream stream, bool from_here, std::string address) {
  Connection connection(hub, from_here, std::move(address), stream);
  beast::flat_buffer buffer(kReadAhead);
  while (co_await one_request(connection, stream, buffer)) {
  }
  if (connection.stream == nullptr) co_return;
  beast::error_code error;
  stream.socket().shutdown(tcp::socket::shutdown_send, error);
}

}  // namespace halfround::serve
