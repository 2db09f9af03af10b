// Jobs by name: a file, standard input, or the builder's book, which is the store that `halfround serve`
// keeps.
#pragma once

#include <cstdint>
#include <iosfwd>
#include <optional>
#include <string>
#include <utility>

#include "base/result.h"

namespace halfround::cli {

/// A job as the builder names it: a path, "-" for standard input, "book:NAME" or "book:ID".
struct JobName {
  JobName(std::string p, std::string d = "") : path(std::move(p)), data(std::move(d)) {}
  JobName(const char* p) : path(p) {}
  std::string path;
  std::string data;  ///< the folder of the book; "": the user's own
};

/// Where the user's programs keep their data [source: XDG Base Directory Specification, from memory].
[[nodiscard]] std::string data_folder();

[[nodiscard]] bool in_book(const std::string& path);

struct JobText {
  std::string text;
  std::optional<std::string> shop{};  ///< text of the book's shop, where the job is in a book that has one
  std::int64_t revision = 0;          ///< its number in the book; 0 for a file
};

/// The newest text of a job. The book is left as it is.
///   fails  those of read_file; for a book those of Store::open, no-such-job, name-twice
[[nodiscard]] base::Result<JobText> read_job_text(const JobName& name);

/// A new job in the book, begun if there is none.
///   in     name  of the new job, without "book:"; the text is told it;  what  its first entry in the history
///   fails  name-taken, those of Store::open and edited_text
[[nodiscard]] base::Result<void> keep_text(const JobName& name, const std::string& text,
                                           const std::string& what);

/// `halfround jobs`. Returns its exit code (cli/commands.h), as the next does.
[[nodiscard]] int jobs(const std::string& data, bool json, std::ostream& out, std::ostream& err);
/// `halfround jobs backup`: the whole book into a new file.
[[nodiscard]] int backup(const std::string& file, const std::string& data, std::ostream& out,
                         std::ostream& err);
/// `halfround jobs restore`: a backup in the book's place.
[[nodiscard]] int restore(const std::string& file, const std::string& data, std::ostream& out,
                          std::ostream& err);
/// `halfround keep`: a file into the book.
///   in  name  "": the job's own
[[nodiscard]] int keep(const std::string& path, const std::string& name, const std::string& data,
                       std::ostream& out, std::ostream& err);

}  // namespace halfround::cli
