// The other end of SolidMaker: a process that reads jobs and answers with files, one after the other, until
// nobody listens. A message is a line "word bytes" and so many bytes.
#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "base/result.h"
#include "serve/solid_maker.h"

namespace halfround::serve {

/// The command's word that starts it; nothing for a builder to type.
inline constexpr const char* kSolidsWord = "solids-worker";
inline constexpr const char* kMade = "made";
inline constexpr const char* kRefused = "refused";

[[nodiscard]] std::string word_of(SolidFile file);
[[nodiscard]] std::string frame(const std::string& word, const std::string& body);
/// The head of a message; nothing while its line is not complete.
struct Framed {
  std::string kind;
  std::size_t begins = 0, bytes = 0;  ///< of the body
};
[[nodiscard]] std::optional<Framed> framed(const std::string& text);
[[nodiscard]] base::Problem problem_from(const std::string& body);

/// Serves standard input, a socket; takes standard output away from whatever else would write there.
[[nodiscard]] int solid_worker();

}  // namespace halfround::serve
