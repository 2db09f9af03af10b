// The shop's part of the desk: kept and edited as a job is; the engine reckons with it from then on.
#include "job/shop_read.h"
#include "serve/desk.h"
#include "serve/merge.h"

namespace halfround::serve {

Done<std::string> Desk::shop_id() {
  auto id = store_.shop();
  if (!id) return tl::unexpected(refused(id.error()));
  if (id->empty())
    return tl::unexpected(refused({"no-such-shop", {}, "The store has no shop yet.", "Begin one first."}));
  return std::move(*id);
}

Done<void> Desk::open_shop(const std::string& text, const std::string& file, bool take) {
  const std::lock_guard lock(writing_);
  const auto id = store_.shop();
  if (!id) return tl::unexpected(refused(id.error()));
  if (id->empty() || take) {
    auto read = job::read_shop(text, file);
    if (!read) return tl::unexpected(Refusal{422, std::move(read.error()), 0});
  }
  if (id->empty()) {
    const auto made =
        store_.add_job(name_in(shop_text(), text), text, store::How::start, "begun", store::Kind::shop);
    if (!made) return tl::unexpected(refused(made.error()));
  } else if (take) {
    const auto newest = store_.newest(*id);
    if (!newest) return tl::unexpected(refused(newest.error()));
    if (newest->text != text) {
      const auto saved = store_.add(*id, newest->number, text, name_in(shop_text(), text),
                                    "read from " + file, store::How::import);
      if (!saved) return tl::unexpected(refused(saved.error()));
    }
  }
  return renew_shop();
}

Done<void> Desk::renew_shop() {
  const auto newest = shop();
  if (!newest) return tl::unexpected(newest.error());
  if (auto read = job::read_shop(newest->text, shop_text().file)) engine_.set_shop(std::move(read->shop));
  return {};
}

Done<store::Revision> Desk::shop() {
  const auto id = shop_id();
  if (!id) return tl::unexpected(id.error());
  auto newest = store_.newest(*id);
  if (!newest) return tl::unexpected(refused(newest.error()));
  return std::move(*newest);
}

Done<std::int64_t> Desk::edit_shop(std::int64_t base, const std::vector<job::Edit>& edits) {
  return on_shop([&](const std::string& id) { return edit_text(shop_text(), id, base, edits); });
}

Done<std::int64_t> Desk::undo_shop(std::int64_t base) {
  return on_shop([&](const std::string& id) { return turn(shop_text(), id, base, &store::Store::undo); });
}

Done<std::int64_t> Desk::redo_shop(std::int64_t base) {
  return on_shop([&](const std::string& id) { return turn(shop_text(), id, base, &store::Store::redo); });
}

Done<std::int64_t> Desk::on_shop(const std::function<Done<std::int64_t>(const std::string& id)>& change) {
  const std::lock_guard lock(writing_);
  const auto id = shop_id();
  if (!id) return tl::unexpected(id.error());
  auto done = change(*id);
  if (!done) return done;
  if (auto renewed = renew_shop(); !renewed) return tl::unexpected(std::move(renewed.error()));
  return done;
}

}  // namespace halfround::serve
