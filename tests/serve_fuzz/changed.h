// Bytes changed at random, as a fuzzer does it: bits, pieces doubled, taken out or swapped with another text,
// odd words put in, now and then something very long.
#pragma once

#include <random>
#include <string>
#include <vector>

namespace halfround::serve {

using Random = std::mt19937;

inline std::size_t below(Random& random, std::size_t n) {
  return n == 0 ? 0 : random() % n;
}

inline void change_once(std::string& text, const std::vector<std::string>& others, Random& random) {
  static const std::string kOdd[] = {"\r\n",
                                     "\r\n\r\n",
                                     "\n",
                                     std::string(1, '\0'),
                                     "%",
                                     "%00",
                                     "%2e%2e/",
                                     "//",
                                     "\xFF\xFE",
                                     "\"",
                                     "\\u0000",
                                     "[[[[[[[[[[",
                                     "{\"a\":",
                                     "}",
                                     "-1",
                                     "1e999",
                                     "18446744073709551616",
                                     "nan",
                                     "null",
                                     "Transfer-Encoding: chunked\r\n",
                                     "Content-Length: -1\r\n",
                                     "Content-Length: 99999999999\r\n",
                                     "0\r\n\r\n",
                                     "FFFFFFFFFFFFFFFF\r\n",
                                     "Connection: Upgrade\r\nUpgrade: websocket\r\n",
                                     "HTTP/9.9",
                                     "\x88\x80",
                                     "\x81\xFF"};
  const std::size_t at = below(random, text.size() + 1), size = below(random, 1 + text.size() - at);
  switch (below(random, 8)) {
    case 0:
      if (at < text.size()) text[at] = static_cast<char>(text[at] ^ (1 << below(random, 8)));
      return;
    case 1:
      text.erase(at, below(random, 8) == 0 ? size : below(random, 4));
      return;
    case 2:
      text.insert(at, text.substr(at, size));
      return;
    case 3:
    case 4:
      text.insert(at, kOdd[below(random, std::size(kOdd))]);
      return;
    case 5: {
      const std::string& other = others[below(random, others.size())];
      const std::size_t from = below(random, other.size() + 1);
      text.replace(at, size, other.substr(from, below(random, 1 + other.size() - from)));
      return;
    }
    case 6:
      text.insert(at, std::string(below(random, 40) == 0 ? 100'000 : below(random, 300),
                                  static_cast<char>(random())));
      return;
    default:
      if (at < text.size()) text[at] = static_cast<char>(random());
  }
}

inline std::string changed(std::string text, const std::vector<std::string>& others, Random& random) {
  for (std::size_t n = below(random, 5); n > 0; --n) change_once(text, others, random);
  return text;
}

}  // namespace halfround::serve
