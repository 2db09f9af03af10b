// A live socket for the tests, spoken to by the library the server uses.
#pragma once

#include <poll.h>

#include <chrono>
#include <cstring>
#include <nlohmann/json.hpp>
#include <utility>
//
#include <boost/asio.hpp>
#include <boost/beast.hpp>

namespace halfround::serve {

using Json = nlohmann::json;

inline Json header_of(const std::string& frame) {
  std::uint32_t length = 0;
  std::memcpy(&length, frame.data(), 4);
  return Json::parse(frame.substr(4, length));
}

class Socket {
 public:
  /// in  job  its id, and what else the address says
  Socket(unsigned short port, const std::string& job, const std::string& address = "127.0.0.1") : ws_(io_) {
    ws_.next_layer().connect({boost::asio::ip::make_address(address), port});
    ws_.handshake(address + ":" + std::to_string(port), "/api/live?job=" + job);
  }
  void say(const Json& message) { ws_.write(boost::asio::buffer(message.dump())); }
  /// Does anything come within so long?
  bool hears_within(std::chrono::milliseconds time) {
    pollfd one{ws_.next_layer().native_handle(), POLLIN, 0};
    return ::poll(&one, 1, static_cast<int>(time.count())) > 0;
  }
  /// Text as it is, a frame's header as JSON.
  Json hear() {
    boost::beast::flat_buffer buffer;
    ws_.read(buffer);
    const std::string bytes = boost::beast::buffers_to_string(buffer.data());
    return ws_.got_text() ? Json::parse(bytes) : header_of(bytes);
  }
  /// The next frame that answers message `id`.
  Json answer(int id) {
    for (;;) {
      Json heard = hear();
      if (heard.value("reply", -1) == id) return heard;
    }
  }

 private:
  boost::asio::io_context io_;
  boost::beast::websocket::stream<boost::asio::ip::tcp::socket> ws_;
};

}  // namespace halfround::serve
