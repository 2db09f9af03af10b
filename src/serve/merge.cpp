#include "serve/merge.h"

#include <fmt/format.h>

#include <algorithm>

#include "job/read.h"
#include "job/shop_read.h"
#include "job/shop_schema.h"

namespace halfround::serve {

using base::Problem;
using base::Problems;

namespace {

Problems wrong_with_job(const std::string& text) {
  auto read = job::read_job(text, "job");
  return read ? Problems{} : std::move(read.error());
}

Problems wrong_with_shop(const std::string& text) {
  auto read = job::read_shop(text, "shop");
  return read ? Problems{} : std::move(read.error());
}

/// "blades.stations" and "blades.stations[2].width"
bool same_place(const std::string& a, const std::string& b) {
  const std::string &up = a.size() < b.size() ? a : b, &low = a.size() < b.size() ? b : a;
  return low.starts_with(up) && (low.size() == up.size() || low[up.size()] == '.' || low[up.size()] == '[');
}

std::vector<job::Field> fields_in(const TextKind& kind, const std::string& text) {
  auto fields = job::fields_of(text, kind.file, kind.lists);
  return fields ? std::move(*fields) : std::vector<job::Field>{};
}

/// What the edits brought with them.
Problems brought(const TextKind& kind, const std::string& before, const std::string& after,
                 const std::vector<job::Edit>& edits) {
  const Problems now = kind.wrong(after);
  if (now.empty()) return {};
  const Problems was = kind.sound ? kind.wrong(before) : Problems{};
  Problems out;
  for (const Problem& p : now) {
    const bool grammar = p.where.key.empty() && p.code.starts_with("toml");
    const bool ours = std::ranges::any_of(edits, [&](const job::Edit& e) {
      return e.typed && p.where.key.size() >= e.key.size() && same_place(p.where.key, e.key);
    });
    const bool fresh = kind.sound && std::ranges::none_of(was, [&](const Problem& old) {
                         return old.code == p.code && old.where.key == p.where.key;
                       });
    if (grammar || ours || fresh) out.push_back(p);
  }
  return out;
}

/// The first key that somebody else changed to something else meanwhile.
std::optional<Problem> conflict(const TextKind& kind, const std::string& then, const std::string& now,
                                const std::vector<job::Edit>& edits) {
  const auto fields = fields_in(kind, now);
  for (const std::string& key : job::keys_changed(fields_in(kind, then), fields)) {
    const auto mine = std::ranges::find_if(edits, [&](const job::Edit& e) { return same_place(e.key, key); });
    const std::string typed = job::typed_in(fields, key);
    if (mine == edits.end() || mine->typed == typed) continue;
    return Problem{"edit-conflict",
                   {kind.file, 0, 0, key},
                   fmt::format("{} was changed meanwhile to {}.", key, typed),
                   "Look at the new value, then type yours again if it shall stand."};
  }
  return std::nullopt;
}

}  // namespace

const TextKind& job_text() {
  static const TextKind kind{"job", "job.name", job::schema(), job::Lists::whole, &wrong_with_job, false};
  return kind;
}

const TextKind& shop_text() {
  static const TextKind kind{"shop",           "shop.name", job::shop_schema(), job::Lists::apart,
                             &wrong_with_shop, true};
  return kind;
}

Done<std::string> merged(const TextKind& kind, const store::Revision& newest,
                         const std::optional<std::string>& base, const std::vector<job::Edit>& edits) {
  if (const auto fields = job::fields_of(newest.text, kind.file); !fields)
    return tl::unexpected(refused(fields.error()));
  if (base) {
    if (auto both = conflict(kind, *base, newest.text, edits))
      return tl::unexpected(Refusal{409, {std::move(*both)}, newest.number});
  }
  auto text = job::edited_text(newest.text, edits, kind.file, kind.rows);
  if (!text) return tl::unexpected(refused(text.error()));
  if (*text == newest.text) return std::move(*text);
  if (Problems wrong = brought(kind, newest.text, *text, edits); !wrong.empty())
    return tl::unexpected(Refusal{422, std::move(wrong), newest.number});
  return std::move(*text);
}

std::string words_for(const TextKind& kind, const std::vector<job::Edit>& edits, const std::string& before) {
  constexpr std::size_t kReadable = 40;
  const auto cut = [](const std::string& text) {
    return text.size() > kReadable ? std::string("a list") : text;
  };
  const job::Edit& first = edits.front();
  const std::string was = job::typed_in(fields_in(kind, before), first.key);
  std::string out = first.key + ": ";
  if (!was.empty()) out += cut(was) + ", now ";
  out += first.typed ? cut(*first.typed) : "taken out";
  if (edits.size() > 1) out += fmt::format("; and {} more", edits.size() - 1);
  return out;
}

std::string name_in(const TextKind& kind, const std::string& text, const std::string& otherwise) {
  const std::string name = job::typed_in(fields_in(kind, text), kind.name);
  return name.empty() ? otherwise : name;
}

}  // namespace halfround::serve
