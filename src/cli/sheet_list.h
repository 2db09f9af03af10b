// The lists a folder of sheets keeps: names and hashes below a mark.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>

namespace halfround::cli {

inline constexpr const char* kList = "sheets.txt";
inline constexpr const char* kIncomplete = "INCOMPLETE.txt";

/// Hashes by name; more than one while two sets are mixed.
using SheetHashes = std::map<std::string, std::set<std::string>>;

/// A plain name, or one in a folder of a plain name: "check-a4.pdf", "cut/plate.dxf".
[[nodiscard]] bool is_sheet_name(const std::string& name);

/// Lines "HASH  NAME" below the mark and what is said to the reader.
[[nodiscard]] std::string list_text(const std::string& said, const SheetHashes& sheets);
/// Nothing where the text bears no mark of ours. A line that can't be read is passed over: what it would name
/// stays.
[[nodiscard]] std::optional<SheetHashes> listed(const std::string& text);

}  // namespace halfround::cli
