// A whole server in a folder of its own, on any free port.
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <thread>

#include "job/shop_read.h"
#include "serve/assets.h"
#include "serve/server.h"

namespace halfround::serve {

class HouseTest : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = std::filesystem::temp_directory_path() / ("halfround-serve-" + std::to_string(::getpid()));
    std::filesystem::remove_all(folder_);
    start();
  }
  void TearDown() override {
    stop();
    std::filesystem::remove_all(folder_);
  }
  void start() {
    auto opened = store::Store::open(folder_);
    ASSERT_TRUE(opened) << base::sentence(opened.error());
    store_ = std::move(*opened);
    engine_ = std::make_unique<Engine>(job::read_shop(find_asset("example/shop.toml")->bytes, "shop")->shop);
    desk_ = std::make_unique<Desk>(*store_, *engine_);
    ASSERT_TRUE(desk_->open_shop(std::string(find_asset("example/shop.toml")->bytes), "shop"));
    ASSERT_TRUE(desk_->first_job());
    listen();
    id_ = store_->jobs()->front().id;
  }
  void stop() {
    leave();
    desk_.reset(), engine_.reset(), store_.reset();
  }
  void listen() {
    server_ = std::make_unique<Server>(*desk_, options_);
    ASSERT_TRUE(server_->listen());
    const std::string address = server_->address();
    port_ = static_cast<unsigned short>(std::stoi(address.substr(address.rfind(':') + 1)));
    thread_ = std::thread([this] { server_->run(false); });
  }
  /// The network only: the store stays open.
  void leave() {
    if (!server_) return;
    server_->stop();
    thread_.join();
    server_.reset();
  }

  ServeOptions options_{.port = 0, .open_network = false, .limits = {}, .complain = {}};
  std::filesystem::path folder_;
  std::unique_ptr<store::Store> store_;
  std::unique_ptr<Engine> engine_;
  std::unique_ptr<Desk> desk_;
  std::unique_ptr<Server> server_;
  std::thread thread_;
  unsigned short port_ = 0;
  std::string id_;  ///< of the example
};

}  // namespace halfround::serve
