// What the documents show of the command's output is what the command prints. A sample is a code block with a
// comment above it that holds the shell lines which make it:
//
//     <!-- run: show halfround check tests/jobs/v1/worked-fork.toml | head -9 -->
//
//     $ halfround check tests/jobs/v1/worked-fork.toml        (the block: all that the lines print)
//
// They run in a folder of their own with examples/ and tests/ beside them; `show` prints the command as typed
// and then what it says, standard error as well; only what it says goes through a pipe behind it.
// HALFROUND_ACCEPT=1 writes what is printed now into the documents.
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace halfround::cli {
namespace {

namespace fs = std::filesystem;

const fs::path kSource = SOURCE_DIR;

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) out.push_back(line);
  return out;
}

std::string read(const fs::path& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

/// Every page a reader meets.
std::vector<fs::path> documents() {
  std::vector<fs::path> out{kSource / "README.md"};
  for (const fs::path& folder : {kSource / "docs", kSource / "examples"})
    for (const auto& entry : fs::recursive_directory_iterator(folder))
      if (entry.path().extension() == ".md") out.push_back(entry.path());
  std::ranges::sort(out);
  return out;
}

/// The folder in which samples run; gone with this.
class Bench {
 public:
  Bench() : folder_(fs::temp_directory_path() / ("halfround-samples-" + std::to_string(::getpid()))) {
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    for (const char* name : {"examples", "tests", "docs"})
      fs::create_directory_symlink(kSource / name, folder_ / name);
  }
  ~Bench() { fs::remove_all(folder_); }
  Bench(const Bench&) = delete;
  Bench& operator=(const Bench&) = delete;

  /// What the shell lines print.
  [[nodiscard]] std::string run(const std::string& script) const {
    const fs::path file = folder_ / ".run.sh";
    std::ofstream(file)
        << "cd '" << folder_.string() << "'\n"
        << "PATH='" BINARY_DIR "/bin':\"$PATH\" XDG_DATA_HOME='" << folder_.string()
        << "/data' LC_ALL=C.UTF-8\nexport PATH XDG_DATA_HOME LC_ALL\n"
        << "exec 3>&1\nshow() { printf '$' >&3; for word; do case $word in *' '*) printf ' \"%s\"' "
           "\"$word\" >&3;; *) printf ' %s' \"$word\" >&3;; esac; done; echo >&3; \"$@\" "
           "2>&1; }\n"
        << script << "\n";
    std::string out;
    FILE* pipe = ::popen(("sh '" + file.string() + "' 2>&1").c_str(), "r");
    if (!pipe) return "the shell can't be started";
    char block[4096];
    for (std::size_t n; (n = std::fread(block, 1, sizeof block, pipe)) > 0;) out.append(block, n);
    ::pclose(pipe);
    return out;
  }

 private:
  fs::path folder_;
};

/// A document with every sample as it is printed now.
std::string with_samples(const std::string& text, const Bench& bench, int& count) {
  const std::vector<std::string> lines = lines_of(text);
  std::string out;
  const std::string opens = "<!-- run:", closes = "-->";
  for (std::size_t i = 0; i < lines.size(); ++i) {
    out += lines[i] + "\n";
    if (!lines[i].starts_with(opens)) continue;
    std::string script = lines[i].substr(opens.size());
    while (script.find(closes) == std::string::npos && i + 1 < lines.size()) {
      out += lines[++i] + "\n";
      script += "\n" + lines[i];
    }
    script.resize(script.rfind(closes));
    // the block that stands there now
    ++i;
    while (i < lines.size() && lines[i].empty()) ++i;
    std::size_t end = i, last = i;
    for (; end < lines.size() && (lines[end].empty() || lines[end].starts_with("    ")); ++end)
      if (!lines[end].empty()) last = end + 1;
    out += "\n";
    for (std::string line : lines_of(bench.run(script))) {
      line.resize(line.find_last_not_of(' ') + 1);  // a wrapped line ends with a blank
      out += line.empty() ? "\n" : "    " + line + "\n";
    }
    i = last - 1;
    ++count;
  }
  return out;
}

TEST(Documents, SamplesAreWhatTheCommandPrints) {
  const Bench bench;
  int count = 0;
  for (const fs::path& path : documents()) {
    const std::string text = read(path);
    if (text.find("<!-- run:") == std::string::npos) continue;
    const std::string now = with_samples(text, bench, count);
    if (now == text) continue;
    if (std::getenv("HALFROUND_ACCEPT")) {
      std::ofstream(path, std::ios::binary) << now;
      continue;
    }
    const auto was = lines_of(text), is = lines_of(now);
    std::size_t first = 0;
    while (first < was.size() && first < is.size() && was[first] == is[first]) ++first;
    ADD_FAILURE()
        << fs::relative(path, kSource).string() << ", line " << first + 1 << " shows\n  "
        << (first < was.size() ? was[first] : "(nothing more)") << "\nand the command prints\n  "
        << (first < is.size() ? is[first] : "(nothing more)")
        << "\nLook at it; HALFROUND_ACCEPT=1 build/bin/test_cli --gtest_filter=Documents.* writes what is "
           "printed now.";
  }
  EXPECT_GE(count, 8) << "samples are marked with <!-- run: ... -->";
}

}  // namespace
}  // namespace halfround::cli
