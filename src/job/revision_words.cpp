#include "job/revision_words.h"

#include <fmt/format.h>

#include "base/text_mark.h"

namespace halfround::job {

std::string revision_of(std::string_view text) {
  return base::text_mark(text);
}

std::string revision_words(std::int64_t number, std::string_view text) {
  const std::string mark = revision_of(text);
  return number > 0 ? fmt::format("{} ({})", number, mark) : mark;
}

}  // namespace halfround::job
