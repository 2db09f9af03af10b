// The documentation and the schema name the same keys, the same pictures, the same codes; the job in it can
// be read.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>

#include "base/maths.h"
#include "bike/limit.h"
#include "job/read.h"
#include "job/schema.h"
#include "job/starter.h"

namespace halfround::solve {
namespace {

std::string slurp(const std::filesystem::path& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

/// What stands in backticks at the start of the table rows of a document.
std::set<std::string> first_column(const std::string& text) {
  std::set<std::string> out;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    if (!line.starts_with("| `")) continue;
    out.insert(line.substr(3, line.find('`', 3) - 3));
  }
  return out;
}

TEST(Documentation, NamesEveryKeyAndNoOther) {
  const auto documented = first_column(slurp(SOURCE_DIR "/docs/job-file.md"));
  std::set<std::string> keys;
  for (const job::Row& row : job::schema()) keys.emplace(row.key);
  EXPECT_EQ(documented, keys);
}

TEST(Documentation, ShowsEveryPicture) {
  const std::string text = slurp(SOURCE_DIR "/docs/job-file.md");
  for (const job::Row& row : job::schema()) {
    if (row.picture.empty()) continue;
    const std::string name = "pictures/" + std::string(row.picture) + ".svg";
    EXPECT_TRUE(std::filesystem::exists(std::string(SOURCE_DIR "/docs/") + name)) << name;
    EXPECT_NE(text.find(name), std::string::npos) << name;
  }
}

TEST(Documentation, NamesEveryCode) {
  const auto documented = first_column(slurp(SOURCE_DIR "/docs/problems.md"));
  // codes stand as the first argument of a complaint or the first member of a Problem
  const std::regex code(
      "(?:complain\\(|refuse\\(|Problem\\s*\\{|return \\{|\\? )\\s*\"([a-z]+(?:-[a-z]+)+)\"");
  int n = 0;
  for (const char* room : {"bike", "layout", "job", "shape", "study", "shop", "trace", "solid"}) {
    for (const auto& entry : std::filesystem::directory_iterator(std::string(SOURCE_DIR "/src/") + room)) {
      if (entry.path().extension() != ".cpp") continue;
      const std::string text = slurp(entry.path());
      for (std::sregex_iterator it(text.begin(), text.end(), code), end; it != end; ++it, ++n) {
        EXPECT_TRUE(documented.contains((*it)[1])) << (*it)[1] << " in " << entry.path();
      }
    }
  }
  EXPECT_GT(n, 50);
}

TEST(Documentation, ExplainsEveryVerdictAndNoOther) {
  const auto documented = first_column(slurp(SOURCE_DIR "/docs/verdicts.md"));
  std::set<std::string> ids;
  for (const bike::VerdictRule& rule : bike::verdict_rules()) ids.emplace(rule.code);
  EXPECT_EQ(documented, ids);
}

TEST(Documentation, TheLeastJobThereCanBeRead) {
  std::istringstream lines(slurp(SOURCE_DIR "/docs/job-file.md"));
  std::string job;
  bool inside = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("    version = 1")) inside = true;
    if (inside && !line.empty() && !line.starts_with("    ")) break;
    if (inside) job += line + "\n";
  }
  const auto read = job::read_job(job, "least.toml");
  EXPECT_TRUE(read) << job << (read ? "" : base::sentence(read.error()[0]));
}

TEST(Schema, ExamplesAndDefaultsFitTheirOwnRows) {
  for (const job::Row& row : job::schema()) {
    EXPECT_FALSE(row.meaning.empty()) << row.key;
    EXPECT_FALSE(row.example.empty()) << row.key;
    EXPECT_FALSE(job::what_fits(row).empty()) << row.key;
    EXPECT_EQ(job::find_row(row.key), &row);
    if (row.form != job::Form::length && row.form != job::Form::angle) continue;
    const auto kind = row.form == job::Form::angle ? base::Kind::angle : base::Kind::length;
    for (const std::string_view text : {row.example, row.fallback}) {
      if (text.empty()) continue;
      const auto q = base::parse_quantity(text, kind);
      ASSERT_TRUE(q) << row.key << " " << text;
      const double v = kind == base::Kind::angle ? base::to_deg(q->value) : q->value;
      EXPECT_GE(v, row.least - 1e-9) << row.key;
      EXPECT_LE(v, row.most + 1e-9) << row.key;
    }
  }
}

TEST(Schema, SidesAndRowNumbersAreTakenOut) {
  EXPECT_EQ(job::canonical("blades.left.stations[3].width"), "blades.stations[].width");
  EXPECT_EQ(job::canonical("blades.right"), "blades");
  EXPECT_EQ(job::canonical("blades.lefty"), "blades.lefty");
  EXPECT_EQ(job::nearest_key("steering.ofset"), "steering.offset");
}

TEST(Starter, ShowsEveryKeyOfEverySection) {
  const std::string text = job::starter_job();
  for (const job::Row& row : job::schema()) {
    if (row.key.find("[]") != std::string_view::npos) continue;
    const std::string name(row.key.substr(row.key.rfind('.') + 1));
    EXPECT_NE(text.find(name), std::string::npos) << row.key;
  }
}

}  // namespace
}  // namespace halfround::solve
