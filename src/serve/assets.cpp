#include "serve/assets.h"

#include <algorithm>
#include <array>
#include <utility>

namespace halfround::serve {

const Asset* find_asset(std::string_view name) {
  const std::span<const Asset> all = assets();
  const auto found = std::ranges::find(all, name, &Asset::name);
  return found == all.end() ? nullptr : &*found;
}

std::string_view type_of(std::string_view name) {
  constexpr std::array<std::pair<std::string_view, std::string_view>, 17> kTypes{{
      {".html", "text/html; charset=utf-8"},
      {".js", "text/javascript; charset=utf-8"},
      {".css", "text/css; charset=utf-8"},
      {".svg", "image/svg+xml"},
      {".json", "application/json"},
      {".webmanifest", "application/manifest+json"},
      {".woff2", "font/woff2"},
      {".png", "image/png"},
      {".ico", "image/x-icon"},
      {".txt", "text/plain; charset=utf-8"},
      {".csv", "text/csv; charset=utf-8"},
      {".toml", "application/toml"},
      {".pdf", "application/pdf"},
      {".dxf", "image/vnd.dxf"},
      {".step", "model/step"},
      {".glb", "model/gltf-binary"},
      {".nc", "text/plain; charset=utf-8"},
  }};
  for (const auto& [end, type] : kTypes)
    if (name.ends_with(end)) return type;
  return "application/octet-stream";
}

}  // namespace halfround::serve
