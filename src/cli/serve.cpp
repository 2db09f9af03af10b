#include "cli/serve.h"

#include <filesystem>
#include <ostream>

#include "cli/book.h"
#include "cli/commands.h"
#include "cli/complain.h"
#include "cli/files.h"
#include "job/shop_read.h"
#include "serve/assets.h"
#include "serve/server.h"

namespace halfround::cli {

namespace fs = std::filesystem;

namespace {

std::string example_shop() {
  return std::string(serve::find_asset("example/shop.toml")->bytes);
}

/// The file named, else the folder's own, else the example's.
serve::Done<void> open_shop(serve::Desk& desk, const std::string& path, const std::string& folder) {
  const std::string own = (fs::path(folder) / "shop.toml").string();
  const std::string from = !path.empty() ? path : fs::exists(own) ? own : "";
  if (from.empty()) return desk.open_shop(example_shop(), "the example's shop.toml");
  const auto text = read_file(from);
  if (!text) return tl::unexpected(serve::Refusal{507, {text.error()}, 0});
  return desk.open_shop(*text, from, !path.empty());
}

}  // namespace

int serve(const ServeWords& words, std::ostream& out, std::ostream& err) {
  const std::string folder = words.data.empty() ? data_folder() : words.data;
  const auto store = store::Store::open(folder, {.take_copy = words.take_copy});
  if (!store) return complain(kFiles, {store.error()}, err);
  serve::Engine engine(job::read_shop(example_shop(), "shop.toml")->shop);
  serve::Desk desk(**store, engine);
  if (const auto shop = open_shop(desk, words.shop, folder); !shop)
    return complain(shop.error().status == 422 ? kJobMistakes : kFiles, shop.error().problems, err);
  if (const auto first = desk.first_job(); !first) return complain(kFiles, first.error().problems, err);
  serve::Server server(desk, {.port = words.port,
                               .open_network = words.open_network,
                               .limits = {},
                               .complain = [&err](const std::string& what) { err << what + "\n"; }});
  if (const auto listening = server.listen(); !listening) return complain(kFiles, {listening.error()}, err);
  out << "Halfround: " << server.address() << "   (jobs are kept in " << folder << "; Ctrl-C ends it)\n";
  if (words.open_network) out << "In the shop's network: " << server.network_address() << "\n";
  out.flush();
  server.run();
  return kDone;
}

}  // namespace halfround::cli
