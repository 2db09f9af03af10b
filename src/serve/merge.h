// Edits of several devices brought together in one text, a job's or the shop's. Only this room sees this
// header.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "job/edit.h"
#include "serve/desk.h"

namespace halfround::serve {

/// What differs between a job's text and the shop's.
struct TextKind {
  const char* file;  ///< what complaints call the text
  const char* name;  ///< the key of its name
  std::span<const job::Row> rows;
  job::Lists lists;
  base::Problems (*wrong)(const std::string& text);
  bool sound;  ///< it is never saved with a mistake that wasn't there before
};
[[nodiscard]] const TextKind& job_text();
/// Cards and set-ups of every job need the shop, so it stays sound.
[[nodiscard]] const TextKind& shop_text();

/// The newest text with the edits made.
///   in     base  the text they were typed on, where that is not the newest
///   fails  409: one of the keys was changed since; 422: an edited key can't be read
[[nodiscard]] Done<std::string> merged(const TextKind& kind, const store::Revision& newest,
                                       const std::optional<std::string>& base,
                                       const std::vector<job::Edit>& edits);

/// "hub.over_locknut: 100, now 110; and 1 more"
[[nodiscard]] std::string words_for(const TextKind& kind, const std::vector<job::Edit>& edits,
                                    const std::string& before);
[[nodiscard]] std::string name_in(const TextKind& kind, const std::string& text,
                                  const std::string& otherwise = "no name");

}  // namespace halfround::serve
