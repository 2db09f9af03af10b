#include "serve/desk.h"

#include <fmt/format.h>

#include "job/read.h"
#include "job/starter.h"
#include "replan/replan.h"
#include "serve/assets.h"
#include "serve/merge.h"
#include "solve/read_back.h"
#include "solve/solve.h"
#include "speak/read_back_text.h"
#include "speak/replan_text.h"

namespace halfround::serve {

using base::Problem;

Refusal refused(Problem problem) {
  const std::string& code = problem.code;
  const int status = code.starts_with("no-such")                                  ? 404
                     : code == "revision-stale" || code.starts_with("nothing-to") ? 409
                     : code.starts_with("store-")                                 ? 507
                                                                                  : 422;
  return {status, {std::move(problem)}, 0};
}

Problem for_device(Problem problem) {
  if (!problem.code.starts_with("store-")) return problem;
  return {problem.code,
          {},
          "The machine can't save or read its jobs.",
          "Look at Halfround on the machine itself; what was saved before is still there."};
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
    text = from->text, what = "begun as a copy of " + name_in(job_text(), text, wanted.from);
  } else if (text.empty()) {
    text = job::starter_job(), what = "begun";
  }
  if (const auto fields = job::fields_of(text, "import"); !fields)
    return tl::unexpected(refused(fields.error()));
  const bool named_already = !wanted.toml.empty() && !name_in(job_text(), text, "").empty();
  if (!wanted.name.empty() && !named_already) {
    auto named = job::edited_text(text, {{"job.name", wanted.name}}, "job");
    if (!named) return tl::unexpected(refused(named.error()));
    text = std::move(*named);
  }
  auto id = store_.add_job(name_in(job_text(), text), text,
                           wanted.toml.empty() ? store::How::start : store::How::import, what);
  if (!id) return tl::unexpected(refused(id.error()));
  return *id;
}

Done<std::int64_t> Desk::edit(const std::string& id, std::int64_t base, const std::vector<job::Edit>& edits) {
  const std::lock_guard lock(writing_);
  return edit_text(job_text(), id, base, edits);
}

Done<std::int64_t> Desk::edit_text(const TextKind& kind, const std::string& id, std::int64_t base,
                                   const std::vector<job::Edit>& edits) {
  const auto newest = store_.newest(id);
  if (!newest) return tl::unexpected(refused(newest.error()));
  if (edits.empty()) return newest->number;
  std::optional<std::string> typed_on;
  if (base != 0 && base != newest->number) {
    auto then = store_.revision(id, base);
    if (!then) return tl::unexpected(refused(then.error()));
    typed_on = std::move(then->text);
  }
  const auto text = merged(kind, *newest, typed_on, edits);
  if (!text) return tl::unexpected(text.error());
  if (*text == newest->text) return newest->number;
  auto saved =
      store_.add(id, newest->number, *text, name_in(kind, *text), words_for(kind, edits, newest->text));
  if (!saved) return tl::unexpected(refused(saved.error()));
  return *saved;
}

Done<std::string> Desk::tried(const std::string& text, const std::vector<job::Edit>& edits) {
  auto out = job::edited_text(text, edits, "job");
  if (!out) return tl::unexpected(refused(out.error()));
  return std::move(*out);
}

namespace {

Refusal changed_meanwhile(std::int64_t newest) {
  return {409,
          {{"edit-conflict",
            {},
            fmt::format("The job was changed in another window, to revision {}.", newest),
            "Look at what is there now, then press again."}},
          newest};
}

}  // namespace

Done<store::Revision> Desk::not_since(const std::string& id, std::int64_t base) {
  auto newest = store_.newest(id);
  if (!newest) return tl::unexpected(refused(newest.error()));
  if (base != 0 && base != newest->number) return tl::unexpected(changed_meanwhile(newest->number));
  return std::move(*newest);
}

Done<std::int64_t> Desk::turn(const TextKind& kind, const std::string& id, std::int64_t base, Turn way) {
  if (auto fine = not_since(id, base); !fine) return tl::unexpected(std::move(fine.error()));
  auto out = (store_.*way)(id, [&](const std::string& text) { return name_in(kind, text); });
  if (!out) return tl::unexpected(refused(out.error()));
  return *out;
}

Done<std::int64_t> Desk::undo(const std::string& id, std::int64_t base) {
  const std::lock_guard lock(writing_);
  return turn(job_text(), id, base, &store::Store::undo);
}

Done<std::int64_t> Desk::redo(const std::string& id, std::int64_t base) {
  const std::lock_guard lock(writing_);
  return turn(job_text(), id, base, &store::Store::redo);
}

Done<std::int64_t> Desk::back_to(const std::string& id, std::int64_t base, std::int64_t revision) {
  const std::lock_guard lock(writing_);
  // the newest text itself may be the damaged one: it isn't asked for
  const auto all = store_.revisions(id, 1);
  if (!all) return tl::unexpected(refused(all.error()));
  const std::int64_t newest = all->front().number;
  if (base != 0 && base != newest) return tl::unexpected(changed_meanwhile(newest));
  const auto then = store_.revision(id, revision);
  if (!then) return tl::unexpected(refused(then.error()));
  if (const auto now = store_.newest(id); now && now->text == then->text) return newest;
  auto out = store_.back_to(id, newest, revision, name_in(job_text(), then->text));
  if (!out) return tl::unexpected(refused(out.error()));
  return *out;
}

namespace {

/// The newest text read, and the ways to mend it.
struct Mending {
  job::Job job;
  replan::Replan plan;
};
Done<Mending> mending_of(const std::string& text) {
  auto read = job::read_job(text, "job");
  if (!read) return tl::unexpected(Refusal{422, std::move(read.error()), 0});
  auto plan = replan::replan(*read);
  if (!plan) return tl::unexpected(refused(plan.error()));
  return Mending{std::move(*read), std::move(*plan)};
}

}  // namespace

Done<std::string> Desk::ways(const std::string& id) {
  const auto newest = store_.newest(id);
  if (!newest) return tl::unexpected(refused(newest.error()));
  const auto mending = mending_of(newest->text);
  if (!mending) return tl::unexpected(mending.error());
  return speak::replan_json(mending->plan);
}

Done<std::string> Desk::stands(const std::string& id, const std::vector<std::string>& readings) {
  const auto newest = store_.newest(id);
  if (!newest) return tl::unexpected(refused(newest.error()));
  const auto told = solve::plate_readings(readings);
  if (!told) return tl::unexpected(refused(told.error()));
  const auto read = job::read_job(newest->text, "job");
  if (!read) return tl::unexpected(Refusal{422, read.error(), 0});
  const auto answer = solve::solve(*read, {.tolerance = false, .changes = false});
  if (!answer) return tl::unexpected(refused(answer.error()));
  return speak::read_back_json(solve::read_back(*read, *answer, *told));
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
  const replan::Alternative& taken = mending->plan.ways[static_cast<std::size_t>(way - 1)];
  const auto text = replan::mended_text(newest->text, mending->job, taken);
  if (!text) return tl::unexpected(refused(text.error()));
  auto saved = store_.add(id, newest->number, *text, name_in(job_text(), *text), "mended: " + taken.title);
  if (!saved) return tl::unexpected(refused(saved.error()));
  return *saved;
}

}  // namespace halfround::serve
