// Jobs in the book, from the terminal: the same texts, sheets and answers as on the page.
#include "cli/book.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <thread>

#include "cli/commands.h"
#include "cli/mend.h"
#include "cli/sheet_list.h"
#include "store/store.h"

namespace halfround::cli {
namespace {

namespace fs = std::filesystem;
const std::string kExample = SOURCE_DIR "/examples/island-mail/fork.toml";

std::string slurp(const fs::path& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

class Book : public testing::Test {
 protected:
  void SetUp() override {
    folder = fs::temp_directory_path() / ("halfround-book-" + std::to_string(::getpid()));
    fs::remove_all(folder);
    fs::create_directories(folder);
    data = (folder / "data").string();
  }
  void TearDown() override { fs::remove_all(folder); }
  int kept(const std::string& name = "", const std::string& path = kExample) {
    out.str(""), err.str("");
    return keep(path, name, data, out, err);
  }
  nlohmann::json listed() {
    out.str("");
    EXPECT_EQ(jobs(data, true, out, err), kDone);
    return nlohmann::json::parse(out.str());
  }
  std::string solved(const JobName& job) {
    out.str("");
    EXPECT_EQ(solve(job, "", true, out, err), kDone) << err.str();
    return out.str();
  }

  fs::path folder;
  std::string data;
  std::ostringstream out, err;
};

TEST_F(Book, AKeptFileAnswersAsItDidBefore) {
  EXPECT_TRUE(listed().empty());
  EXPECT_FALSE(fs::exists(data)) << "asking begins no book";
  ASSERT_EQ(kept(), kDone) << err.str();
  EXPECT_EQ(out.str(), "saved; type \"book:island mail\" wherever a command needs a job\n");
  ASSERT_EQ(listed().size(), 1U);
  EXPECT_EQ(solved({"book:island mail", data}), solved(kExample));
  EXPECT_EQ(solved({"book:" + listed()[0]["id"].get<std::string>(), data}), solved(kExample));
  EXPECT_EQ(check({"book:island mail", data}, false, out, err), check(kExample, false, out, err));
  out.str("");
  ASSERT_EQ(fit_up({"book:island mail", data}, "",
                   {"left blade, lower end", "0 60 120", "180=0.2 270=0.1", "", "", ""}, false, out, err),
            kDone);
  EXPECT_EQ(jobs(data, false, out, err), kDone);
  EXPECT_NE(out.str().find("     1  island mail\n"), std::string::npos) << out.str();
}

TEST_F(Book, NothingInItIsOverwrittenOrGuessed) {
  ASSERT_EQ(kept(), kDone);
  EXPECT_EQ(kept(), kFiles);
  EXPECT_NE(err.str().find("in the job book already"), std::string::npos) << err.str();
  ASSERT_EQ(kept("second"), kDone);
  EXPECT_NE(read_job_text({"book:second", data})->text.find("name = \"second\""), std::string::npos);
  EXPECT_EQ(read_job_text({"book:third", data}).error().code, "no-such-job");
  EXPECT_EQ(solve({"book:third", data}, "", false, out, err), kFiles);
  EXPECT_EQ(solve({"book:third", (folder / "none").string()}, "", false, out, err), kFiles);
  {
    // the page lets two jobs have one name
    auto store = std::move(*store::Store::open(data));
    ASSERT_TRUE(store->add_job("second", "version = 1\n", store::How::start, "begun"));
  }
  const auto twice = read_job_text({"book:second", data});
  ASSERT_FALSE(twice);
  EXPECT_EQ(twice.error().code, "name-twice");
  EXPECT_NE(twice.error().fits.find(" or book:"), std::string::npos) << twice.error().fits;
  std::ofstream(folder / "bad.toml") << "a = [";
  EXPECT_EQ(kept("", (folder / "bad.toml").string()), kJobMistakes);
  EXPECT_EQ(listed().size(), 3U);
}

TEST_F(Book, ItsShopMakesTheSheetsAndAServerMayRunBeside) {
  const auto server = std::move(*store::Store::open(data));
  ASSERT_TRUE(server->add_job("the shed", slurp(SOURCE_DIR "/examples/island-mail/shop.toml"),
                              store::How::start, "begun", store::Kind::shop));
  ASSERT_EQ(kept(), kDone) << err.str();
  EXPECT_EQ(server->jobs()->size(), 1U);
  const std::string a = (folder / "a").string(), b = (folder / "b").string();
  ASSERT_EQ(make({"book:island mail", data}, a, out, err, "", false), kDone) << err.str();
  ASSERT_EQ(make(kExample, b, out, err, SOURCE_DIR "/examples/island-mail/shop.toml", false), kDone);
  const auto names = [](const std::string& sheets) {
    std::vector<std::string> all;
    const auto list = cli::listed(slurp(sheets + "/sheets.txt"));
    for (const auto& [name, hashes] : *list) all.push_back(name);
    return all;
  };
  EXPECT_EQ(names(a), names(b));
  // paper bears the number the page counts by
  EXPECT_NE(slurp(a + "/summary-a4.svg").find(">1 ("), std::string::npos);
  EXPECT_EQ(slurp(b + "/summary-a4.svg").find(">1 ("), std::string::npos);
  EXPECT_EQ(slurp(a + "/tables/cut-list.csv"), slurp(b + "/tables/cut-list.csv"));
}

TEST_F(Book, ABackupComesBackAndWhatWasThereIsSaid) {
  ASSERT_EQ(kept(), kDone);
  const std::string file = (folder / "backup.db").string();
  out.str("");
  ASSERT_EQ(backup(file, data, out, err), kDone) << err.str();
  EXPECT_NE(out.str().find("1 job with 1 revision"), std::string::npos) << out.str();
  EXPECT_EQ(backup(file, data, out, err), kFiles) << "never over a file";
  ASSERT_EQ(kept("second"), kDone);
  EXPECT_EQ(listed().size(), 2U);
  out.str("");
  ASSERT_EQ(restore(file, data, out, err), kDone) << err.str();
  EXPECT_NE(out.str().find("aside-1"), std::string::npos) << out.str();
  EXPECT_EQ(listed().size(), 1U);
  EXPECT_EQ(solved({"book:island mail", data}), solved(kExample));
  EXPECT_EQ(solved({"book:second", data + "/aside-1"}), solved({"book:second", data + "/aside-1"}));
  EXPECT_EQ(restore((folder / "none").string(), data, out, err), kFiles);
  EXPECT_EQ(backup((folder / "x.db").string(), (folder / "nothing").string(), out, err), kFiles);
}

TEST_F(Book, OfTwoWhoKeepUnderOneNameAtOnceOneIsRefused) {
  ASSERT_EQ(kept("first"), kDone);
  std::atomic<int> done = 0, refused = 0;
  std::vector<std::thread> all;
  for (int i = 0; i < 6; ++i)
    all.emplace_back([&] {
      std::ostringstream o, e;
      keep(kExample, "same", data, o, e) == kDone ? ++done : ++refused;
    });
  for (std::thread& t : all) t.join();
  EXPECT_EQ(done, 1);
  EXPECT_EQ(refused, 5);
  EXPECT_EQ(listed().size(), 2U);
}

TEST_F(Book, AMendedPlanGoesBackIntoIt) {
  std::ofstream(folder / "short.toml") << slurp(kExample) << "\n[done.blades.left]\nshort_by = 1.4\n";
  ASSERT_EQ(kept("short", (folder / "short.toml").string()), kDone) << err.str();
  ASSERT_EQ(replan({"book:short", data}, {1, "book:mended"}, false, out, err), kDone) << err.str();
  EXPECT_NE(out.str().find("book:mended   the job with way 1"), std::string::npos) << out.str();
  EXPECT_NE(read_job_text({"book:mended", data})->text.find("name = \"mended\""), std::string::npos);
  EXPECT_EQ(replan({"book:mended", data}, {}, true, out, err), kDone) << err.str();
  EXPECT_EQ(replan({"book:short", data}, {1, "book:mended"}, false, out, err), kFiles);
  EXPECT_EQ(listed().size(), 2U);
}

}  // namespace
}  // namespace halfround::cli
