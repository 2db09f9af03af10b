// A live socket that asks and doesn't read: its buffers are as small as the system lets them be, so that what
// the server sends soon stays with the server.
#pragma once

#include <netinet/tcp.h>

#include <string>
#include <vector>

#include "serve/client.h"

namespace halfround::serve {

class SlowReader {
 public:
  SlowReader(unsigned short port, const std::string& job) : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    const int small = 4096, segment = 536;
    setsockopt(socket_, SOL_SOCKET, SO_RCVBUF, &small, sizeof small);
    setsockopt(socket_, IPPROTO_TCP, TCP_MAXSEG, &segment, sizeof segment);
    const timeval patience{20, 0};
    setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    setsockopt(socket_, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
    sockaddr_in at{};
    at.sin_family = AF_INET, at.sin_port = htons(port);
    inet_pton(AF_INET, "127.0.0.1", &at.sin_addr);
    open_ = ::connect(socket_, reinterpret_cast<const sockaddr*>(&at), sizeof at) == 0 &&
            put("GET /api/live?job=" + job + " HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port) +
                "\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n"
                "Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n") &&
            upgraded();
  }
  ~SlowReader() { ::close(socket_); }
  SlowReader(const SlowReader&) = delete;
  SlowReader& operator=(const SlowReader&) = delete;

  [[nodiscard]] bool open() const { return open_; }
  /// One text message. [source: RFC 6455, 5.2; the mask is zero, so the text stands as it is]
  bool say(const std::string& text) {
    std::string frame = "\x81";
    frame += static_cast<char>(0x80 | (text.size() < 126 ? text.size() : 126));
    if (text.size() >= 126) frame += {static_cast<char>(text.size() >> 8), static_cast<char>(text.size())};
    return put(frame + std::string(4, '\0') + text);
  }
  /// Begins to read: the messages up to and with the first one that `last` knows, or until the other side
  /// hangs up.
  template <class Last>
  std::vector<std::string> read_until(const Last& last) {
    std::vector<std::string> out;
    for (std::string message; piece(message);) {
      if (!whole_) continue;
      out.push_back(std::move(message));
      message.clear();
      if (last(out.back())) break;
    }
    return out;
  }

 private:
  bool put(const std::string& bytes) {
    return ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL) == static_cast<ssize_t>(bytes.size());
  }
  [[nodiscard]] std::size_t byte(std::size_t i) const { return static_cast<unsigned char>(buffer_[i]); }
  /// The next piece of a message, put to what is there of it. [source: RFC 6455, 5.2 and 5.4]
  bool piece(std::string& message) {
    if (!fetch(2)) return false;
    const std::size_t word = byte(1), wide = word == 127 ? 8 : word == 126 ? 2 : 0;
    if (!fetch(2 + wide)) return false;
    std::size_t size = wide == 0 ? word : 0;
    for (std::size_t i = 0; i < wide; ++i) size = size << 8 | byte(2 + i);
    if (!fetch(2 + wide + size)) return false;
    const bool of_control = (byte(0) & 8) != 0;
    if (!of_control) message += buffer_.substr(2 + wide, size);
    whole_ = !of_control && (byte(0) & 0x80) != 0;
    buffer_.erase(0, 2 + wide + size);
    return true;
  }
  bool fetch(std::size_t size) {
    char bytes[65536];
    while (buffer_.size() < size) {
      const ssize_t n = ::recv(socket_, bytes, sizeof bytes, 0);
      if (n <= 0) return false;
      buffer_.append(bytes, static_cast<std::size_t>(n));
    }
    return true;
  }
  bool upgraded() {
    std::size_t end = 0;
    while ((end = buffer_.find("\r\n\r\n")) == std::string::npos)
      if (!fetch(buffer_.size() + 1)) return false;
    const bool fine = buffer_.starts_with("HTTP/1.1 101");
    buffer_.erase(0, end + 4);
    return fine;
  }

  int socket_;
  bool open_ = false;
  bool whole_ = false;  ///< the last piece ended its message
  std::string buffer_;
};

}  // namespace halfround::serve
