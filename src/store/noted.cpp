#include "store/noted.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <charconv>
#include <string>

namespace halfround::store {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t kDigits =
    19;  // always as many, so that one write puts all of it in the place of the last

}  // namespace

std::int64_t noted_in(const fs::path& folder) {
  const int file = ::open((folder / kNoted).c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
  if (file < 0) return 0;
  char text[kDigits];
  const ssize_t n = ::read(file, text, sizeof text);
  ::close(file);
  std::int64_t out = 0;
  const auto [end, error] = std::from_chars(text, text + std::max<ssize_t>(n, 0), out);
  return n == sizeof text && error == std::errc{} && end == text + sizeof text ? out : 0;
}

NotedChanges::NotedChanges(const fs::path& folder)
    : file_(::open((folder / kNoted).c_str(), O_WRONLY | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600)) {
  if (file_ >= 0) (void)::fchmod(file_, 0600);
}

NotedChanges::~NotedChanges() {
  if (file_ >= 0) ::close(file_);
}

void NotedChanges::note(std::int64_t changes) const {
  const std::string text = fmt::format("{:019}\n", changes);
  if (file_ >= 0 && ::pwrite(file_, text.data(), text.size(), 0) < 0) return;
}

}  // namespace halfround::store
