// A store in a folder of its own, gone afterwards.
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>

#include "store/store.h"

namespace halfround::store {

namespace fs = std::filesystem;

class StoreTest : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("halfround-store-" + std::to_string(::getpid()));
    fs::remove_all(folder_);
  }
  void TearDown() override {
    if (fs::exists(folder_)) fs::permissions(folder_, fs::perms::owner_all);
    fs::remove_all(folder_);
  }
  [[nodiscard]] std::unique_ptr<Store> open(const OpenOptions& options = {}) const {
    auto store = Store::open(folder_, options);
    EXPECT_TRUE(store) << base::sentence(store.error());
    return store ? std::move(*store) : nullptr;
  }
  void spoil(std::uintmax_t at) const {
    std::fstream file(folder_ / "halfround.db", std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(static_cast<std::streamoff>(at));
    file << std::string(9000, 'x');
  }
  fs::path folder_;
};

inline std::string text_of(Store& store, const std::string& job) {
  const auto newest = store.newest(job);
  return newest ? newest->text : newest.error().code;
}

inline std::string bytes_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace halfround::store
