// `halfround import`: a traced curve as the piece of a job. Returns its exit code (cli/commands.h).
#pragma once

#include <iosfwd>
#include <string>

#include "trace/shapes.h"

namespace halfround::cli {

struct ImportWords {
  std::string as{};            ///< "blade-outline", "blade-centreline", "tyre"
  std::string units{};         ///< "mm", "in", "cm", "m"; "": the file's own
  std::string seen = "front";  ///< "front" or "side"
  std::string turn = "0";      ///< degrees
  double smooth = 0.3;         ///< mm
  bool flip = false, reverse = false;
  int curve = 0;         ///< from 1; 0: the longest
  std::string output{};  ///< NEW.toml, with NEW.pdf and NEW.svg beside it; "": the toml goes to `out`
};

/// Never over a file that is there.
[[nodiscard]] int import(const std::string& path, const ImportWords& words, std::ostream& out,
                         std::ostream& err);

}  // namespace halfround::cli
