#include "cli/sheet_folder.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <set>

#include "cli/files.h"
#include "cli/open_file.h"
#include "cli/sheet_list.h"
#include "serve/pairing.h"

namespace halfround::cli {

namespace fs = std::filesystem;
using base::Problem;
using base::Result;
using Files = std::vector<std::pair<std::string, std::string>>;

namespace {

constexpr const char* kHidden = ".halfround-";  // and the number of the process
constexpr int kFolder = O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC;
constexpr std::size_t kMostHashed = 256 << 20;  // bytes; ours are smaller, so a larger one isn't ours

/// The folder part of a name, and what stands in it.
std::pair<std::string, std::string> parts(const std::string& name) {
  const std::size_t slash = name.find('/');
  if (slash == std::string::npos) return {"", name};
  return {name.substr(0, slash), name.substr(slash + 1)};
}

/// The folder a name lies in, below an open one; it may be that one itself.
class Below {
 public:
  Below(int folder, const std::string& part, bool make) : folder_(folder) {
    if (part.empty()) return;
    if (make) (void)::mkdirat(folder, part.c_str(), 0777);  // what matters is told when it is opened
    own_ = OpenFile(::openat(folder, part.c_str(), kFolder));
    error_ = own_.number() < 0 ? errno : 0;
    folder_ = own_.number();
  }
  [[nodiscard]] int number() const { return folder_; }
  [[nodiscard]] int error() const { return error_; }

 private:
  OpenFile own_;
  int folder_, error_ = 0;
};

/// A file of the folder; nothing where there is none. A link, a folder or a device has no bytes of ours: "".
std::optional<std::string> bytes_in(int folder, const std::string& name) {
  struct stat s {};
  if (::fstatat(folder, name.c_str(), &s, AT_SYMLINK_NOFOLLOW) != 0) return std::nullopt;
  const OpenFile file(::openat(folder, name.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
  if (file.number() < 0 || ::fstat(file.number(), &s) != 0 || !S_ISREG(s.st_mode)) return "";
  auto text = bytes_of(file.number(), static_cast<std::uintmax_t>(s.st_size), kMostHashed);
  return text ? std::move(*text) : "";
}

class Writer {
 public:
  Writer(const std::string& folder, const Files& files) : folder_(folder), files_(files) {
    for (const auto& [name, bytes] : files) {
      base::check(is_sheet_name(name), "a file lies in the folder or one below it");
      fresh_[name].insert(serve::hash_of(bytes));
    }
  }

  Result<SheetsWritten> run() {
    if (auto fine = enter(); !fine) return tl::unexpected(std::move(fine.error()));
    if (auto fine = read_lists(); !fine) return tl::unexpected(std::move(fine.error()));
    if (auto fine = nothing_in_the_way(); !fine) return tl::unexpected(std::move(fine.error()));
    const std::string hidden = kHidden + std::to_string(::getpid());
    int error = write_beside(hidden);
    if (error == 0) error = exchange();
    std::error_code ignored;
    fs::remove_all(fs::path(folder_) / hidden, ignored);
    if (error != 0) return tl::unexpected(unwritable(folder_, std::strerror(error)));
    return std::move(out_);
  }

 private:
  /// Alone in the folder; what killed runs hid there is gone.
  Result<void> enter() {
    std::error_code error;
    fs::create_directories(folder_, error);
    if (error) return tl::unexpected(unwritable(folder_, error.message()));
    top_ = OpenFile(::open(folder_.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (top_.number() < 0) return tl::unexpected(unwritable(folder_, std::strerror(errno)));
    if (::flock(top_.number(), LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK)
      return tl::unexpected(unwritable(folder_, "another halfround is writing its sheets there"));
    std::vector<fs::path> stale;
    for (const auto& entry : fs::directory_iterator(folder_, error)) {
      const std::string name = entry.path().filename().string();
      if (!name.starts_with(kHidden) || entry.is_symlink(error)) continue;
      const std::string number = name.substr(std::strlen(kHidden));
      if (!number.empty() && number.find_first_not_of("0123456789") == std::string::npos)
        stale.push_back(entry.path());
    }
    for (const fs::path& path : stale) fs::remove_all(path, error);
    return {};
  }

  /// What is ours in it.
  Result<void> read_lists() {
    for (const char* name : {kList, kIncomplete}) {
      const auto text = bytes_in(top_.number(), name);
      if (!text) continue;
      const auto sheets = listed(*text);
      if (!sheets)
        return tl::unexpected(
            Problem{"folder-foreign",
                    {(fs::path(folder_) / name).string(), 0, 0, ""},
                    "is no list of ours, so what else lies there may be somebody's; all was left alone.",
                    "Give another folder with -o, or move the list elsewhere."});
      for (const auto& [sheet, hashes] : *sheets) ours_[sheet].insert(hashes.begin(), hashes.end());
      out_.was_incomplete = out_.was_incomplete || name == std::string(kIncomplete);
    }
    return {};
  }

  [[nodiscard]] bool is_ours(const std::string& name, const std::string& hash) const {
    const auto at = ours_.find(name);
    return at != ours_.end() && at->second.contains(hash);
  }

  Result<void> nothing_in_the_way() const {
    for (const auto& [name, hashes] : fresh_) {
      const auto [part, file] = parts(name);
      const Below in(top_.number(), part, false);
      if (in.error() == ENOENT) continue;
      if (in.error() != 0)
        return tl::unexpected(Problem{"folder-foreign",
                                      {(fs::path(folder_) / part).string(), 0, 0, ""},
                                      "is a link or no folder; sheets are not written through it.",
                                      "Give another folder with -o, or move it elsewhere."});
      const auto there = bytes_in(in.number(), file);
      if (!there) continue;
      const std::string hash = serve::hash_of(*there);
      if (is_ours(name, hash) || hashes.contains(hash)) continue;
      return tl::unexpected(Problem{"file-exists",
                                    {(fs::path(folder_) / name).string(), 0, 0, ""},
                                    "is not one of our sheets, or was changed since; all was left alone.",
                                    "Move it elsewhere, or give another folder with -o."});
    }
    return {};
  }

  [[nodiscard]] int write_beside(const std::string& hidden) {
    if (::mkdirat(top_.number(), hidden.c_str(), 0777) != 0) return errno;
    hidden_ = OpenFile(::openat(top_.number(), hidden.c_str(), kFolder));
    if (hidden_.number() < 0) return errno;
    for (const auto& [name, bytes] : files_) {
      const auto [part, file] = parts(name);
      const Below in(hidden_.number(), part, true);
      if (in.error() != 0) return in.error();
      if (const int error = write_new(in.number(), file, bytes)) return error;
    }
    SheetHashes both = ours_;
    for (const auto& [name, hashes] : fresh_) both[name].insert(hashes.begin(), hashes.end());
    const std::string told =
        "NOT A WHOLE SET of sheets: halfround was stopped while it exchanged them, so some are of an older "
        "state "
        "of the job. Don't use them: run `halfround make` again. What may be among them:";
    if (const int error = write_new(hidden_.number(), kIncomplete, list_text(told, both))) return error;
    return write_new(hidden_.number(), kList,
                     list_text("the sheets of one run; `sha256sum -c sheets.txt` checks them", fresh_));
  }

  [[nodiscard]] int moved(const std::string& name) const {
    const auto [part, file] = parts(name);
    const Below from(hidden_.number(), part, false), to(top_.number(), part, true);
    if (from.error() != 0 || to.error() != 0) return from.error() != 0 ? from.error() : to.error();
    return ::renameat(from.number(), file.c_str(), to.number(), file.c_str()) == 0 ? 0 : errno;
  }

  /// From here on the folder says so itself until all is in its place.
  [[nodiscard]] int exchange() {
    if (const int error = moved(kIncomplete)) return error;
    for (const auto& [name, bytes] : files_)
      if (const int error = moved(name)) return error;
    for (const auto& [name, hashes] : ours_)
      if (!fresh_.contains(name)) remove_old(name, hashes);
    if (const int error = moved(kList)) return error;
    return ::unlinkat(top_.number(), kIncomplete, 0) == 0 ? 0 : errno;
  }

  void remove_old(const std::string& name, const std::set<std::string>& hashes) {
    const auto [part, file] = parts(name);
    {
      const Below in(top_.number(), part, false);
      if (in.error() != 0) return;
      const auto there = bytes_in(in.number(), file);
      if (!there) return;
      if (!hashes.contains(serve::hash_of(*there))) {
        out_.left.push_back(name);
        return;
      }
      (void)::unlinkat(in.number(), file.c_str(), 0);
    }
    // its folder too, where nothing else lies in it
    if (!part.empty()) (void)::unlinkat(top_.number(), part.c_str(), AT_REMOVEDIR);
  }

  const std::string& folder_;
  const Files& files_;
  SheetHashes fresh_, ours_;
  OpenFile top_, hidden_;
  SheetsWritten out_;
};

}  // namespace

Result<SheetsWritten> write_sheets(const std::string& folder, const Files& files) {
  return Writer(folder, files).run();
}

}  // namespace halfround::cli
