#include "cli/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

#include "cli/open_file.h"

namespace halfround::cli {

using base::Problem;
using base::Result;

namespace {

tl::unexpected<Problem> unreadable(const std::string& path, const std::string& why) {
  return tl::unexpected(Problem{"file-unreadable",
                                {path, 0, 0, ""},
                                fmt::format("could not be read: {}.", why),
                                "Give the path of a file, or '-' for standard input."});
}
tl::unexpected<Problem> too_big(const std::string& path, std::uintmax_t most, const std::string& is) {
  return tl::unexpected(Problem{"file-too-big",
                                {path, 0, 0, ""},
                                fmt::format("is {}; at most {} MB are read.", is, most >> 20),
                                "Give a smaller file: a job is a few kB, a traced curve some hundred."});
}

/// What else stands there; "" for a plain file.
std::string no_file(const struct stat& s) {
  if (S_ISREG(s.st_mode)) return "";
  if (S_ISDIR(s.st_mode)) return "it is a folder";
  if (S_ISFIFO(s.st_mode)) return "it is a pipe; give '-' and let it come by standard input";
  if (S_ISSOCK(s.st_mode)) return "it is a socket";
  return "it is a device";
}

}  // namespace

Problem there_already(const std::string& path) {
  return {"file-exists", {path, 0, 0, ""}, "is there already and was left alone.", "Give another name."};
}

Problem unwritable(const std::string& path, const std::string& why) {
  return {"folder-unwritable",
          {path, 0, 0, ""},
          fmt::format("could not be written: {}.", why),
          "Give a folder you may write to with -o."};
}

Result<std::string> read_file(const std::string& path, std::uintmax_t most) {
  const bool standard = path == "-";
  const std::string name = standard ? "standard input" : path;
  // not waiting for a writer that a pipe may never have
  const OpenFile own(standard ? -1 : ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY));
  const int file = standard ? STDIN_FILENO : own.number();
  if (file < 0) return unreadable(name, errno == ENOENT ? "there is no such file" : std::strerror(errno));
  struct stat s {};
  if (::fstat(file, &s) != 0) return unreadable(name, std::strerror(errno));
  if (const std::string what = no_file(s); !standard && !what.empty()) return unreadable(name, what);
  const auto size = S_ISREG(s.st_mode) ? static_cast<std::uintmax_t>(s.st_size) : 0;
  if (size > most) return too_big(name, most, fmt::format("{} MB large", size >> 20));
  auto text = bytes_of(file, size, most);
  if (!text) return unreadable(name, std::strerror(text.error()));
  if (text->size() > most) return too_big(name, most, fmt::format("larger than {} MB", most >> 20));
  return std::move(*text);
}

Result<void> write_text(const std::string& path, const std::string& bytes, There there) {
  std::string beside;
  int error = EEXIST;
  for (int n = 0; n < 100 && error == EEXIST; ++n) {
    beside = fmt::format("{}.{}-{}.part", path, ::getpid(), n);
    error = write_new(AT_FDCWD, beside, bytes);
  }
  if (error == 0) {
    error = there == There::left_alone                       ? rename_beside(AT_FDCWD, beside, AT_FDCWD, path)
            : std::rename(beside.c_str(), path.c_str()) == 0 ? 0
                                                             : errno;
    if (error != 0) ::unlink(beside.c_str());
  }
  if (error == EEXIST) return tl::unexpected(there_already(path));
  if (error != 0) return tl::unexpected(unwritable(path, std::strerror(error)));
  return {};
}

}  // namespace halfround::cli
