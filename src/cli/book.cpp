#include "cli/book.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <ostream>
#include <vector>

#include "cli/commands.h"
#include "cli/complain.h"
#include "cli/files.h"
#include "job/edit.h"
#include "store/backup.h"
#include "store/store.h"

namespace halfround::cli {

namespace fs = std::filesystem;
using base::Problem;
using base::Result;
using store::JobRow;
using store::Store;

namespace {

constexpr std::string_view kBook = "book:";

std::string named(const std::string& path) {
  return path.substr(kBook.size());
}

std::string folder_of(const std::string& data) {
  return data.empty() ? data_folder() : data;
}

/// Null where nobody has begun one yet.
Result<std::unique_ptr<Store>> visited(const std::string& folder) {
  if (!fs::exists(fs::path(folder) / "halfround.db")) return std::unique_ptr<Store>();
  return Store::open(folder, {.visit = true});
}

std::string counted(std::int64_t n, const char* what) {
  return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
}

/// The jobs of that id, else of that name.
std::vector<JobRow> called(const std::vector<JobRow>& all, const std::string& name) {
  std::vector<JobRow> out;
  std::ranges::copy_if(all, std::back_inserter(out), [&](const JobRow& r) { return r.id == name; });
  if (out.empty())
    std::ranges::copy_if(all, std::back_inserter(out), [&](const JobRow& r) { return r.name == name; });
  return out;
}

Result<std::string> id_of(Store& store, const JobName& job) {
  const auto all = store.jobs();
  if (!all) return tl::unexpected(all.error());
  const auto found = called(*all, named(job.path));
  if (found.size() == 1) return found.front().id;
  if (found.empty()) {
    return tl::unexpected(Problem{"no-such-job",
                                  {job.path, 0, 0, ""},
                                  fmt::format("The job book has no job {}.", named(job.path)),
                                  "`halfround jobs` lists them."});
  }
  std::string ids;
  for (const JobRow& r : found) ids += fmt::format("{}{}{}", ids.empty() ? "" : " or ", kBook, r.id);
  return tl::unexpected(Problem{"name-twice",
                                {job.path, 0, 0, ""},
                                fmt::format("{} jobs in the job book have that name.", found.size()),
                                fmt::format("Say {}.", ids)});
}

}  // namespace

std::string data_folder() {
  const char *data = std::getenv("XDG_DATA_HOME"), *home = std::getenv("HOME");
  if (data != nullptr && *data == '/') return fs::path(data) / "halfround";
  return (home != nullptr ? fs::path(home) : fs::current_path()) / ".local/share/halfround";
}

bool in_book(const std::string& path) {
  return path.starts_with(kBook);
}

Result<JobText> read_job_text(const JobName& job) {
  if (!in_book(job.path)) {
    auto text = read_file(job.path);
    if (!text) return tl::unexpected(std::move(text.error()));
    return JobText{std::move(*text)};
  }
  const std::string folder = folder_of(job.data);
  const auto store = visited(folder);
  if (!store) return tl::unexpected(store.error());
  if (*store == nullptr) {
    return tl::unexpected(Problem{"no-such-job",
                                  {job.path, 0, 0, ""},
                                  fmt::format("There is no job book in {} yet.", folder),
                                  "`halfround serve` and `halfround keep FILE` begin one."});
  }
  const auto id = id_of(**store, job);
  if (!id) return tl::unexpected(id.error());
  auto newest = (*store)->newest(*id);
  if (!newest) return tl::unexpected(std::move(newest.error()));
  JobText out{std::move(newest->text), std::nullopt, newest->number};
  const auto shop = (*store)->shop();
  if (!shop) return tl::unexpected(shop.error());
  if (shop->empty()) return out;
  auto shop_text = (*store)->newest(*shop);
  if (!shop_text) return tl::unexpected(std::move(shop_text.error()));
  out.shop = std::move(shop_text->text);
  return out;
}

Result<void> keep_text(const JobName& job, const std::string& text, const std::string& what) {
  const std::string name = in_book(job.path) ? named(job.path) : job.path;
  if (name.empty())
    return tl::unexpected(
        Problem{"name-taken", {std::string(kBook), 0, 0, ""}, "A job needs a name.", "Give one."});
  const auto told = job::edited_text(text, {{"job.name", name}}, "job");
  if (!told) return tl::unexpected(told.error());
  const auto store = Store::open(folder_of(job.data), {.visit = true});
  if (!store) return tl::unexpected(store.error());
  const auto made =
      (*store)->add_job(name, *told, store::How::import, what, store::Kind::job, store::SameName::refused);
  if (made) return {};
  Problem said = made.error();
  if (said.code == "name-taken")
    said.where.file = std::string(kBook) + name, said.what = "is in the job book already and was left alone.";
  return tl::unexpected(std::move(said));
}

int jobs(const std::string& data, bool json, std::ostream& out, std::ostream& err) {
  const auto store = visited(folder_of(data));
  if (!store) return complain(kFiles, {store.error()}, err);
  auto rows = *store == nullptr ? Result<std::vector<JobRow>>(std::vector<JobRow>{}) : (*store)->jobs();
  if (!rows) return complain(kFiles, {rows.error()}, err);
  if (json) {
    nlohmann::ordered_json all = nlohmann::ordered_json::array();
    for (const JobRow& r : *rows)
      all.push_back({{"id", r.id}, {"name", r.name}, {"revision", r.revision}, {"changed", r.changed}});
    out << all.dump(2) << "\n";
    return kDone;
  }
  if (rows->empty()) err << "There are no jobs in " << folder_of(data) << " yet.\n";
  for (const JobRow& r : *rows)
    out << fmt::format("{}  {}  {:>4}  {}\n", r.id, r.changed, r.revision, r.name);
  return kDone;
}

int backup(const std::string& file, const std::string& data, std::ostream& out, std::ostream& err) {
  const auto made = store::backup(folder_of(data), file);
  if (!made) return complain(kFiles, {made.error()}, err);
  out << fmt::format("{}   {} with {}\n", file, counted(made->jobs, "job"),
                     counted(made->revisions, "revision"));
  return kDone;
}

int restore(const std::string& file, const std::string& data, std::ostream& out, std::ostream& err) {
  const auto back = store::restore(folder_of(data), file);
  if (!back) return complain(kFiles, {back.error()}, err);
  // looked through and copied at once, as at every start
  if (const auto store = Store::open(folder_of(data)); !store) return complain(kFiles, {store.error()}, err);
  out << fmt::format("{} with {} put back from {}; phones must be paired again\n", counted(back->jobs, "job"),
                     counted(back->revisions, "revision"), file);
  if (!back->aside.empty())
    out << fmt::format("What was there before lies in {}: halfround jobs --data {}\n", back->aside,
                       back->aside);
  return kDone;
}

int keep(const std::string& path, const std::string& name, const std::string& data, std::ostream& out,
         std::ostream& err) {
  const auto text = read_file(path);
  if (!text) return complain(kFiles, {text.error()}, err);
  const auto fields = job::fields_of(*text, path);
  if (!fields) return complain(kJobMistakes, {fields.error()}, err);
  const std::string own = job::typed_in(*fields, "job.name");
  const std::string kept = !name.empty() ? name : own.empty() ? fs::path(path).stem().string() : own;
  const auto done = keep_text({kept, data}, *text, "read from " + fs::path(path).filename().string());
  if (!done) return complain(kFiles, {done.error()}, err);
  out << fmt::format("saved; type \"{}{}\" wherever a command needs a job\n", kBook, kept);
  return kDone;
}

}  // namespace halfround::cli
