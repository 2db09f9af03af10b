#include "serve/desk.h"

#include <fmt/format.h>

#include <algorithm>

#include "job/read.h"
#include "job/replan.h"
#include "job/starter.h"
#include "serve/assets.h"

namespace halfround::serve {

using base::Problem;
using base::Problems;

namespace {

/// "blades.stations" and "blades.stations[2].width"
bool same_place(const std::string& a, const std::string& b) {
  const std::string &up = a.size() < b.size() ? a : b, &low = a.size() < b.size() ? b : a;
  return low.starts_with(up) && (low.size() == up.size() || low[up.size()] == '.' || low[up.size()] == '[');
}

std::string typed_in(const std::vector<job::Field>& fields, const std::string& key) {
  const auto f = std::ranges::find(fields, key, &job::Field::key);
  return f == fields.end() ? "" : f->typed;
}

/// "hub.over_locknut: 100, now 110; and 1 more"
std::string words_for(const std::vector<job::Edit>& edits, const std::vector<job::Field>& was) {
  constexpr std::size_t kReadable = 40;
  const auto cut = [](const std::string& text) {
    return text.size() > kReadable ? std::string("a list") : text;
  };
  const job::Edit& first = edits.front();
  const std::string before = typed_in(was, first.key);
  std::string out = first.key + ": ";
  if (!before.empty()) out += cut(before) + ", now ";
  out += first.typed ? cut(*first.typed) : "taken out";
  if (edits.size() > 1) out += fmt::format("; and {} more", edits.size() - 1);
  return out;
}

std::string name_in(const std::string& text, const std::string& otherwise) {
  const auto fields = job::fields_of(text, "job");
  const std::string name = fields ? typed_in(*fields, "job.name") : "";
  return name.empty() ? otherwise : name;
}

/// What is wrong with the edited keys themselves.
Problems wrong_with(const std::string& text, const std::vector<job::Edit>& edits) {
  Problems out;
  const auto read = job::read_job(text, "job");
  if (read) return out;
  for (const Problem& p : read.error()) {
    const bool grammar = p.where.key.empty() && p.code.starts_with("toml");
    const bool ours = std::ranges::any_of(edits, [&](const job::Edit& e) {
      return e.typed && p.where.key.size() >= e.key.size() && same_place(p.where.key, e.key);
    });
    if (grammar || ours) out.push_back(p);
  }
  return out;
}

}  // namespace

Refusal refused(Problem problem) {
  const std::string& code = problem.code;
  const int status = code.starts_with("no-such")                                  ? 404
                     : code == "revision-stale" || code.starts_with("nothing-to") ? 409
                     : code.starts_with("store-")                                 ? 507
                                                                                  : 422;
  return {status, {std::move(problem)}, 0};
}

Done<void> Desk::first_job() {
  const auto jobs = store_.jobs();
  if (!jobs) return tl::unexpected(refused(jobs.error()));
  if (!jobs->empty()) return {};
  const Asset* example = find_asset("example/fork.toml");
  base::check(example != nullptr, "the example is part of the program");
  auto made = add_job({"", "", std::string(example->bytes)});
  if (!made) return tl::unexpected(std::move(made.error()));
  return {};
}

Done<std::string> Desk::add_job(const NewJob& wanted) {
  std::string text = wanted.toml, what = "imported";
  if (!wanted.from.empty()) {
    const auto from = store_.newest(wanted.from);
    if (!from) return tl::unexpected(refused(from.error()));
    text = from->text, what = "begun as a copy of " + name_in(text, wanted.from);
  } else if (text.empty()) {
    text = job::starter_job(), what = "begun";
  }
  if (const auto fields = job::fields_of(text, "import"); !fields)
    return tl::unexpected(refused(fields.error()));
  if (!wanted.name.empty()) {
    auto named = job::edited_text(text, {{"job.name", wanted.name}}, "job");
    if (!named) return tl::unexpected(refused(named.error()));
    text = std::move(*named);
  }
  auto id = store_.add_job(name_in(text, "no name"), text,
                           wanted.toml.empty() ? store::How::start : store::How::import, what);
  if (!id) return tl::unexpected(refused(id.error()));
  return *id;
}

Done<std::int64_t> Desk::edit(const std::string& id, std::int64_t base, const std::vector<job::Edit>& edits) {
  const std::lock_guard lock(writing_);
  const auto newest = store_.newest(id);
  if (!newest) return tl::unexpected(refused(newest.error()));
  if (edits.empty()) return newest->number;
  const auto now = job::fields_of(newest->text, "job");
  if (!now) return tl::unexpected(refused(now.error()));
  if (base != 0 && base != newest->number) {
    const auto then = store_.revision(id, base);
    if (!then) return tl::unexpected(refused(then.error()));
    const auto was = job::fields_of(then->text, "job");
    for (const std::string& key : job::keys_changed(was ? *was : std::vector<job::Field>{}, *now)) {
      const auto mine =
          std::ranges::find_if(edits, [&](const job::Edit& e) { return same_place(e.key, key); });
      if (mine == edits.end() || mine->typed == typed_in(*now, key)) continue;
      Problem both{"edit-conflict",
                   {"job", 0, 0, key},
                   fmt::format("{} was changed meanwhile to {}.", key, typed_in(*now, key)),
                   "Look at the new value, then type yours again if it shall stand."};
      return tl::unexpected(Refusal{409, {std::move(both)}, newest->number});
    }
  }
  auto text = job::edited_text(newest->text, edits, "job");
  if (!text) return tl::unexpected(refused(text.error()));
  if (*text == newest->text) return newest->number;
  if (Problems wrong = wrong_with(*text, edits); !wrong.empty())
    return tl::unexpected(Refusal{422, std::move(wrong), newest->number});
  auto saved = store_.add(id, newest->number, *text, name_in(*text, "no name"), words_for(edits, *now));
  if (!saved) return tl::unexpected(refused(saved.error()));
  return *saved;
}

Done<std::string> Desk::tried(const std::string& id, const std::vector<job::Edit>& edits) {
  const auto newest = store_.newest(id);
  if (!newest) return tl::unexpected(refused(newest.error()));
  auto text = job::edited_text(newest->text, edits, "job");
  if (!text) return tl::unexpected(refused(text.error()));
  return std::move(*text);
}

Done<store::Revision> Desk::not_since(const std::string& id, std::int64_t base) {
  auto newest = store_.newest(id);
  if (!newest) return tl::unexpected(refused(newest.error()));
  if (base != 0 && base != newest->number) {
    Problem stale{"edit-conflict",
                  {"job", 0, 0, ""},
                  "The job was changed meanwhile.",
                  "Look at it once more before you undo."};
    return tl::unexpected(Refusal{409, {std::move(stale)}, newest->number});
  }
  return std::move(*newest);
}

Done<std::int64_t> Desk::undo(const std::string& id, std::int64_t base) {
  const std::lock_guard lock(writing_);
  if (auto fine = not_since(id, base); !fine) return tl::unexpected(std::move(fine.error()));
  auto out = store_.undo(id);
  if (!out) return tl::unexpected(refused(out.error()));
  return *out;
}

Done<std::int64_t> Desk::redo(const std::string& id, std::int64_t base) {
  const std::lock_guard lock(writing_);
  if (auto fine = not_since(id, base); !fine) return tl::unexpected(std::move(fine.error()));
  auto out = store_.redo(id);
  if (!out) return tl::unexpected(refused(out.error()));
  return *out;
}

namespace {

/// The newest text read, and the ways to mend it.
struct Mending {
  job::Job job;
  job::Replan plan;
};
Done<Mending> mending_of(const std::string& text) {
  auto read = job::read_job(text, "job");
  if (!read) return tl::unexpected(Refusal{422, std::move(read.error()), 0});
  auto plan = job::replan(*read);
  if (!plan) return tl::unexpected(refused(plan.error()));
  return Mending{std::move(*read), std::move(*plan)};
}

}  // namespace

Done<std::string> Desk::ways(const std::string& id) {
  const auto newest = store_.newest(id);
  if (!newest) return tl::unexpected(refused(newest.error()));
  const auto mending = mending_of(newest->text);
  if (!mending) return tl::unexpected(mending.error());
  return job::replan_json(mending->plan);
}

Done<std::int64_t> Desk::take_way(const std::string& id, std::int64_t base, std::int64_t way) {
  const std::lock_guard lock(writing_);
  const auto newest = not_since(id, base);
  if (!newest) return tl::unexpected(newest.error());
  const auto mending = mending_of(newest->text);
  if (!mending) return tl::unexpected(mending.error());
  const auto most = static_cast<std::int64_t>(mending->plan.ways.size());
  if (way < 1 || way > most) {
    return tl::unexpected(
        refused({"replan-no-such-way",
                 {"job", 0, 0, ""},
                 fmt::format("There is no way {}.", way),
                 most == 0 ? "None lies within the freedoms." : fmt::format("Give 1 to {}.", most)}));
  }
  const job::Alternative& taken = mending->plan.ways[static_cast<std::size_t>(way - 1)];
  const auto text = job::mended_text(newest->text, mending->job, taken);
  if (!text) return tl::unexpected(refused(text.error()));
  auto saved = store_.add(id, newest->number, *text, name_in(*text, "no name"), "mended: " + taken.title);
  if (!saved) return tl::unexpected(refused(saved.error()));
  return *saved;
}

}  // namespace halfround::serve
