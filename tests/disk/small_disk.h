// A disk that is really full and a folder that is really read-only, also for root: a tmpfs of a few pages in
// a mount namespace of this process, gone with it. The namespace must be entered before any thread begins,
// hence these tests have a program of their own.
#pragma once

#include <fcntl.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <string>

namespace halfround::disk {

namespace fs = std::filesystem;

inline bool written(const char* file, const std::string& text) {
  const int f = ::open(file, O_WRONLY | O_CLOEXEC);
  const bool fine = f >= 0 && ::write(f, text.data(), text.size()) == static_cast<ssize_t>(text.size());
  if (f >= 0) ::close(f);
  return fine;
}

/// Root's own mounts, or those of a user who is root among his own.
inline std::string entered() {
  const std::string user = std::to_string(::geteuid()), group = std::to_string(::getegid());
  if (::unshare(CLONE_NEWNS) != 0) {
    if (::unshare(CLONE_NEWUSER | CLONE_NEWNS) != 0)
      return std::string("no mounts of our own: ") + std::strerror(errno);
    if (!written("/proc/self/setgroups", "deny") || !written("/proc/self/uid_map", "0 " + user + " 1") ||
        !written("/proc/self/gid_map", "0 " + group + " 1"))
      return "no user namespace of our own";
  }
  if (::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0)
    return std::string("mounts can't be made private: ") + std::strerror(errno);
  return "";
}

/// Why this process may mount nothing; "" where it may.
inline const std::string& no_mounts() {
  static const std::string why = entered();
  return why;
}

class SmallDisk {
 public:
  SmallDisk(fs::path at, std::size_t kilobytes) : at_(std::move(at)), size_(kilobytes) {
    fs::create_directories(at_);
    there_ = ::mount("none", at_.c_str(), "tmpfs", 0, words().c_str()) == 0;
  }
  ~SmallDisk() {
    if (there_) ::umount2(at_.c_str(), MNT_DETACH);
    fs::remove_all(at_);
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;

  [[nodiscard]] bool there() const { return there_; }
  /// Nothing on it may be open for writing.
  [[nodiscard]] bool read_only(bool is) const {
    return ::mount("none", at_.c_str(), "tmpfs", MS_REMOUNT | (is ? MS_RDONLY : 0), words().c_str()) == 0;
  }
  [[nodiscard]] std::size_t left() const {
    struct statvfs s {};
    return ::statvfs(at_.c_str(), &s) == 0 ? s.f_bavail * s.f_bsize : 0;
  }
  /// Something else takes the room until `kilobytes` are left.
  void fill(std::size_t kilobytes = 0) const {
    std::ofstream other(at_ / "other", std::ios::app | std::ios::binary);
    const std::string page(4096, 'x');
    while (left() > kilobytes * 1024 && other.write(page.data(), 4096).flush()) continue;
  }
  void make_room() const { fs::remove(at_ / "other"); }

 private:
  [[nodiscard]] std::string words() const { return "size=" + std::to_string(size_) + "k"; }
  fs::path at_;
  std::size_t size_;
  bool there_ = false;
};

}  // namespace halfround::disk
