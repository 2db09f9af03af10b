#include "cli/sheet_list.h"

#include <algorithm>
#include <sstream>

namespace halfround::cli {

namespace {

constexpr const char* kMark = "# Halfround 1: ";
constexpr std::size_t kDigits = 64;  // of a SHA-256

bool is_hash(const std::string& text) {
  return text.size() == kDigits &&
         std::ranges::all_of(text, [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); });
}

}  // namespace

bool is_sheet_name(const std::string& name) {
  const auto plain = [](const std::string& part) { return !part.empty() && part != "." && part != ".."; };
  const std::size_t slash = name.find('/');
  if (std::ranges::any_of(name, [](char c) { return c == '\n' || c == '\r' || c == '\0' || c == '\\'; }))
    return false;
  if (slash == std::string::npos) return plain(name) && name != kList && name != kIncomplete;
  return name.find('/', slash + 1) == std::string::npos && plain(name.substr(0, slash)) &&
         plain(name.substr(slash + 1));
}

std::string list_text(const std::string& said, const SheetHashes& sheets) {
  std::string out = kMark + said + "\n";
  for (const auto& [name, hashes] : sheets)
    for (const std::string& hash : hashes) out += hash + "  " + name + "\n";
  return out;
}

std::optional<SheetHashes> listed(const std::string& text) {
  if (!text.starts_with(kMark)) return std::nullopt;
  SheetHashes out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    if (line.size() < kDigits + 3 || line.compare(kDigits, 2, "  ") != 0) continue;
    const std::string hash = line.substr(0, kDigits), name = line.substr(kDigits + 2);
    if (is_hash(hash) && is_sheet_name(name)) out[name].insert(hash);
  }
  return out;
}

}  // namespace halfround::cli
