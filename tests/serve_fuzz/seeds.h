// What the fuzzing of the door begins with: the corpus, filled in and made into bytes of a client.
// HALFROUND_FUZZ_ROUNDS says how many are sent. Seeds: tests/fuzz/corpus/door, tests/fuzz/corpus/live.
#pragma once

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "changed.h"

namespace halfround::serve {

inline long fuzz_rounds(long otherwise) {
  const char* wanted = std::getenv("HALFROUND_FUZZ_ROUNDS");
  return wanted != nullptr ? std::strtol(wanted, nullptr, 10) : otherwise;
}

/// HALFROUND_FUZZ_SEED takes another way through.
inline unsigned fuzz_seed() {
  const char* wanted = std::getenv("HALFROUND_FUZZ_SEED");
  return wanted != nullptr ? static_cast<unsigned>(std::strtoul(wanted, nullptr, 10)) : 20261130;
}

/// What stands in the corpus for @HOST@, @JOB@ and @TOKEN@.
struct Filling {
  std::string host, job, token;
};

inline std::string filled(std::string text, const Filling& with) {
  const auto put = [&](const std::string& name, const std::string& value) {
    for (std::size_t at; (at = text.find(name)) != std::string::npos;) text.replace(at, name.size(), value);
  };
  put("@HOST@", with.host), put("@JOB@", with.job), put("@TOKEN@", with.token);
  return text;
}

inline std::vector<std::string> filled(std::vector<std::string> texts, const Filling& with) {
  for (std::string& text : texts) text = filled(std::move(text), with);
  return texts;
}

/// The files of one folder of the corpus, by name.
inline std::vector<std::string> seeds(const std::string& folder) {
  std::vector<std::filesystem::path> files;
  for (const auto& e : std::filesystem::directory_iterator(SOURCE_DIR "/tests/fuzz/corpus/" + folder))
    files.push_back(e);
  std::ranges::sort(files);
  std::vector<std::string> out;
  for (const auto& file : files) {
    std::ostringstream text;
    text << std::ifstream(file, std::ios::binary).rdbuf();
    out.push_back(text.str());
  }
  return out;
}

/// Its length made true again, so that what is behind it is read.
inline void mend_length(std::string& text) {
  const std::string name = "Content-Length: ";
  const auto at = text.find(name), body = text.find("\r\n\r\n");
  if (at == std::string::npos || body == std::string::npos || at > body) return;
  const auto end = text.find("\r\n", at);
  text.replace(at, end - at, name + std::to_string(text.size() - body - 4));
}

/// A frame of a client, its mask zero. [source: RFC 6455, 5.2]
inline std::string some_frame(const std::string& text, Random& random) {
  static const unsigned char kFirst[] = {0x81, 0x81, 0x81, 0x81, 0x01, 0x80,
                                         0x82, 0x88, 0x89, 0x8A, 0xC1, 0x83};
  std::string out(1, static_cast<char>(kFirst[below(random, std::size(kFirst))]));
  if (text.size() < 126) {
    out += static_cast<char>(0x80 | text.size());
  } else if (text.size() < 65536) {
    out += {static_cast<char>(0xFE), static_cast<char>(text.size() >> 8), static_cast<char>(text.size())};
  } else {
    out += static_cast<char>(0xFF);
    for (int i = 7; i >= 0; --i) out += static_cast<char>(static_cast<std::uint64_t>(text.size()) >> (8 * i));
  }
  return out + std::string(4, '\0') + text;
}

}  // namespace halfround::serve
