#include "serve/solid_worker.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <unistd.h>

#include <charconv>
#include <utility>
#include <vector>

#include "job/read.h"
#include "solid/solid.h"
#include "solve/solve.h"

namespace halfround::serve {

using base::Problem;
using base::Result;

namespace {

constexpr unsigned kAlarm = 120;             // s; then the process ends itself, whoever started it
constexpr rlim_t kMemory = rlim_t{4} << 30;  // bytes of address space
constexpr std::size_t kMostText = 2'000'000;

std::string words_of(const Problem& p) {
  return p.code + '\0' + p.where.key + '\0' + p.what + '\0' + p.fits;
}

Result<std::string> made(solid::Shelf& shelf, const std::string& word, const std::string& text) {
  const auto job = job::read_job(text, "job");
  if (!job) return tl::unexpected(job.error().front());
  const auto answer = solve::laid_out(*job);
  if (!answer) return tl::unexpected(answer.error());
  const bike::Assembly& fork = answer->fork.assembly;
  const auto parts = solid::solids(fork, answer->mitres, shelf);
  if (!parts) return tl::unexpected(parts.error());
  if (word == word_of(SolidFile::step)) return solid::to_step(*parts, fork.frame);
  if (word == word_of(SolidFile::glb)) {
    if (const auto sound = solid::sound(*parts); !sound) return tl::unexpected(sound.error());
  }
  return solid::to_glb(*parts, fork.frame);
}

/// False where nobody listens any more.
bool write_all(int to, const std::string& bytes) {
  std::size_t done = 0;
  while (done < bytes.size()) {
    const ssize_t n = ::write(to, bytes.data() + done, bytes.size() - done);
    if (n <= 0) return false;
    done += static_cast<std::size_t>(n);
  }
  return true;
}

/// The next message's word and body.
std::optional<std::pair<std::string, std::string>> next(int from) {
  std::string text;
  std::optional<Framed> head;
  while (!head || text.size() < head->begins + head->bytes) {
    char block[65536];
    const ssize_t n = ::read(from, block, sizeof block);
    if (n <= 0) return std::nullopt;
    text.append(block, static_cast<std::size_t>(n));
    if (!head) head = framed(text);
    if (text.size() > kMostText) return std::nullopt;
  }
  return std::pair{head->kind, text.substr(head->begins, head->bytes)};
}

}  // namespace

std::string word_of(SolidFile file) {
  switch (file) {
    case SolidFile::step:
      return "step";
    case SolidFile::glb:
      return "glb";
    case SolidFile::view:
      return "view";
  }
  return "";
}

std::string frame(const std::string& word, const std::string& body) {
  return fmt::format("{} {}\n", word, body.size()) + body;
}

std::optional<Framed> framed(const std::string& text) {
  const std::size_t line = text.find('\n');
  if (line == std::string::npos) return std::nullopt;
  const std::size_t space = text.find(' ');
  Framed out{text.substr(0, space), line + 1, 0};
  if (space < line) std::from_chars(text.data() + space + 1, text.data() + line, out.bytes);
  return out;
}

Problem problem_from(const std::string& body) {
  std::vector<std::string> words{""};
  for (const char c : body) {
    if (c == '\0')
      words.emplace_back();
    else
      words.back() += c;
  }
  words.resize(4);
  return {words[0], {"", 0, 0, words[1]}, words[2], words[3]};
}

int solid_worker() {
  const int socket = ::dup(0), nothing = ::open("/dev/null", O_RDWR);
  if (socket < 0 || nothing < 0) return 1;
  ::dup2(nothing, 0), ::dup2(nothing, 1);
#ifndef __SANITIZE_ADDRESS__
  const rlimit memory{kMemory, kMemory};
  ::setrlimit(RLIMIT_AS, &memory);
#endif
  solid::Shelf shelf;
  while (const auto asked = next(socket)) {
    ::alarm(kAlarm);
    const auto file = made(shelf, asked->first, asked->second);
    const bool heard =
        write_all(socket, file ? frame(kMade, *file) : frame(kRefused, words_of(file.error())));
    ::alarm(0);
    if (!heard) break;
  }
  return 0;
}

}  // namespace halfround::serve
