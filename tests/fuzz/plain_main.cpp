// A fuzz target without clang, coverage and sanitizers: inputs of its corpora, changed at random, many times
// as quick as under libFuzzer, whose own finds make the best corpus for it.
//   fuzz_plain_NAME EXECUTIONS LONGEST FOLDER...      the input that ended it goes to found-NAME
#include <fcntl.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "serve_fuzz/changed.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

std::string now;  // the input at work
std::string found;
volatile std::sig_atomic_t stopped = 0;

void keep() {
  const int file = ::open(found.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  const bool kept = file >= 0 && ::write(file, now.data(), now.size()) >= 0;
  const std::string said = (kept ? "the input is in " : "the input could not be kept in ") + found + "\n";
  (void)!::write(2, said.data(), said.size());
}

void ended_by(int signal) {
  keep();
  std::_Exit(128 + signal);
}

std::vector<std::string> inputs(int count, char** folders, std::size_t longest) {
  std::vector<std::string> out;
  for (int i = 0; i < count; ++i) {
    for (const auto& e : std::filesystem::directory_iterator(folders[i])) {
      std::ostringstream text;
      text << std::ifstream(e.path(), std::ios::binary).rdbuf();
      if (text.str().size() <= longest) out.push_back(text.str());
    }
  }
  return out;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 4) return std::printf("%s EXECUTIONS LONGEST FOLDER...\n", argv[0]), 2;
  const long executions = std::strtol(argv[1], nullptr, 10);
  const auto longest = static_cast<std::size_t>(std::strtol(argv[2], nullptr, 10));
  found = "found-" + std::filesystem::path(argv[0]).filename().string();
  const auto all = inputs(argc - 3, argv + 3, longest);
  if (all.empty()) return std::printf("nothing to begin with\n"), 2;
  for (const int signal : {SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT}) std::signal(signal, ended_by);
  halfround::serve::Random random(20261201);
  const auto start = std::chrono::steady_clock::now();
  for (const int signal : {SIGINT, SIGTERM}) std::signal(signal, [](int) { stopped = 1; });
  long i = 0;
  for (; i < executions && stopped == 0; ++i) {
    const std::string& seed = all[halfround::serve::below(random, all.size())];
    now = halfround::serve::changed(seed, all, random).substr(0, longest);
    try {
      (void)LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(now.data()), now.size());
    } catch (const std::exception& e) {
      std::fprintf(stderr, "execution %ld: %s\n", i, e.what());
      keep();
      return 1;
    }
  }
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  std::printf("%ld executions from %zu inputs in %.0f s\n", i, all.size(), took.count());
}
