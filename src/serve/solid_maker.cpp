#include "serve/solid_maker.h"

#include <fmt/format.h>
#include <poll.h>
#include <spawn.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <filesystem>
#include <optional>
#include <system_error>

#include "serve/solid_worker.h"

extern char** environ;

namespace halfround::serve {

using base::Problem;
using base::Result;
using Clock = std::chrono::steady_clock;

namespace {

constexpr std::size_t kRemembered = 16;  // jobs whose solids stopped the library
constexpr const char* kLeaveOut = "Use the other files, and please report the job.";

std::string name_of(SolidFile file) {
  return file == SolidFile::step ? "STEP file" : "GLB file";
}

Problem problem(const char* code, SolidFile file, const std::string& why, const char* fits = kLeaveOut) {
  return {code, {}, fmt::format("The {} of the solids is missing: {}", name_of(file), why), fits};
}

/// Waits for the socket; false: too late or broken.
bool ready(int socket, short what, Clock::time_point until) {
  while (true) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now()).count();
    if (left <= 0) return false;
    pollfd p{socket, what, 0};
    const int n = ::poll(&p, 1, static_cast<int>(left));
    if (n > 0) return true;
    if (n == 0 || errno != EINTR) return false;
  }
}

enum class Talk { done, late, broken };

Talk send_all(int socket, const std::string& bytes, Clock::time_point until) {
  std::size_t sent = 0;
  while (sent < bytes.size()) {
    if (!ready(socket, POLLOUT, until)) return Talk::late;
    const ssize_t n = ::send(socket, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL | MSG_DONTWAIT);
    if (n < 0 && (errno == EAGAIN || errno == EINTR)) continue;
    if (n <= 0) return Talk::broken;
    sent += static_cast<std::size_t>(n);
  }
  return Talk::done;
}

/// Reads on until `text` holds a whole message.
Talk take_message(int socket, Clock::time_point until, std::string& kind, std::string& body) {
  std::string text;
  std::optional<Framed> head;
  while (!head || text.size() < head->begins + head->bytes) {
    if (!ready(socket, POLLIN, until)) return Talk::late;
    char block[65536];
    const ssize_t n = ::recv(socket, block, sizeof block, MSG_DONTWAIT);
    if (n < 0 && (errno == EAGAIN || errno == EINTR)) continue;
    if (n <= 0) return Talk::broken;
    text.append(block, static_cast<std::size_t>(n));
    if (!head) head = framed(text);
    if (!head && text.size() > 100) return Talk::broken;
  }
  kind = head->kind, body = text.substr(head->begins, head->bytes);
  return Talk::done;
}

}  // namespace

std::string solids_program() {
  std::error_code ec;
  const std::filesystem::path own = std::filesystem::read_symlink("/proc/self/exe", ec);
  if (ec || own.filename().string().starts_with("halfround")) return "/proc/self/exe";
  return (own.parent_path() / "halfround").string();
}

SolidMaker::~SolidMaker() {
  end();
}

Result<void> SolidMaker::begin() {
  if (process_ > 0) return {};
  int ends[2];
  if (::socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends) != 0)
    return tl::unexpected(Problem{"solid-no-program", {}, std::generic_category().message(errno), kLeaveOut});
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, ends[1], 0);
  posix_spawn_file_actions_adddup2(&actions, ends[1], 1);
  posix_spawn_file_actions_addclosefrom_np(&actions, 3);  // callers' sockets are none of its business
  std::string word = kSolidsWord, program = program_;
  char* argv[] = {program.data(), word.data(), nullptr};
  pid_t pid = -1;
  const int failed = posix_spawn(&pid, program_.c_str(), &actions, nullptr, argv, environ);
  posix_spawn_file_actions_destroy(&actions);
  ::close(ends[1]);
  if (failed != 0) {
    ::close(ends[0]);
    return tl::unexpected(Problem{"solid-no-program",
                                  {},
                                  fmt::format("The program that makes solids, {}, could not be started: {}.",
                                              program_, std::generic_category().message(failed)),
                                  "Look whether halfround is installed whole."});
  }
  process_ = pid, socket_ = ends[0];
  return {};
}

void SolidMaker::end() {
  if (process_ <= 0) return;
  ::close(socket_);
  ::kill(process_, SIGKILL);
  while (::waitpid(process_, nullptr, 0) < 0 && errno == EINTR) {
  }
  process_ = socket_ = -1;
}

Result<std::string> SolidMaker::ask(SolidFile file, const std::string& job_text) {
  if (const auto begun = begin(); !begun) return tl::unexpected(begun.error());
  const auto until = Clock::now() + patience_;
  std::string kind, body;
  Talk talk = send_all(socket_, frame(word_of(file), job_text), until);
  if (talk == Talk::done) talk = take_message(socket_, until, kind, body);
  if (talk == Talk::done) {
    if (kind == kMade) return body;
    return tl::unexpected(problem_from(body));
  }
  end();
  if (talk == Talk::broken)
    return tl::unexpected(
        problem("solid-stopped", file, "the geometry library stopped while it worked on it."));
  return tl::unexpected(
      problem("solid-too-slow", file,
              fmt::format("the geometry library did not finish it within {:g} s and was stopped.",
                          std::chrono::duration<double>(patience_).count())));
}

Result<std::string> SolidMaker::make(SolidFile file, const std::string& job_text) {
  const std::unique_lock lock(one_, patience_);
  if (!lock.owns_lock())
    return tl::unexpected(
        problem("solid-busy", file, "other solids are being made.", "Ask again in a while."));
  const auto known = std::find_if(failed_.begin(), failed_.end(),
                                  [&](const Failed& f) { return f.file == file && f.text == job_text; });
  if (known != failed_.end()) return tl::unexpected(known->problem);
  auto out = ask(file, job_text);
  if (!out && (out.error().code == "solid-too-slow" || out.error().code == "solid-stopped")) {
    failed_.push_front({file, job_text, out.error()});
    if (failed_.size() > kRemembered) failed_.pop_back();
  }
  return out;
}

}  // namespace halfround::serve
