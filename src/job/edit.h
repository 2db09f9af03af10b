// Single keys of a job's or a shop's text changed; what the builder wrote beside them stays: comments, order,
// spelling of the numbers nobody touched. Frame: none. Keys as in docs/job-file.md and docs/shop-file.md,
// rows counted from 1: "blades.stations[3].width", "wishes.right.splay", "cutters[2].diameter".
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "job/schema.h"

namespace halfround::job {

/// One key and what the builder typed for it.
struct Edit {
  std::string key;
  std::optional<std::string> typed;  ///< `28,6`, `1 1/8 in`, `100`, `[[0, 16, 16]]`; nothing: taken out
};

/// What stands behind one key.
struct Field {
  std::string key;
  std::string typed;  ///< text without its quotation marks; numbers and lists as they stand there
  int line = 0;
};

/// The text with the edits made, one after another.
///   in     text  that can be parsed;  rows  of its grammar, the job's unless they are given
///   out    a key that is there gets its new value where it stands; rows of a list that stay as they are keep
///          their comments, and a row that is gone becomes a comment where it stood in a block of its own. A
///          new key goes where it stands as a comment ("# cap = 2"), else below the last key of its section,
///          else into a section of its own at the end. A key or section that is taken out becomes a comment.
///          A key that shuts another out (wheel.tyre as text and as a section) takes its place
///   fails  toml-syntax, key-unknown, edit-list (a list that is none), edit-unplaced (no place for the key)
[[nodiscard]] base::Result<std::string> edited_text(const std::string& text, const std::vector<Edit>& edits,
                                                    const std::string& file,
                                                    std::span<const Row> rows = schema());

enum class Lists {
  whole,  ///< a list is one key
  apart,  ///< a list of named rows is taken apart: "cutters[2].diameter"
};

/// Every key of the text with a value, in the order of the text.
///   fails  those of the text's own grammar
[[nodiscard]] base::Result<std::vector<Field>> fields_of(std::string_view text, const std::string& file,
                                                         Lists lists = Lists::whole);

/// What is typed at a key; "" where nothing is.
[[nodiscard]] std::string typed_in(const std::vector<Field>& fields, std::string_view key);

/// The keys whose values differ between two texts.
[[nodiscard]] std::vector<std::string> keys_changed(const std::vector<Field>& from,
                                                    const std::vector<Field>& to);

/// What was typed as a value of the file: as it is where it can stand so, else in quotation marks.
///   in  key  a known one
[[nodiscard]] std::string value_text(std::string_view key, std::string_view typed,
                                     std::span<const Row> rows = schema());

}  // namespace halfround::job
