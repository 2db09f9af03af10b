// One live socket: the page's edits tried and saved as they are typed, views sent back, news of other
// devices. A newer try or show takes the place of one that still waits; a slow reader is asked for patience,
// not waited for.
#include <fmt/format.h>

#include <atomic>
#include <chrono>
#include <semaphore>

#include "serve/net.h"
#include "serve/page_json.h"
#include "serve/pairing.h"
#include "serve/routes_parts.h"
#include "serve/view_frame.h"

namespace halfround::serve {

namespace {

constexpr std::size_t kMostWaiting = 64;  // messages not yet looked at
constexpr std::size_t kMostWaitingBytes = 4 << 20;
constexpr std::size_t kMostUnsent = 4;     // views a slow reader has not taken yet
constexpr std::size_t kMostNews = 200;     // frames in all; who lags more is cut off and comes back
constexpr std::size_t kMostForeseen = 32;  // texts of one message
constexpr auto kLongestStale =
    std::chrono::milliseconds(100);  // studies at least so often while a hand draws

constexpr auto kPatience = std::chrono::milliseconds(10);  // with a talking thread that has much to say

struct Message {
  std::string what;  ///< "try", "set", "show", "undo", "redo", "foresee"
  std::optional<std::int64_t> id;
  std::int64_t base = 0;
  std::vector<job::Edit> edits;
  Look look;
  std::string key;                 ///< foresee: the one being typed at
  std::vector<std::string> typed;  ///< what may stand there after the next key, likeliest first
  std::int64_t foreseen = 0;       ///< try: its pages are there already, drawn on this revision
  bool ahead = false;              ///< the pages are wanted before the studies are done
  std::size_t bytes = 0;           ///< as it came
  int wait = 0;                    ///< seconds until this device may change anything again
  [[nodiscard]] bool looks() const { return what == "try" || what == "show"; }
};

/// Nothing where "typed" is no list of texts, or too long a one.
std::optional<std::vector<std::string>> texts_in(const Json& j) {
  const auto typed = j.find("typed");
  if (typed == j.end() || !typed->is_array() || typed->size() > kMostForeseen) return std::nullopt;
  std::vector<std::string> out;
  for (const Json& t : *typed) {
    if (!t.is_string()) return std::nullopt;
    out.push_back(t.get<std::string>());
  }
  return out;
}

/// Nothing where it can't be understood. What it doesn't say about the look stays as it was.
std::optional<Message> understood(const std::string& text, const Look& before) {
  const auto j = parsed(text);
  if (!j) return std::nullopt;
  Message out{.what = text_in(*j, "do"),
              .id = {},
              .base = number_in(*j, "base"),
              .edits = {},
              .look = before,
              .key = text_in(*j, "key"),
              .typed = {},
              .foreseen = number_in(*j, "foreseen"),
              .ahead = false,
              .bytes = text.size()};
  if (j->contains("id")) out.id = number_in(*j, "id");
  if (auto shows = shows_of(text_in(*j, "show")); !shows.empty()) out.look.shows = std::move(shows);
  if (const auto at = j->find("at"); at != j->end() && at->is_number()) out.look.at = at->get<double>();
  if (j->contains("over")) out.look.over = over_of(text_in(*j, "over"));
  if (const auto ahead = j->find("ahead"); ahead != j->end()) out.ahead = out.id && *ahead == true;
  if (out.what == "show" || out.what == "undo" || out.what == "redo") return out;
  if (out.what == "foresee") {
    auto typed = texts_in(*j);
    if (!typed || !out.id) return std::nullopt;
    out.typed = std::move(*typed);
  } else if (out.what != "try" && out.what != "set") {
    return std::nullopt;
  }
  auto edits = edits_in(*j);
  if (!edits) return std::nullopt;
  out.edits = std::move(*edits);
  return out;
}

/// A message done: what the page is to see now.
struct Outcome {
  std::string text;
  Heading heading;
  std::optional<std::int64_t> changed;  ///< the job moved on to this revision
};

Outcome done(Desk& desk, const std::string& job, const Message& m) {
  Outcome out{
      .text = {}, .heading = {.reply = m.id, .revision = 0, .saved = true, .refused = {}}, .changed = {}};
  const auto refuse = [&](const Refusal& r) { out.heading.refused = r.problems, out.heading.saved = false; };
  const auto take = [&](const Done<std::int64_t>& saved) {
    if (!saved) return refuse(saved.error());
    out.changed = *saved;
  };
  if (m.wait > 0) {
    refuse({429, {too_many("This device changes too much within a minute.", m.wait)}, 0});
  } else if (m.what == "set") {
    take(desk.edit(job, m.base, m.edits));
  } else if (m.what == "undo") {
    take(desk.undo(job, m.base));
  } else if (m.what == "redo") {
    take(desk.redo(job, m.base));
  }
  const auto newest = desk.store().newest(job);
  if (!newest) {
    refuse(refused(newest.error()));
    return out;
  }
  out.heading.revision = newest->number, out.text = newest->text;
  if (m.what != "try") return out;
  out.heading.saved = false;
  if (auto tried = Desk::tried(newest->text, m.edits)) {
    out.text = std::move(*tried);
  } else {
    refuse(tried.error());
  }
  return out;
}

/// What lies over the fork comes from its studies: then nothing can be drawn before they are done.
bool bare(const Look& look) {
  return !look.over.stress && !look.over.sweep;
}

/// Sends the pages ahead of their view; false: the studies are of no use any more.
using GoAhead = std::function<bool(std::string pages)>;

/// "" where `go_ahead` said so.
std::string frame_of(Desk& desk, const Outcome& outcome, const Message& m, const GoAhead& go_ahead) {
  if (outcome.text.empty()) return view_frame(Worked{}, {}, outcome.heading);
  std::optional<std::vector<sheet::TableView>> drawn;
  Engine::LaidOut laid_out;
  const bool foreseen =
      bare(m.look) && m.foreseen == outcome.heading.revision && outcome.heading.refused.empty();
  if (m.ahead && bare(m.look) && !foreseen) {
    laid_out = [&](const Worked& w) {
      drawn = looked_at(w, m.look);
      return go_ahead(page_frame(*drawn, *m.id));
    };
  }
  const auto worked = desk.engine().work(outcome.text, m.what == "try", laid_out);
  if (!worked) return "";
  const bool went_ahead = worked->answer && (drawn || foreseen);
  if (!drawn || !worked->answer) drawn = looked_at(*worked, m.look);
  return view_frame(*worked, *drawn, outcome.heading, !went_ahead);
}

/// What may be typed next, drawn; "" where there would be no such fork.
std::string foreseen_frame(Desk& desk, const std::string& job, const Message& m, const std::string& typed) {
  const auto newest = desk.store().newest(job);
  if (!newest || !bare(m.look)) return "";
  std::vector<job::Edit> edits = m.edits;
  edits.push_back({m.key, typed});
  const auto text = Desk::tried(newest->text, edits);
  if (!text) return "";
  std::string out;
  desk.engine().foresee(*text, [&](const Worked& w) {
    if (w.answer) out = page_frame(looked_at(w, m.look), *m.id, {{typed, newest->number}});
  });
  return out;
}

}  // namespace

class Live : public std::enable_shared_from_this<Live> {
 public:
  /// in  device  its address; "" for this machine
  Live(Hub& hub, Stream stream, std::string job, std::string token, std::string device)
      : hub_(hub),
        ws_(std::move(stream)),
        job_(std::move(job)),
        token_(std::move(token)),
        device_(std::move(device)),
        asked_(hub.io),
        unsent_(hub.io),
        foreseeing_(hub.io) {
    foreseeing_.expires_at(asio::steady_timer::time_point::max());
    asked_.expires_at(asio::steady_timer::time_point::max());
    unsent_.expires_at(asio::steady_timer::time_point::max());
    hub_.lives.insert(this);
  }
  ~Live() { hub_.lives.erase(this); }
  Live(const Live&) = delete;
  Live& operator=(const Live&) = delete;

  [[nodiscard]] const std::string& job() const { return job_; }
  [[nodiscard]] const std::string& token() const { return token_; }

  void tell(std::string text) { send({std::move(text), false}); }

  void close() {
    open_ = false;
    asked_.cancel(), unsent_.cancel(), foreseeing_.cancel();
    beast::error_code error;
    beast::get_lowest_layer(ws_).socket().shutdown(tcp::socket::shutdown_both, error);
    beast::get_lowest_layer(ws_).close();
  }

  /// Reads until the other side is gone.
  asio::awaitable<void> run(const http::request<http::string_body>& request) {
    namespace websocket = beast::websocket;
    beast::get_lowest_layer(ws_).expires_never();
    ws_.set_option(websocket::stream_base::timeout::suggested(beast::role_type::server));
    ws_.read_message_max(kLargestMessage);
    beast::error_code error;
    co_await ws_.async_accept(request, asio::redirect_error(asio::use_awaitable, error));
    if (error) co_return;
    const auto self = shared_from_this();
    asio::co_spawn(
        hub_.io, [self] { return self->write(); }, asio::detached);
    asio::co_spawn(
        hub_.io, [self] { return self->work(); }, asio::detached);
    asio::co_spawn(
        hub_.io, [self] { return self->foresee(); }, asio::detached);
    beast::flat_buffer buffer;
    while (open_) {
      buffer.clear();
      co_await ws_.async_read(buffer, asio::redirect_error(asio::use_awaitable, error));
      if (error) break;
      hear(beast::buffers_to_string(buffer.data()));
    }
    close();
  }

 private:
  struct Frame {
    std::string bytes;
    bool binary = false;
  };

  void hear(const std::string& text) {
    auto message = understood(text, look_);
    if (!message) return tell("{\"event\":\"not-understood\"}");
    look_ = message->look;
    if (message->what == "foresee") {
      if (!device_.empty()) return;  // the work of twenty tries: for the page on this machine
      next_ = std::move(*message);
      foreseeing_.cancel();
      return;
    }
    if (message->looks() && !waiting_.empty() && waiting_.back().what == message->what) {
      waiting_bytes_ -= waiting_.back().bytes;
      waiting_.pop_back();
    }
    if (!message->looks() && !device_.empty())
      message->wait = hub_.changes.take(device_, std::chrono::steady_clock::now());
    waiting_bytes_ += message->bytes;
    if (waiting_.size() >= kMostWaiting || waiting_bytes_ > kMostWaitingBytes) return close();
    if (message->what == "try") overtaken_ = true;
    waiting_.push_back(std::move(*message));
    asked_.cancel();
  }

  void send(Frame frame) {
    if (!open_) return;
    if (out_.size() >= kMostNews) return close();
    out_.push_back(std::move(frame));
    unsent_.cancel();
  }

  /// From a thinking thread. It waits until they are on their way: on a machine with two cores the talking
  /// thread would else stand behind the studies.
  void send_first(std::string pages) {
    const auto gone = std::make_shared<std::binary_semaphore>(0);
    asio::post(hub_.io, [self = shared_from_this(), gone, frame = std::move(pages)]() mutable {
      self->send({std::move(frame), true});
      asio::post(self->hub_.io, [gone] { gone->release(); });  // when the writer, just woken, has begun
    });
    (void)gone->try_acquire_for(kPatience);
  }

  /// One message after another.
  asio::awaitable<void> work() {
    const auto self = shared_from_this();
    beast::error_code ignored;
    while (open_) {
      if (waiting_.empty() || out_.size() >= kMostUnsent) {
        co_await asked_.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
        continue;
      }
      const Message message = std::move(waiting_.front());
      waiting_.pop_front();
      waiting_bytes_ -= message.bytes;
      try {
        co_await serve_one(message);
      } catch (const std::exception& e) {
        const Json sorry{{"event", "our-mistake"}, {"what", e.what()}};
        tell(sorry.dump(-1, ' ', false, Json::error_handler_t::replace));
      }
    }
  }

  asio::awaitable<void> serve_one(const Message& message) {
    const auto outcome = std::make_shared<Outcome>();
    overtaken_ = false;
    const bool stale = std::chrono::steady_clock::now() - last_whole_ > kLongestStale;
    std::function<std::string()> thinking = [self = shared_from_this(), outcome, message, stale] {
      *outcome = done(self->hub_.desk, self->job_, message);
      return frame_of(self->hub_.desk, *outcome, message, [&](std::string pages) {
        self->send_first(std::move(pages));
        return stale || message.what != "try" || !self->overtaken_;
      });
    };
    std::string frame = co_await on_pool<std::string>(hub_.io, hub_.quick, std::move(thinking));
    if (outcome->changed) hub_.publish({job_, changed_event(*outcome->changed)}, this);
    if (frame.empty()) co_return;
    last_whole_ = std::chrono::steady_clock::now();
    send({std::move(frame), true});
  }

  /// What may be typed next, one after the other; of questions only the last.
  asio::awaitable<void> foresee() {
    const auto self = shared_from_this();
    beast::error_code ignored;
    while (open_) {
      if (next_.typed.empty() || out_.size() >= kMostUnsent) {
        co_await foreseeing_.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
        continue;
      }
      std::function<std::string()> thinking = [self, m = next_, typed = next_.typed.front()] {
        return foreseen_frame(self->hub_.desk, self->job_, m, typed);
      };
      next_.typed.erase(next_.typed.begin());
      try {
        std::string frame = co_await on_pool<std::string>(hub_.io, hub_.spare, std::move(thinking));
        if (!frame.empty()) send({std::move(frame), true});
      } catch (const std::exception&) {
        // said when it is really asked for
      }
    }
  }

  asio::awaitable<void> write() {
    const auto self = shared_from_this();
    beast::error_code error;
    while (open_) {
      if (out_.empty()) {
        co_await unsent_.async_wait(asio::redirect_error(asio::use_awaitable, error));
        continue;
      }
      const Frame frame = std::move(out_.front());
      out_.pop_front();
      ws_.binary(frame.binary);
      co_await ws_.async_write(asio::buffer(frame.bytes), asio::redirect_error(asio::use_awaitable, error));
      if (error) co_return close();
      asked_.cancel(), foreseeing_.cancel();
    }
  }

  Hub& hub_;
  beast::websocket::stream<Stream> ws_;
  std::string job_, token_, device_;
  asio::steady_timer asked_, unsent_, foreseeing_;  ///< never run out; cancelled to wake who waits on them
  std::deque<Message> waiting_;
  std::size_t waiting_bytes_ = 0;
  std::deque<Frame> out_;
  Look look_;
  Message next_;                         ///< the last that asked to foresee, less what is done of it
  std::atomic<bool> overtaken_ = false;  ///< a newer try waits; read by the thinking threads
  std::chrono::steady_clock::time_point last_whole_{};  ///< when the page had the last studies
  bool open_ = true;
};

void Hub::publish(const Event& event, const Live* from) {
  for (Live* live : std::vector<Live*>(lives.begin(), lives.end()))
    if (live != from && (event.job.empty() || live->job() == event.job)) live->tell(event.text);
}

void recheck(Hub& hub) {
  for (Live* live : std::vector<Live*>(hub.lives.begin(), hub.lives.end())) {
    if (live->token().empty()) continue;
    const auto known = hub.desk.store().knows_token(hash_of(live->token()));
    if (!hub.network.on || !known || !*known) live->close();
  }
}

asio::awaitable<void> live(Hub& hub, Stream stream, http::request<http::string_body> request, Caller caller) {
  const auto target = taken_apart({request.target().data(), request.target().size()});
  const bool ours = target && target->path == std::vector<std::string>{"api", "live"};
  if (!ours) co_return;
  const std::string token = caller.from_here ? "" : token_of(request);
  const std::string device = caller.from_here ? "" : caller.address;
  const auto live = std::make_shared<Live>(hub, std::move(stream), target->get("job"), token, device);
  co_await live->run(request);
}

}  // namespace halfround::serve
