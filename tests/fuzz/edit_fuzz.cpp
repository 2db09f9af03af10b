// Random keys and values put into a job or a shop, many in a row (edit_round.h).
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "edit_round.h"
#include "job/shop_schema.h"

using namespace halfround;

namespace {

struct Text {
  std::string text;
  bool shop = false;
};

/// Every example.
std::vector<Text> examples() {
  std::vector<Text> out;
  for (const auto& e : std::filesystem::recursive_directory_iterator(SOURCE_DIR "/examples")) {
    if (e.path().extension() != ".toml") continue;
    std::ostringstream text;
    text << std::ifstream(e.path(), std::ios::binary).rdbuf();
    out.push_back({text.str(), e.path().filename() == "shop.toml"});
  }
  std::ranges::sort(out, {}, &Text::text);
  return out;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const std::vector<Text> all = examples();
  job::Choices choices(data, size);
  const Text& begin = all[choices.below(all.size())];
  std::string text = begin.text;
  while (choices.more())
    text = job::edit_round(text, choices, begin.shop ? job::shop_schema() : job::schema());
  return 0;
}
