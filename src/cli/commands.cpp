#include "cli/commands.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <ostream>

#include "cli/complain.h"
#include "cli/files.h"
#include "cli/sheet_folder.h"
#include "exchange/exchange.h"
#include "job/read.h"
#include "job/revision_words.h"
#include "job/shop_read.h"
#include "job/starter.h"
#include "serve/solid_maker.h"
#include "sheet/book.h"
#include "solve/notes.h"
#include "solve/offer.h"
#include "solve/solve.h"
#include "speak/answer_json.h"
#include "speak/answer_text.h"
#include "speak/shop_text.h"

namespace halfround::cli {

namespace {

using base::Problem;
using base::Problems;

struct Trouble {
  int code = kDone;
  Problems problems;
};
struct Solved {
  job::Job job;
  solve::Answer answer;
  std::optional<shop::Shop> shop;  ///< where one was named
  std::string paper_revision;      ///< as the sheets bear it
  std::string text;                ///< of the job
};

/// From a path to an answer, or to what is wrong and the exit code for it.
///   in  shop  path of a shop file; "": the book's, where the job is in one
tl::expected<Solved, Trouble> solved(const JobName& name, const std::string& shop = "") {
  auto text = read_job_text(name);
  if (!text) return tl::unexpected(Trouble{kFiles, {text.error()}});
  auto read = job::read_job(text->text, name.path);
  if (!read)
    return tl::unexpected(Trouble{kJobMistakes, solve::with_offers(text->text, std::move(read.error()))});
  std::optional<shop::Shop> with;
  if (!shop.empty()) {
    auto shop_file = read_file(shop);
    if (!shop_file) {
      shop_file.error().fits = "Give the path of a shop file, or leave --shop out.";
      return tl::unexpected(Trouble{kFiles, {shop_file.error()}});
    }
    text->shop = std::move(*shop_file);
  }
  if (text->shop) {
    auto shop_read = job::read_shop(*text->shop, shop.empty() ? "the job book's shop" : shop);
    if (!shop_read) return tl::unexpected(Trouble{kJobMistakes, std::move(shop_read.error())});
    with = std::move(shop_read->shop);
  }
  auto answer = solve::solve(*read, {.shop = with ? &*with : nullptr});
  if (!answer) return tl::unexpected(Trouble{kNoSuchFork, {std::move(answer.error())}});
  answer->revision = job::revision_of(text->text);
  std::string revision = job::revision_words(text->revision, text->text);
  return Solved{std::move(*read), std::move(*answer), std::move(with), std::move(revision),
                std::move(text->text)};
}

int complain(const Trouble& trouble, std::ostream& err) {
  cli::complain(trouble.code, trouble.problems, err);
  if (trouble.problems.size() > 1) err << trouble.problems.size() << " errors; nothing was made.\n";
  return trouble.code;
}

/// The fork as solids. Where one of the two files can't be made all others are made all the same, and `err`
/// says why.
std::vector<sheet::File> solid_files(const Solved& s, std::ostream& err) {
  serve::SolidMaker maker;
  std::vector<sheet::File> out;
  const std::string stem = "solid/" + s.answer.fork.assembly.frame;
  const auto add = [&](serve::SolidFile file, const std::string& ending, const std::string& what) {
    auto made = maker.make(file, s.text);
    if (made)
      out.push_back({stem + ending, std::move(*made), what});
    else
      err << "note: " << stem << ending << " was not made. " << base::sentence(made.error()) << "\n";
  };
  add(serve::SolidFile::step, ".step", "every part as a solid, STEP AP214, mm");
  add(serve::SolidFile::glb, ".glb", "the same to look at, glTF binary");
  return out;
}

}  // namespace

int make(const JobName& name, const std::string& folder, std::ostream& out, std::ostream& err,
         const std::string& shop, bool with_solids) {
  auto s = solved(name, shop);
  if (!s) return complain(s.error(), err);
  s->answer.revision = s->paper_revision;
  std::optional<solve::ShopPlan> plan;
  if (s->shop) plan = solve::shop_plan(s->job, s->answer, *s->shop);
  auto book = sheet::make_book(s->job, s->answer, plan ? &*plan : nullptr);
  if (!book)
    return complain({book.error().code == "letter-missing" ? kJobMistakes : kFiles, {book.error()}}, err);
  std::ranges::move(
      exchange::exchange_files(s->job, s->answer, plan ? &*plan : nullptr, s->shop ? *s->shop : shop::Shop{}),
      std::back_inserter(*book));
  if (with_solids) std::ranges::move(solid_files(*s, err), std::back_inserter(*book));
  std::vector<std::pair<std::string, std::string>> files;
  for (const sheet::File& f : *book) files.emplace_back(f.name, f.bytes);
  const auto written = write_sheets(folder, files);
  if (!written) return complain({kFiles, {written.error()}}, err);
  for (const sheet::File& f : *book) {
    out << fmt::format("{:<52} {}\n", (std::filesystem::path(folder) / f.name).string(), f.what);
  }
  if (written->was_incomplete)
    err << "note: " << folder
        << " held an incomplete set of sheets, of a run that was stopped; it is whole now.\n";
  for (const std::string& left : written->left)
    err << "note: " << (std::filesystem::path(folder) / left).string()
        << " is no longer made, but was changed since it was: it was left.\n";
  for (const solve::Note& n : s->answer.notes) {
    if (n.kind == solve::Note::Kind::warning) err << "note: " << n.what << "\n";
  }
  return kDone;
}

int solve(const JobName& name, const std::string& shop, bool json, std::ostream& out, std::ostream& err) {
  const auto s = solved(name, shop);
  if (!s) {
    if (json) out << speak::to_json(s.error().problems);
    return complain(s.error(), err);
  }
  std::optional<solve::ShopPlan> plan;
  if (s->shop) plan = solve::shop_plan(s->job, s->answer, *s->shop);
  if (json) {
    out << speak::to_json(s->answer, plan ? &*plan : nullptr);
    return kDone;
  }
  out << speak::to_text(s->answer);
  if (plan) out << "\n" << speak::shop_text(*plan, *s->shop);
  return kDone;
}

int check(const JobName& name, bool json, std::ostream& out, std::ostream& err, bool strict) {
  const auto s = solved(name);
  if (!s) {
    if (json) out << speak::to_json(s.error().problems);
    return complain(s.error(), err);
  }
  const bike::Tally tally = bike::tally_of(s->answer.verdicts);
  const int missed = strict ? tally.not_met : tally.stops_not_met;
  const int unknown = strict ? tally.unknown : tally.stops_unknown;
  const int code = missed > 0 ? kLimitMissed : unknown > 0 ? kNotKnown : kDone;
  if (json) {
    out << speak::to_json(s->answer);
    return code;
  }
  for (const solve::Note& n : s->answer.notes) out << "- " << n.what << "\n";
  out << speak::verdicts_text(s->answer);
  out << fmt::format("{}: no mistakes, {} thing{} to note; check: {}.\n", s->answer.name,
                     s->answer.notes.size(), s->answer.notes.size() == 1 ? "" : "s", bike::in_words(tally));
  return code;
}

int start(const std::string& path, std::ostream& out, std::ostream& err) {
  if (path == "-") {
    out << job::starter_job();
    return kDone;
  }
  if (const auto written = write_text(path, job::starter_job(), There::left_alone); !written)
    return complain({kFiles, {written.error()}}, err);
  out << path << "   a starter job: open it, put your own numbers in, then: halfround make " << path
      << " -o sheets\n";
  return kDone;
}

}  // namespace halfround::cli
