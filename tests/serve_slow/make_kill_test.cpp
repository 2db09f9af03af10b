// `halfround make` killed while it exchanges its sheets, 100 times or HALFROUND_MAKE_KILLS: the folder has
// the sheets of one revision, or says that it hasn't.
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <set>
#include <sstream>
#include <thread>

#include "serve/pairing.h"

namespace halfround::serve {
namespace {

namespace fs = std::filesystem;

std::string text_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

pid_t making(const std::string& job, const std::string& sheets) {
  const pid_t child = ::fork();
  if (child != 0) return child;
  if (!std::freopen("/dev/null", "w", stdout)) ::_exit(126);
  if (!std::freopen("/dev/null", "w", stderr)) ::_exit(126);
  ::execl(BINARY_DIR "/bin/halfround", "halfround", "make", job.c_str(), "-o", sheets.c_str(), "--no-solids",
          nullptr);
  ::_exit(127);
}

/// Its hidden folder stands there: from now on it writes.
bool writes(const fs::path& sheets, pid_t program) {
  return fs::exists(sheets / (".halfround-" + std::to_string(program)));
}

bool hidden_left(const fs::path& sheets) {
  for (const auto& entry : fs::directory_iterator(sheets))
    if (entry.path().filename().string().starts_with(".")) return true;
  return false;
}

/// Files that are not as the list has them, or not in it.
int mixed(const fs::path& sheets) {
  std::istringstream list(text_of(sheets / "sheets.txt"));
  std::set<std::string> names{"sheets.txt"};
  int off = 0;
  for (std::string line; std::getline(list, line);) {
    if (line.starts_with("#")) continue;
    names.insert(line.substr(66));
    off += hash_of(text_of(sheets / line.substr(66))) != line.substr(0, 64);
  }
  for (const auto& entry : fs::recursive_directory_iterator(sheets)) {
    const std::string name = fs::relative(entry.path(), sheets).string();
    if (entry.is_regular_file() && !name.starts_with(".halfround-")) off += !names.contains(name);
  }
  return off;
}

TEST(MakeKill, AHundredTimesLeavesNoMixedFolderThatDoesNotSaySo) {
  const char* said = std::getenv("HALFROUND_MAKE_KILLS");
  const int kills = said != nullptr ? std::atoi(said) : 100;
  const fs::path folder = fs::temp_directory_path() / ("halfround-make-kill-" + std::to_string(::getpid()));
  fs::remove_all(folder);
  fs::create_directories(folder);
  const std::string sheets = (folder / "sheets").string(),
                    text = text_of(SOURCE_DIR "/examples/island-mail/fork.toml");
  std::mt19937 random(20261130);
  int whole = 0, marked = 0, off = 0, late = 0;
  for (int n = 0; n < kills; ++n) {
    // another revision, and another set of names, each time
    const std::string job = (folder / (std::to_string(n % 2) + ".toml")).string();
    std::string other = text + "# " + std::to_string(n) + "\n";
    if (n % 2 == 1) other.replace(other.find("paper = \"A4\""), 12, "paper = \"Letter\"");
    std::ofstream(job) << other;
    const pid_t child = making(job, sheets);
    int status = 0;
    pid_t over = 0;
    while (!writes(sheets, child) && (over = ::waitpid(child, &status, WNOHANG)) == 0)
      std::this_thread::sleep_for(std::chrono::microseconds(200));
    if (over == 0) {
      std::this_thread::sleep_for(
          std::chrono::microseconds(std::uniform_int_distribution<>(0, 40'000)(random)));
      ::kill(child, SIGKILL);
      ::waitpid(child, &status, 0);
    }
    late += WIFEXITED(status);
    if (WIFEXITED(status)) {
      ASSERT_EQ(WEXITSTATUS(status), 0) << n;
    }
    if (fs::exists(sheets + "/INCOMPLETE.txt"))
      ++marked;
    else if (fs::exists(sheets + "/sheets.txt"))
      mixed(sheets) == 0 ? ++whole : ++off;
  }
  int status = 0;
  ::waitpid(making((folder / "0.toml").string(), sheets), &status, 0);
  EXPECT_EQ(WEXITSTATUS(status), 0);
  EXPECT_FALSE(fs::exists(sheets + "/INCOMPLETE.txt"));
  EXPECT_EQ(mixed(sheets), 0);
  EXPECT_FALSE(hidden_left(sheets)) << "hidden folders of killed runs are left";
  std::cout << kills << " kills of make: " << whole << " left one set, " << marked
            << " a set marked incomplete, " << off << " were mixed without saying so; " << late
            << " were done before the kill came\n";
  EXPECT_EQ(off, 0);
  fs::remove_all(folder);
}

}  // namespace
}  // namespace halfround::serve
