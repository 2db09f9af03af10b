#include "base/text_mark.h"

#include <fmt/format.h>

#include <cstdint>

namespace halfround::base {

std::string text_mark(std::string_view text) {
  std::uint32_t hash = 2166136261u;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 16777619u;
  return fmt::format("{:08x}", hash);
}

}  // namespace halfround::base
