#include "job/revision_words.h"

#include <fmt/format.h>

#include "job/solve.h"

namespace halfround::job {

std::string revision_words(std::int64_t number, std::string_view text) {
  const std::string mark = revision_of(text);
  return number > 0 ? fmt::format("{} ({})", number, mark) : mark;
}

}  // namespace halfround::job
