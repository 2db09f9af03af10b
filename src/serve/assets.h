// Files that are part of the program: the page ("page/index.html"), the measuring pictures
// ("pictures/hub.svg") and the first example ("example/fork.toml"). Their bytes are written by
// cmake/embed-files.cmake.
#pragma once

#include <span>
#include <string_view>

namespace halfround::serve {

struct Asset {
  std::string_view name, bytes;
};

[[nodiscard]] std::span<const Asset> assets();
/// Null where there is none.
[[nodiscard]] const Asset* find_asset(std::string_view name);
/// By the name's ending: "text/html; charset=utf-8".
[[nodiscard]] std::string_view type_of(std::string_view name);

}  // namespace halfround::serve
