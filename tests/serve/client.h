// A small HTTP client of our own for the tests, so that the server is not asked by its own library. One
// connection; sends what it is told, byte for byte.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <string>

namespace halfround::serve {

struct Answered {
  int status = 0;  ///< 0: the connection was gone
  std::string head, body;
};

class Client {
 public:
  explicit Client(unsigned short port, const std::string& address = "127.0.0.1")
      : host_(address + ":" + std::to_string(port)), socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    const timeval patience{10, 0};
    setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    sockaddr_in at{};
    at.sin_family = AF_INET, at.sin_port = htons(port);
    inet_pton(AF_INET, address.c_str(), &at.sin_addr);
    open_ = ::connect(socket_, reinterpret_cast<const sockaddr*>(&at), sizeof at) == 0;
  }
  ~Client() { ::close(socket_); }
  Client(const Client&) = delete;
  Client& operator=(const Client&) = delete;

  [[nodiscard]] bool open() const { return open_; }
  bool send(const std::string& bytes) {
    std::size_t sent = 0;
    while (sent < bytes.size()) {
      const ssize_t n = ::send(socket_, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
      if (n <= 0) return false;
      sent += static_cast<std::size_t>(n);
    }
    return true;
  }
  Answered receive() {
    Answered out;
    std::size_t end = 0;
    while ((end = buffer_.find("\r\n\r\n")) == std::string::npos)
      if (!more()) return out;
    out.head = buffer_.substr(0, end + 2);
    buffer_.erase(0, end + 4);
    const auto at = out.head.find("Content-Length: ");
    const std::size_t size =
        at == std::string::npos ? 0 : std::strtoul(out.head.c_str() + at + 16, nullptr, 10);
    while (buffer_.size() < size)
      if (!more()) return out;
    out.body = buffer_.substr(0, size);
    buffer_.erase(0, size);
    out.status = std::atoi(out.head.c_str() + 9);
    return out;
  }
  Answered ask(const std::string& method, const std::string& target, const std::string& body = "",
               const std::string& more_head = "") {
    std::string text = method + " " + target + " HTTP/1.1\r\nHost: " + host_ + "\r\n" + more_head;
    if (!body.empty()) text += "Content-Length: " + std::to_string(body.size()) + "\r\n";
    if (!send(text + "\r\n" + body)) return receive();
    return receive();
  }

  /// Reads away what is there by now; true where the other side has hung up.
  bool gone_after_reading() {
    for (;;) {
      char bytes[65536];
      const ssize_t n = ::recv(socket_, bytes, sizeof bytes, MSG_DONTWAIT);
      if (n <= 0) return n == 0 || (errno != EAGAIN && errno != EWOULDBLOCK);
    }
  }
  /// Has the other side hung up? Waits for it a while.
  bool hung_up() {
    for (;;) {
      char bytes[4096];
      const ssize_t n = ::recv(socket_, bytes, sizeof bytes, 0);
      if (n <= 0) return n == 0 || errno == ECONNRESET;
    }
  }

 private:
  bool more() {
    char bytes[65536];
    const ssize_t n = ::recv(socket_, bytes, sizeof bytes, 0);
    if (n <= 0) return false;
    buffer_.append(bytes, static_cast<std::size_t>(n));
    return true;
  }

  std::string host_;
  int socket_;
  bool open_ = false;
  std::string buffer_;
};

}  // namespace halfround::serve
