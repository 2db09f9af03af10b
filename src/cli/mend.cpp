#include "cli/mend.h"

#include <fmt/format.h>

#include <filesystem>
#include <ostream>

#include "base/quantity.h"
#include "cli/commands.h"
#include "cli/complain.h"
#include "cli/files.h"
#include "job/read.h"
#include "job/revision_words.h"
#include "replan/replan.h"
#include "sheet/book.h"
#include "solve/read_back.h"
#include "speak/answer_json.h"
#include "speak/fit_up_text.h"
#include "speak/proof_text.h"
#include "speak/read_back_text.h"
#include "speak/replan_text.h"

namespace halfround::cli {

namespace {

using base::Problem;
using base::Problems;

/// One way written as a job of its own; what is there already is left alone.
base::Result<void> write(const std::string& text, const job::Job& job, const replan::Replan& plan,
                         const Take& take, const std::string& data) {
  if (!in_book(take.write) && std::filesystem::exists(take.write))
    return tl::unexpected(there_already(take.write));
  const replan::Alternative& way = plan.ways[static_cast<std::size_t>(take.way - 1)];
  const auto mended = replan::mended_text(text, job, way);
  if (!mended) return tl::unexpected(mended.error());
  if (in_book(take.write)) return keep_text({take.write, data}, *mended, "mended: " + way.title);
  return write_text(take.write, *mended, There::left_alone);
}

}  // namespace

int replan(const JobName& name, const Take& take, bool json, std::ostream& out, std::ostream& err) {
  const auto fail = [&](int code, const Problems& problems) {
    if (json) out << speak::to_json(problems);
    return complain(code, problems, err);
  };
  const std::string& path = name.path;
  const auto text = read_job_text(name);
  if (!text) return fail(kFiles, {text.error()});
  const auto read = job::read_job(text->text, path);
  if (!read) return fail(kJobMistakes, read.error());
  auto plan = replan::replan(*read);
  if (!plan) {
    if (plan.error().where.file.empty()) plan.error().where.file = path;
    return fail(plan.error().code == "done-contradicts" ? kJobMistakes : kNoSuchFork, {plan.error()});
  }
  if (!take.write.empty()) {
    const int most = static_cast<int>(plan->ways.size());
    if (take.way < 1 || take.way > most) {
      return fail(kUsage,
                  {{"replan-no-such-way",
                    {path, 0, 0, "--take"},
                    fmt::format("There is no way {}.", take.way),
                    most == 0 ? "None lies within the freedoms." : fmt::format("Give 1 to {}.", most)}});
    }
    if (const auto written = write(text->text, *read, *plan, take, name.data); !written) {
      const std::string& code = written.error().code;
      const bool files = code == "file-exists" || code == "folder-unwritable" || code == "name-taken" ||
                         code.starts_with("store-");
      return fail(files ? kFiles : kNoSuchFork, {written.error()});
    }
  }
  out << (json ? speak::replan_json(*plan) : speak::replan_text(*plan));
  if (!take.write.empty() && !json) out << fmt::format("\n{}   the job with way {}\n", take.write, take.way);
  return plan->mends() ? kDone : kLimitMissed;
}

int read_back(const JobName& name, const std::vector<std::string>& readings, bool json, std::ostream& out,
              std::ostream& err) {
  const auto fail = [&](int code, const Problems& problems) {
    if (json) out << speak::to_json(problems);
    return complain(code, problems, err);
  };
  const auto text = read_job_text(name);
  if (!text) return fail(kFiles, {text.error()});
  const auto read = job::read_job(text->text, name.path);
  if (!read) return fail(kJobMistakes, read.error());
  const auto told = solve::plate_readings(readings);
  if (!told) return fail(kUsage, {told.error()});
  const auto answer = solve::solve(*read, {.tolerance = false, .changes = false});
  if (!answer) return fail(kNoSuchFork, {answer.error()});
  const solve::ReadBack found = solve::read_back(*read, *answer, *told);
  out << (json ? speak::read_back_json(found) : speak::read_back_text(found));
  return kDone;
}

namespace {

/// A length as typed on the command line; nothing where none is.
base::Result<std::optional<double>> length_of(const std::string& typed, const char* option) {
  if (typed.empty()) return std::optional<double>();
  auto q = base::parse_quantity(typed, base::Kind::length);
  if (q && q->value >= 0) return std::optional(q->value);
  base::Problem p = q ? base::Problem{"out-of-range",
                                      {},
                                      "Found a length below zero.",
                                      "Give what it moved as a plain length: 5.3."}
                      : q.error();
  p.where.key = option;
  return tl::unexpected(std::move(p));
}

}  // namespace

int proof(const JobName& name, const std::string& moved, const std::string& stayed, std::ostream& out,
          std::ostream& err) {
  const auto text = read_job_text(name);
  if (!text) return complain(kFiles, {text.error()}, err);
  const auto read = job::read_job(text->text, name.path);
  if (!read) return complain(kJobMistakes, read.error(), err);
  const auto by = length_of(moved, "--moved"), left = length_of(stayed, "--stayed");
  if (!by) return complain(kUsage, {by.error()}, err);
  if (!left) return complain(kUsage, {left.error()}, err);
  const auto answer = solve::solve(*read, {.tolerance = false, .changes = false});
  if (!answer) return complain(kNoSuchFork, {answer.error()}, err);
  if (!*by) {
    const std::string tests = speak::proof_text(answer->strength);
    if (tests.empty())
      return complain(
          kNoSuchFork,
          {{"no-proof-test",
            {name.path, 0, 0, "strength"},
            "No bench test can be worked out" +
                (answer->strength.unknown.empty() ? std::string(".") : ": " + answer->strength.unknown + "."),
            "Give the walls, or take \"static bending\" out of strength.leave_out."}},
          err);
    out << tests;
    return kDone;
  }
  const study::ProofReading reading{**by, *left};
  const auto found = study::read_proof(answer->fork.assembly, answer->strength, reading);
  if (!found) return complain(kNoSuchFork, {found.error()}, err);
  out << speak::proof_text(*found, reading);
  return found->says == study::ProofSays::too_soft || found->says == study::ProofSays::bent ? kLimitMissed
                                                                                            : kDone;
}

int fit_up(const JobName& name, const std::string& readings, const job::FitUpWords& words, bool json,
           std::ostream& out, std::ostream& err, const std::string& folder) {
  const auto fail = [&](int code, const Problems& problems) {
    if (json) out << speak::to_json(problems);
    return complain(code, problems, err);
  };
  const auto text = read_job_text(name);
  if (!text) return fail(kFiles, {text.error()});
  const auto read = job::read_job(text->text, name.path);
  if (!read) return fail(kJobMistakes, read.error());
  base::Result<job::FitUpReport, Problems> report = tl::unexpected(Problems{});
  if (readings.empty()) {
    report = job::fit_up_of(words);
  } else {
    const auto told = read_file(readings);
    if (!told) return fail(kFiles, {told.error()});
    report = job::read_fit_up(*told, readings);
  }
  if (!report) return fail(kJobMistakes, report.error());
  auto answer = solve::solve(*read, {.tolerance = false, .changes = false});
  if (!answer) return fail(kNoSuchFork, {answer.error()});
  answer->revision = job::revision_words(text->revision, text->text);
  auto found = solve::fit_up(*answer, *report);
  if (!found) {
    found.error().where.file = readings;
    return fail(kJobMistakes, {found.error()});
  }
  if (!folder.empty()) {
    std::error_code ignored;  // what matters is told when the file is written
    std::filesystem::create_directories(folder, ignored);
    const auto book = sheet::fit_up_book(*read, *answer, found->found);
    if (!book) return fail(kFiles, {book.error()});
    for (const sheet::File& f : *book) {
      // beside the other sheets, which stay
      if (const auto written = write_text((std::filesystem::path(folder) / f.name).string(), f.bytes);
          !written)
        return fail(kFiles, {written.error()});
    }
  }
  out << (json ? speak::fit_up_json(*found) : speak::fit_up_text(*found));
  return kDone;
}

}  // namespace halfround::cli
