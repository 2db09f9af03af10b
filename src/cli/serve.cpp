#include "cli/serve.h"

#include <cstdlib>
#include <filesystem>
#include <ostream>

#include "cli/commands.h"
#include "cli/complain.h"
#include "cli/files.h"
#include "job/shop_read.h"
#include "serve/assets.h"
#include "serve/server.h"

namespace halfround::cli {

namespace fs = std::filesystem;

namespace {

/// Where the user's programs keep their data [source: XDG Base Directory Specification, from memory].
std::string data_folder() {
  const char *data = std::getenv("XDG_DATA_HOME"), *home = std::getenv("HOME");
  if (data != nullptr && *data == '/') return fs::path(data) / "halfround";
  return (home != nullptr ? fs::path(home) : fs::current_path()) / ".local/share/halfround";
}

base::Result<shop::Shop, base::Problems> shop_of(const std::string& path, const std::string& folder) {
  std::string text(serve::find_asset("example/shop.toml")->bytes), name = "the example's shop.toml";
  const std::string own = (fs::path(folder) / "shop.toml").string();
  if (const std::string from = !path.empty() ? path : fs::exists(own) ? own : ""; !from.empty()) {
    auto read = read_file(from);
    if (!read) return tl::unexpected(base::Problems{read.error()});
    text = std::move(*read), name = from;
  }
  auto read = job::read_shop(text, name);
  if (!read) return tl::unexpected(std::move(read.error()));
  return std::move(read->shop);
}

}  // namespace

int serve(const ServeWords& words, std::ostream& out, std::ostream& err) {
  const std::string folder = words.data.empty() ? data_folder() : words.data;
  auto shop = shop_of(words.shop, folder);
  if (!shop) return complain(kJobMistakes, shop.error(), err);
  const auto store = store::Store::open(folder, {.take_copy = words.take_copy});
  if (!store) return complain(kFiles, {store.error()}, err);
  serve::Engine engine(std::move(*shop));
  serve::Desk desk(**store, engine);
  if (const auto first = desk.first_job(); !first) return complain(kFiles, first.error().problems, err);
  serve::Server server(desk, {.port = words.port, .open_network = words.open_network});
  if (const auto listening = server.listen(); !listening) return complain(kFiles, {listening.error()}, err);
  out << "Halfround: " << server.address() << "   (jobs are kept in " << folder << "; Ctrl-C ends it)\n";
  if (words.open_network) out << "In the shop's network: " << server.network_address() << "\n";
  out.flush();
  server.run();
  return kDone;
}

}  // namespace halfround::cli
