// One live socket: the page's edits tried and saved as they are typed, views sent back, news of other
// devices. A newer try or show takes the place of one that still waits; a slow reader is asked for patience,
// not waited for.
#include <atomic>
#include <chrono>
#include <semaphore>

#include "serve/live_message.h"
#include "serve/net.h"
#include "serve/routes_parts.h"

namespace halfround::serve {

namespace {

constexpr std::size_t kMostWaiting = 64;  // messages not yet looked at
constexpr std::size_t kMostWaitingBytes = 4 << 20;
constexpr std::size_t kMostUnsent = 4;  // views a slow reader has not taken yet
constexpr std::size_t kMostNews = 200;  // frames in all; who lags more is cut off and comes back
constexpr auto kLongestStale =
    std::chrono::milliseconds(100);                        // studies at least so often while a hand draws
constexpr auto kPatience = std::chrono::milliseconds(10);  // with a talking thread that has much to say

}  // namespace

class Live : public std::enable_shared_from_this<Live> {
 public:
  Live(const Connection& connection, Stream stream, std::string job)
      : hub_(connection.hub),
        ws_(std::move(stream)),
        job_(std::move(job)),
        from_here_(connection.from_here),
        device_(connection.device),
        counted_as_(connection.counted_as()),
        asked_(hub_.io),
        unsent_(hub_.io),
        foreseeing_(hub_.io),
        patience_(hub_.io) {
    for (asio::steady_timer* timer : {&asked_, &unsent_, &foreseeing_})
      timer->expires_at(asio::steady_timer::time_point::max());
    hub_.lives.insert(this);
  }
  ~Live() { hub_.lives.erase(this); }
  Live(const Live&) = delete;
  Live& operator=(const Live&) = delete;

  [[nodiscard]] const std::string& job() const { return job_; }
  [[nodiscard]] bool from_here() const { return from_here_; }
  [[nodiscard]] std::int64_t device() const { return device_; }

  void tell(std::string text) { send({std::move(text), false}); }

  /// Nothing it says is listened to any more; it is told why, then closed, within a moment.
  void dismiss(std::string why) {
    if (!open_ || leaving_) return;
    waiting_.clear(), next_ = {};
    tell(std::move(why));
    leaving_ = true;
    patience_.expires_after(std::chrono::seconds(1));
    patience_.async_wait([self = shared_from_this()](const beast::error_code&) { self->close(); });
  }

  void close() {
    open_ = false;
    asked_.cancel(), unsent_.cancel(), foreseeing_.cancel(), patience_.cancel();
    beast::error_code error;
    beast::get_lowest_layer(ws_).socket().shutdown(tcp::socket::shutdown_both, error);
    beast::get_lowest_layer(ws_).close();
  }

  /// Reads until the other side is gone.
  asio::awaitable<void> run(const HttpRequest& request) {
    namespace websocket = beast::websocket;
    beast::get_lowest_layer(ws_).expires_never();
    ws_.set_option(websocket::stream_base::timeout::suggested(beast::role_type::server));
    ws_.read_message_max(from_here_ ? kLargestMessage : kLargestOfDevice);
    beast::error_code error;
    co_await ws_.async_accept(request, asio::redirect_error(asio::use_awaitable, error));
    if (error) co_return;
    const auto self = shared_from_this();
    start(hub_, [self] { return self->write(); });
    start(hub_, [self] { return self->work(); });
    start(hub_, [self] { return self->foresee(); });
    beast::flat_buffer buffer;
    while (open_) {
      buffer.clear();
      co_await ws_.async_read(buffer, asio::redirect_error(asio::use_awaitable, error));
      if (error) break;
      co_await not_too_often();
      if (open_ && !leaving_) hear(beast::buffers_to_string(buffer.data()));
    }
    close();
  }

 private:
  struct Frame {
    std::string bytes;
    bool binary = false;
  };

  /// A device that says more within a minute than a person does isn't read until the minute is over.
  asio::awaitable<void> not_too_often() {
    if (from_here_) co_return;
    beast::error_code ignored;
    int wait = 0;
    while (open_ && !leaving_ &&
           (wait = hub_.requests.take(counted_as_, std::chrono::steady_clock::now())) > 0) {
      patience_.expires_after(std::chrono::seconds(wait));
      co_await patience_.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
    }
  }

  void hear(const std::string& text) {
    auto message = understood(text, look_);
    if (!message) return tell("{\"event\":\"not-understood\"}");
    look_ = message->look;
    if (message->what == "foresee") {
      if (!from_here_) return;  // the work of twenty tries: for the page on this machine
      next_ = std::move(*message);
      foreseeing_.cancel();
      return;
    }
    if (message->looks() && !waiting_.empty() && waiting_.back().what == message->what) {
      waiting_bytes_ -= waiting_.back().bytes;
      waiting_.pop_back();
    }
    if (!message->looks() && !from_here_)
      message->wait = hub_.changes.take(counted_as_, std::chrono::steady_clock::now());
    waiting_bytes_ += message->bytes;
    if (waiting_.size() >= kMostWaiting || waiting_bytes_ > kMostWaitingBytes) return close();
    if (message->what == "try") overtaken_ = true;
    waiting_.push_back(std::move(*message));
    asked_.cancel();
  }

  void send(Frame frame) {
    if (!open_ || leaving_) return;
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
      } catch (...) {
        hub_.mistake(std::current_exception());
        tell("{\"event\":\"our-mistake\"}");
      }
    }
  }

  asio::awaitable<void> serve_one(const Message& message) {
    const auto outcome = std::make_shared<Outcome>();
    overtaken_ = false;
    const bool stale = std::chrono::steady_clock::now() - last_whole_ > kLongestStale;
    std::function<std::string()> thinking = [self = shared_from_this(), outcome, message, stale] {
      *outcome = done(self->hub_.desk, self->job_, message);
      if (!self->from_here_)
        for (base::Problem& p : outcome->heading.refused) p = for_device(std::move(p));
      return answer_frame(self->hub_.desk, *outcome, message, [&](std::string pages) {
        self->send_first(std::move(pages));
        return stale || message.what != "try" || !self->overtaken_;
      });
    };
    std::string frame =
        co_await on_pool_of<std::string>(hub_, from_here_, counted_as_, false, std::move(thinking));
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
      } catch (...) {
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
      if (leaving_ && out_.empty()) close();
    }
  }

  Hub& hub_;
  beast::websocket::stream<Stream> ws_;
  std::string job_;
  bool from_here_;
  std::int64_t device_;                             ///< 0: this machine
  std::string counted_as_;                          ///< for the limits
  asio::steady_timer asked_, unsent_, foreseeing_;  ///< never run out; cancelled to wake who waits on them
  asio::steady_timer patience_;                     ///< with a device that says too much, or is to go
  std::deque<Message> waiting_;
  std::size_t waiting_bytes_ = 0;
  std::deque<Frame> out_;
  Look look_;
  Message next_;                         ///< the last that asked to foresee, less what is done of it
  std::atomic<bool> overtaken_ = false;  ///< a newer try waits; read by the thinking threads
  std::chrono::steady_clock::time_point last_whole_{};  ///< when the page had the last studies
  bool open_ = true;
  bool leaving_ = false;  ///< told that it may no longer come in
};

void Hub::publish(const Event& event, const Live* from) {
  for (Live* live : std::vector<Live*>(lives.begin(), lives.end()))
    if (live != from && (event.job.empty() || live->job() == event.job)) live->tell(event.text);
}

void recheck(Hub& hub) {
  hub.devices.read(std::chrono::steady_clock::now());
  const auto may_stay = [&](bool from_here, std::int64_t device) {
    return from_here || (hub.network.on && (device == 0 || hub.devices.may_come_in(device)));
  };
  for (Live* live : std::vector<Live*>(hub.lives.begin(), hub.lives.end())) {
    if (may_stay(live->from_here(), live->device())) continue;
    live->dismiss(hub.network.on ? "{\"event\":\"withdrawn\"}" : "{\"event\":\"network-off\"}");
  }
  for (Connection* c : std::vector<Connection*>(hub.connections.begin(), hub.connections.end()))
    if (!may_stay(c->from_here, c->device)) c->close();
}

asio::awaitable<void> live(Connection& connection, Stream stream, HttpRequest request, std::string job) {
  connection.stream = nullptr;
  const auto live = std::make_shared<Live>(connection, std::move(stream), std::move(job));
  co_await live->run(request);
}

}  // namespace halfround::serve
