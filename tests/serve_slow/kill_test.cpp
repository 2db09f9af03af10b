// The server killed while it is being edited, 200 times or HALFROUND_KILLS: no accepted edit, undo, ticked
// step or log line is lost, the store opens, the history is whole.
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <random>
#include <set>
#include <thread>

#include "serve/client.h"
#include "store/store.h"

namespace halfround::serve {
namespace {

using Json = nlohmann::json;
constexpr unsigned short kPort = 18711;

/// The program itself, on a store.
class Program {
 public:
  explicit Program(const std::string& data) : pid_(::fork()) {
    if (pid_ != 0) return;
    const std::string port = std::to_string(kPort);
    if (!std::freopen("/dev/null", "w", stdout)) ::_exit(126);
    ::execl(BINARY_DIR "/bin/halfround", "halfround", "serve", "--port", port.c_str(), "--data", data.c_str(),
            nullptr);
    ::_exit(127);
  }
  ~Program() { kill(); }
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;
  void kill() {
    if (pid_ <= 0) return;
    ::kill(pid_, SIGKILL);
    ::waitpid(pid_, nullptr, 0);
    pid_ = 0;
  }
  [[nodiscard]] static bool ready() {
    for (int i = 0; i < 500; ++i) {
      if (Client(kPort).open()) return true;
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    return false;
  }

 private:
  pid_t pid_;
};

int kills() {
  const char* said = std::getenv("HALFROUND_KILLS");
  return said != nullptr ? std::atoi(said) : 200;
}

/// Ticks and log lines that were answered, sent by another device at the same time.
class SecondDevice {
 public:
  SecondDevice(const std::string& job, int round) : thread_([this, job, round] { run(job, round); }) {}
  /// Once the server is gone.
  void join() { thread_.join(); }
  std::vector<std::string> ticked, logged;

 private:
  void run(const std::string& job, int round) {
    Client c(kPort);
    for (int n = 0;; ++n) {
      const std::string name = std::to_string(round) + "-" + std::to_string(n);
      const Json tick{{"step", "step " + name}, {"done", true}, {"who", "I"}};
      if (c.ask("POST", "/api/jobs/" + job + "/steps", tick.dump()).status != 200) return;
      ticked.push_back("step " + name);
      const Json row{{"who", "I"}, {"what", name}, {"key", ""}, {"typed", ""}};
      if (c.ask("POST", "/api/jobs/" + job + "/log", row.dump()).status != 200) return;
      logged.push_back(name);
    }
  }
  std::thread thread_;
};

TEST(Kill, ManyTimesUnderLoadLosesNoAcceptedChange) {
  const auto folder =
      std::filesystem::temp_directory_path() / ("halfround-kill-" + std::to_string(::getpid()));
  std::filesystem::remove_all(folder);
  std::mt19937 random(20261127);
  std::string id;
  std::int64_t accepted = 1, edits = 0;  // the newest revision we were told of
  double value = 100;                    // and its width
  std::size_t ticks = 0, lines = 0;      // answered
  std::set<std::string> lost;
  for (int round = 0; round < kills(); ++round) {
    Program program(folder);
    ASSERT_TRUE(Program::ready()) << round;
    Client c(kPort);
    if (id.empty()) id = Json::parse(c.ask("GET", "/api/jobs").body)[0]["id"];
    const Json job = Json::parse(c.ask("GET", "/api/jobs/" + id).body);
    // one more may have been saved whose answer was cut off
    ASSERT_GE(job["revision"].get<std::int64_t>(), accepted) << round;
    ASSERT_LE(job["revision"].get<std::int64_t>(), accepted + 1) << round;
    const std::string text = job["toml"];
    const double there = std::stod(text.substr(text.find("over_locknut = ") + 15));
    ASSERT_NEAR(there, job["revision"] == accepted ? value : value + 0.01, 1e-9) << round;
    accepted = job["revision"], value = there;
    SecondDevice second(id, round);
    std::thread killer([&, wait = std::uniform_int_distribution<>(1, 250)(random)] {
      std::this_thread::sleep_for(std::chrono::milliseconds(wait));
      program.kill();
    });
    for (;;) {
      const std::string next = std::to_string(value + 0.01);
      const Json body{{"base", accepted}, {"edits", {{{"key", "hub.over_locknut"}, {"typed", next}}}}};
      const Answered a = c.ask("POST", "/api/jobs/" + id + "/edits", body.dump());
      if (a.status != 200) break;
      accepted = Json::parse(a.body)["revision"], value = std::stod(next), ++edits;
    }
    killer.join();
    second.join();
    ticks += second.ticked.size(), lines += second.logged.size();
    // what this round was told is there, before the next one
    const auto store = store::Store::open(folder);
    ASSERT_TRUE(store) << round << base::sentence(store.error());
    std::set<std::string> there_now;
    const auto steps = (*store)->ticks_of(id);
    for (const store::Tick& t : *steps) there_now.insert(t.step);
    const auto rows = (*store)->log_of(id);
    for (const store::LogRow& row : *rows) there_now.insert(row.what);
    for (const auto* all : {&second.ticked, &second.logged})
      for (const std::string& name : *all)
        if (!there_now.contains(name)) lost.insert(name);
  }
  EXPECT_TRUE(lost.empty()) << *lost.begin();
  Program program(folder);
  ASSERT_TRUE(Program::ready());
  Client c(kPort);
  const Json history = Json::parse(c.ask("GET", "/api/jobs/" + id + "/revisions").body);
  for (std::size_t i = 1; i < history.size(); ++i)
    EXPECT_EQ(history[i - 1]["revision"].get<int>(), history[i]["revision"].get<int>() + 1);
  std::cout << edits << " edits, " << ticks << " ticked steps and " << lines << " log lines accepted over "
            << kills() << " kills, " << lost.size() << " lost, newest revision " << accepted << "\n";
  EXPECT_GT(edits + static_cast<std::int64_t>(ticks + lines), kills());
  program.kill();
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace halfround::serve
