// The door of a server without its sockets: bytes are parsed, judged, routed and answered by the same
// functions, one after the other on this thread. So many times more can be tried.
#pragma once

#include <gtest/gtest.h>

#include <atomic>
#include <boost/beast/_experimental/test/stream.hpp>
#include <cstring>
#include <map>

#include "seeds.h"
#include "serve/assets.h"
#include "serve/house.h"
#include "serve/live_message.h"
#include "serve/net.h"
#include "serve/page_json.h"
#include "serve/pairing.h"

namespace halfround::serve {

inline constexpr const char* kOuter = "192.0.2.1:8710";  // [source: RFC 5737, a network for examples]
inline constexpr const char* kInner = "127.0.0.1:8710";

enum class Caller { here, stranger, withdrawn, paired };
inline constexpr Caller kCallers[] = {Caller::here, Caller::stranger, Caller::withdrawn, Caller::paired};

class InnerDoorTest : public HouseTest {
 protected:
  void SetUp() override {
    HouseTest::SetUp();
    leave();  // the store stays open, nothing listens
    open_door();
  }
  void TearDown() override {
    close_door();
    HouseTest::TearDown();
  }

  /// A new book, so that it doesn't grow without end.
  void begin_anew() {
    close_door();
    HouseTest::TearDown();
    HouseTest::SetUp();
    leave();
    open_door();
  }

  [[nodiscard]] std::vector<std::string> seeds_of(Caller caller, const std::string& folder) const {
    std::vector<std::string> out = seeds(folder);
    for (std::string& text : out) {
      const auto at = text.find("Host: @HOST@\r\n");
      const bool shows = text.find("@TOKEN@") != std::string::npos || caller == Caller::here;
      if (at != std::string::npos && !shows) text.insert(at + 14, "Authorization: Bearer @TOKEN@\r\n");
    }
    return filled(std::move(out), {caller == Caller::here ? kInner : kOuter, id_, token_of(caller)});
  }

  /// Everything one connection sends.
  void send(Caller caller, std::string_view bytes) {
    Stream stream(*io_);
    Connection c(*hub_, caller == Caller::here, caller == Caller::here ? "127.0.0.1" : "192.0.2.9", stream);
    for (int n = 0; n < 4 && !bytes.empty(); ++n) {
      if (!one_request(caller, c, bytes)) return;
    }
  }

  /// One message of a live socket that is let in.
  void hear(Caller caller, const std::string& text) {
    ++told_["live messages"];
    auto message = understood(text, look_);
    if (!message) return;
    ++told_["live messages understood"];
    look_ = message->look;
    if (message->what == "foresee") {
      if (caller != Caller::here || !spare_time()) return;
      for (const std::string& typed : message->typed) (void)foreseen_frame(*desk_, id_, *message, typed);
      return;
    }
    const Outcome outcome = done(*desk_, id_, *message);
    if (!spare_time()) return;
    const std::string frame =
        answer_frame(*desk_, outcome, *message, [](const std::string&) { return true; });
    ASSERT_GT(frame.size(), 4U);
    std::uint32_t size = 0;
    std::memcpy(&size, frame.data(), 4);
    ASSERT_TRUE(Json::accept(frame.substr(4, size)));
  }

  void say_what_was_told() const {
    for (const auto& [what, n] : told_) std::printf("  %9ld %s\n", n, what.c_str());
  }

  std::map<std::string, long> told_;
  std::atomic<int> mistakes_ = 0;
  Random random_{fuzz_seed()};

 private:
  void open_door() {
    Limits limits;
    limits.requests = limits.changes = limits.wrong_tokens = 2'000'000'000;
    io_ = std::make_unique<asio::io_context>(1);
    hub_ = std::make_unique<Hub>(*desk_, *io_, limits);
    hub_->complain = [this](const std::string& what) {
      ++mistakes_;
      std::printf("%s\n", what.c_str());
    };
    hub_->network = {true, kOuter};
    hub_->port = 8710, hub_->here = kInner;
    hub_->house.network = [this] { return hub_->network; };
    hub_->house.switch_network = [this](bool) { return base::Result<Network>(hub_->network); };
    hub_->house.recheck_devices = [] {};  // else a fuzzed DELETE would withdraw the good one
    good_ = fresh_token(), gone_ = fresh_token();
    ASSERT_TRUE(store_->add_device(hash_of(good_), "good"));
    const auto id = store_->add_device(hash_of(gone_), "gone");
    ASSERT_TRUE(id && store_->withdraw_device(*id));
    hub_->devices.read(std::chrono::steady_clock::now());
  }
  void close_door() {
    for (asio::thread_pool* pool :
         {&hub_->quick, &hub_->slow, &hub_->outside, &hub_->outside_slow, &hub_->spare})
      pool->join();
    hub_.reset(), io_.reset();
  }
  [[nodiscard]] std::string token_of(Caller caller) const {
    return caller == Caller::paired ? good_ : caller == Caller::withdrawn ? gone_ : "guess";
  }
  /// What takes long is done now and then only.
  bool spare_time() { return below(random_, 64) == 0; }
  static bool is_long(const Target& t) {
    static const std::string kLong[] = {"view", "sheets", "solid.glb", "compare", "replan"};
    if (t.path.size() > 1 && t.path[1] == "cards") return true;
    return t.path.size() > 3 && std::ranges::find(kLong, t.path[3]) != std::end(kLong);
  }

  /// False: nothing more of this connection is read.
  bool one_request(Caller caller, Connection& c, std::string_view& bytes) {
    RequestParser parser;
    limit(parser);
    beast::error_code error;
    const auto feed = [&](auto enough) {  // no more at once than a connection reads ahead
      while (!enough() && !error) {
        const std::string_view ahead = bytes.substr(0, kReadAhead);
        const std::size_t n = parser.put(asio::buffer(ahead.data(), ahead.size()), error);
        bytes.remove_prefix(n);
        if (n > 0 && error == http::error::need_more) error = {};
        if (n == 0 && !error) error = http::error::need_more;
      }
    };
    feed([&] { return parser.is_header_done(); });
    if (error) return ++told_["heads that can't be read"], false;
    Judged j = judged(c, parser);
    if (j.away) {
      check(caller, j, *j.away);
      return ++told_["turned away"], parser.is_done() && !j.upgrade;
    }
    parser.eager(true);
    feed([&] { return parser.is_done(); });
    if (error) return ++told_["bodies that can't be read"], false;
    HttpRequest request = parser.release();
    if (j.upgrade) return talk(caller, j, request, bytes), false;
    const bool keep = request.keep_alive();
    const Request plain = plain_request(c, std::move(request), *j.target);
    if (is_long(*j.target) && !spare_time()) return keep;
    ++told_["answered"];
    check(caller, j, answered(*hub_, plain));
    return keep;
  }

  /// What stands in the reply, whoever asked.
  void check(Caller caller, const Judged& j, const Reply& reply) {
    const bool good = reply.status < 400;
    EXPECT_NE(reply.status, 500) << reply.body;
    EXPECT_TRUE(reply.type != "application/json" || Json::accept(reply.body)) << reply.body;
    if (caller == Caller::here) return;
    EXPECT_EQ(reply.body.find(folder_.string()), std::string::npos) << reply.body;
    if (!good) return;
    ASSERT_TRUE(j.target);
    const bool only_here = j.target->path.size() > 1 && j.target->path[0] == "api" &&
                           (j.target->path[1] == "network" || j.target->path[1] == "pairing");
    EXPECT_FALSE(only_here) << reply.body;
    if (caller == Caller::paired) return;
    const bool of_the_page = std::ranges::any_of(
        assets(), [&](const Asset& a) { return a.name.starts_with("page/") && a.bytes == reply.body; });
    EXPECT_TRUE(of_the_page) << "without a token: " << reply.body;
  }

  /// A live socket with all that it is sent, framed as the library reads it.
  void talk(Caller caller, const Judged& j, const HttpRequest& request, std::string_view bytes) {
    EXPECT_TRUE(caller == Caller::here || caller == Caller::paired) << "a live socket without a token";
    if (j.target->path != std::vector<std::string>{"api", "live"}) return;
    beast::test::stream near(*io_), far(*io_);
    near.connect(far);
    beast::websocket::stream<beast::test::stream&> ws(near);
    ws.read_message_max(caller == Caller::here ? kLargestMessage : kLargestOfDevice);
    beast::error_code error;
    far.write_some(asio::buffer(bytes.data(), bytes.size()), error);
    far.close();
    ws.accept(request, error);
    if (error) return;
    ++told_["live sockets"];
    beast::flat_buffer buffer;
    for (int n = 0; n < 16; ++n) {
      buffer.clear();
      ws.read(buffer, error);
      if (error) return;
      hear(caller, beast::buffers_to_string(buffer.data()));
    }
  }

  std::unique_ptr<asio::io_context> io_;
  std::unique_ptr<Hub> hub_;
  std::string good_, gone_;
  Look look_;
};

}  // namespace halfround::serve
