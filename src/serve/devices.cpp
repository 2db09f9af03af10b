#include "serve/devices.h"

#include <algorithm>

#include "serve/pairing.h"

namespace halfround::serve {

namespace {

constexpr auto kNoteEvery = std::chrono::minutes(10);

}  // namespace

Devices::Devices(store::Store& store, std::chrono::seconds unused)
    : store_(store), unused_(unused), note_every_(std::min<std::chrono::seconds>(kNoteEvery, unused / 4)) {}

void Devices::read(Time now) {
  read_ = now;
  (void)store_.withdraw_unused(unused_);  // on a full disk it is done the next time
  auto all = store_.devices();
  if (!all) return;  // those known until now stay so
  by_hash_.clear();
  for (store::Device& d : *all) by_hash_[d.hash] = std::move(d);
}

void Devices::read_sometimes(Time now) {
  if (now - read_ >= note_every_) read(now);
}

const store::Device* Devices::find(const std::string& token) const {
  if (token.empty()) return nullptr;
  const auto at = by_hash_.find(hash_of(token));
  return at == by_hash_.end() ? nullptr : &at->second;
}

bool Devices::may_come_in(std::int64_t id) const {
  return std::ranges::any_of(by_hash_,
                             [&](const auto& one) { return one.second.id == id && one.second.gone.empty(); });
}

bool Devices::to_note(std::int64_t id, Time now) {
  const auto [at, fresh] = noted_.try_emplace(id, now);
  if (!fresh && now - at->second < note_every_) return false;
  at->second = now;
  return true;
}

std::string kind_of_device(std::string_view user_agent) {
  if (user_agent.find("Tablet") != std::string_view::npos) return "tablet";
  return user_agent.find("Mobi") != std::string_view::npos ? "phone" : "computer";
}

}  // namespace halfround::serve
