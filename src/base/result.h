// Three kinds of trouble, three answers (docs/problems.md): the builder's input or wish -> Problem;
// part of the answer -> data in the result; our own bug -> check(), which throws Bug in every build.
#pragma once

#include <stdexcept>
#include <string>
#include <tl/expected.hpp>
#include <utility>
#include <vector>

namespace halfround::base {

/// Where a problem stands: in a file (file, line from 1, column from 1, key) or in a study (key = member or
/// study).
struct Place {
  std::string file;
  int line = 0;    ///< 0: no line
  int column = 0;  ///< 0: no column
  std::string key;

  // Constructors, because g++ 12 destroys the strings of an aggregate inside an aggregate twice when a later
  // part of the list throws: Problem{"code", {"", 0, 0, key}, what_throws(), ""} ended the process.
  Place() = default;
  Place(std::string in_file, int at_line = 0, int at_column = 0, std::string at_key = {})
      : file(std::move(in_file)), line(at_line), column(at_column), key(std::move(at_key)) {}
};

/// A value that would work, as text to be typed at a key. Buttons type it and tests apply it; nobody reads it
/// back from a sentence.
struct Offer {
  std::string key;    ///< of the job: "wishes.clearance"
  std::string typed;  ///< "24.0 mm"
  std::string label;  ///< what it does, for a button: "tyre clearance 24.0 mm"
};

/// What went wrong with the builder's input or wish, in words for a builder.
struct Problem {
  std::string code;  ///< stable, documented in docs/problems.md: "length-expected"
  Place where;
  std::string what;                ///< one sentence with number and unit
  std::string fits;                ///< what would work; may be empty only where nothing sensible can be said
  std::vector<Offer> offers = {};  ///< the numbers in `fits`, as data: each has been tried
};
using Problems = std::vector<Problem>;

/// "island.toml, line 14, blades.stock_length: found -3 mm. Give a length above 0, e.g. 420 mm."
[[nodiscard]] std::string sentence(const Problem& problem);

template <class T, class E = Problem>
using Result = tl::expected<T, E>;

/// Our bug, never the builder's. Only main and the server's request loop catch it.
struct Bug : std::logic_error {
  using std::logic_error::logic_error;
};
inline void check(bool condition, const char* reason) {
  if (!condition) throw Bug(reason);
}

}  // namespace halfround::base
