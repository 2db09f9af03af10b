// The one table of a file: every key with its unit, range, default, meaning and picture. The reader, the
// starter job and the check of docs/job-file.md are made from the job's; the shop's is in shop_schema.h.
// Frame: none.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "base/quantity.h"

namespace halfround::job {

/// What stands behind a key.
enum class Form {
  length,  ///< mm, or text such as "1 1/8 in"
  angle,   ///< degrees, or text such as "72°30'"
  mass,    ///< kg, or text such as "3 lb"
  count,   ///< a whole number
  ratio,   ///< a plain number
  force,   ///< N, or text such as "80 lbf"
  text,
  choice,  ///< one of `choices`
  share,   ///< a length, or "remainder"
  either,  ///< a length or an angle: a neighbouring key says which
  list,    ///< rows or small tables; the keys of its rows are "list[].key"
};

enum class Need {
  required,
  optional,     ///< may be left out and then means nothing
  assumed,      ///< may be left out; `fallback` is taken and named as an assumption
  conditional,  ///< its section says when it is wanted
};

struct Row {
  std::string_view key;  ///< "steering.offset", "blades.stations[].width"
  Form form = Form::length;
  Need need = Need::required;
  double least = 0, most = 0;  ///< mm, degrees or kg; both ends allowed
  std::string_view fallback;   ///< as it would be typed, for Need::assumed
  std::string_view choices;    ///< "straight|along the axis", for Form::choice
  std::string_view example;    ///< a value that would fit, as typed
  std::string_view meaning;    ///< one sentence
  std::string_view picture;    ///< docs/pictures/<this>.svg
};

/// The rows of the job file.
[[nodiscard]] std::span<const Row> schema();

/// The row of a key as it stands in a file: "blades.left.stations[3].width" has the row
/// "blades.stations[].width". Null where there is none. Without `rows`, here and below: the job's.
[[nodiscard]] const Row* find_row(std::span<const Row> rows, std::string_view key);
[[nodiscard]] const Row* find_row(std::string_view key);

/// The key as the table spells it: sides and row numbers taken out.
[[nodiscard]] std::string canonical(std::string_view key);

/// True for "wheel" or "blades.left": a table that holds keys.
[[nodiscard]] bool is_section(std::span<const Row> rows, std::string_view key);
[[nodiscard]] bool is_section(std::string_view key);

/// The known key that is spelt most like `key`; empty where nothing comes near.
[[nodiscard]] std::string nearest_key(std::span<const Row> rows, std::string_view key);
[[nodiscard]] std::string nearest_key(std::string_view key);

/// "a length from 20 to 200 mm, e.g. 100": what would fit, for a sentence.
[[nodiscard]] std::string what_fits(const Row& row);

}  // namespace halfround::job
