// Random keys and values put into a job or a shop, many in a row (edit_round.h): mostly into a few of an
// example's sections, which takes a tenth of the time, now and then into the whole of it.
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "edit_round.h"
#include "job/shop_schema.h"

using namespace halfround;

namespace {

struct Text {
  std::vector<std::string> sections;  ///< the first is what stands above all headings
  bool shop = false;
};

/// Cut before each heading, a sleeping one ("# [gusset]") too.
std::vector<std::string> cut(const std::string& text) {
  std::vector<std::string> out(1);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("[") || line.starts_with("# [")) out.emplace_back();
    out.back() += line + "\n";
  }
  return out;
}

/// Every example.
std::vector<Text> examples() {
  std::vector<std::pair<std::string, bool>> all;
  for (const auto& e : std::filesystem::recursive_directory_iterator(SOURCE_DIR "/examples")) {
    if (e.path().extension() != ".toml") continue;
    std::ostringstream text;
    text << std::ifstream(e.path(), std::ios::binary).rdbuf();
    all.emplace_back(text.str(), e.path().filename() == "shop.toml");
  }
  std::ranges::sort(all);
  std::vector<Text> out;
  for (const auto& [text, shop] : all) out.push_back({cut(text), shop});
  return out;
}

std::string some_of(const Text& text, job::Choices& choices) {
  const std::size_t n = text.sections.size();
  const bool whole = choices.below(64) == 0;
  const std::size_t first = whole ? 0 : choices.below(n);
  const std::size_t end = whole ? n : std::min(n, first + 1 + choices.below(3));
  std::string out;
  for (std::size_t i = first; i < end; ++i) out += text.sections[i];
  return out;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const std::vector<Text> all = examples();
  job::Choices choices(data, size);
  const Text& begin = all[choices.below(all.size())];
  job::Edited now(some_of(begin, choices));
  while (choices.more())
    now = job::edit_round(std::move(now), choices, begin.shop ? job::shop_schema() : job::schema());
  return 0;
}
