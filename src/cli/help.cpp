#include "cli/help.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/result.h"
#include "base/words.h"

namespace halfround::cli {

namespace {

constexpr std::array<base::Word<Purpose>, 5> kPurposes{
    {{Purpose::begin, "begin", "Begin a fork"},
     {Purpose::judge, "judge", "See whether it works"},
     {Purpose::sheets, "sheets", "Make the sheets"},
     {Purpose::differs, "differs", "When the steel differs from the plan"},
     {Purpose::page, "page", "The page and the job book"}}};
static_assert(base::complete(kPurposes));

constexpr std::array<CommandRow, 14> kCommands{
    {{"new", Purpose::begin, "Write a commented starter job", "halfround new my-fork.toml"},
     {"import", Purpose::begin, "Turn a traced section, centreline or tyre into a piece of a job",
      "halfround import blade.svg --as blade-centreline -o blade.toml"},
     {"check", Purpose::judge,
      "List mistakes and warnings, and what is met, barely met, not met or not known",
      "halfround check my-fork.toml"},
     {"solve", Purpose::judge, "Print the answer as tables: geometry, mitres, strength, joining",
      "halfround solve my-fork.toml"},
     {"make", Purpose::sheets, "Make all sheets: drawing, templates, check, summary, files for machines",
      "halfround make my-fork.toml -o sheets"},
     {"replan", Purpose::differs, "Make a new plan when a piece came out differently",
      "halfround replan my-fork.toml --take 1 --write new-plan.toml"},
     {"fitup", Purpose::differs, "From touches and feeler gaps at a joint: what to file",
      "halfround fitup my-fork.toml --end \"left blade, upper end\" --touch \"0 30\" --gap \"180=0.4\""},
     {"stands", Purpose::differs,
      "From the measuring sheet: how the finished fork stands, and what to cold set",
      "halfround stands my-fork.toml A=404.6 B=404.5 D=44.1 E=43.9 F=50.0 G=50.2"},
     {"proof", Purpose::differs, "The bench test of this fork: how far it should give, and what a reading says",
      "halfround proof my-fork.toml --moved 5.3"},
     {"serve", Purpose::page, "Serve the page: see the fork change while you type", "halfround serve"},
     {"keep", Purpose::page, "Save a job file in the job book",
      "halfround keep my-fork.toml --name \"second try\""},
     {"jobs", Purpose::page, "List the jobs in the job book", "halfround jobs"},
     {"jobs backup", Purpose::page, "Copy the whole job book into one new file",
      "halfround jobs backup stick/book-2026-11-30.db"},
     {"jobs restore", Purpose::page, "Put a backup in the job book's place; the old one moves into a folder",
      "halfround jobs restore stick/book-2026-11-30.db"}}};

std::string table(const std::vector<HelpLine>& lines) {
  std::size_t wide = 0;
  for (const HelpLine& l : lines) wide = std::max(wide, l.words.size());
  std::string out;
  for (const HelpLine& l : lines) out += fmt::format("  {:<{}}   {}\n", l.words, wide, l.what);
  return out;
}

}  // namespace

std::span<const CommandRow> command_rows() {
  return kCommands;
}

const CommandRow& command_row(std::string_view name) {
  const auto found = std::ranges::find(kCommands, name, &CommandRow::name);
  base::check(found != kCommands.end(), "every command has a row of help");
  return *found;
}

std::string help_of_all() {
  std::string out =
      "Halfround: from measured parts and steering geometry to the sheets a fork is built from.\n"
      "\n"
      "  halfround COMMAND ...\n"
      "  halfround COMMAND --help    what one command takes, with an example\n"
      "  halfround --version\n";
  std::size_t wide = 0;
  for (const CommandRow& c : kCommands) wide = std::max(wide, c.name.size());
  for (const base::Word<Purpose>& p : kPurposes) {
    out += fmt::format("\n{}\n", p.words);
    for (const CommandRow& c : kCommands)
      if (c.purpose == p.value) out += fmt::format("  {:<{}}   {}\n", c.name, wide, c.does);
  }
  return out + "\nExample: halfround new my-fork.toml\n";
}

std::string help_of(const CommandRow& command, const std::string& line, const std::vector<HelpLine>& words,
                    const std::vector<HelpLine>& options) {
  std::string out = fmt::format("{}\n\n  {}\n", command.does, line);
  if (!words.empty()) out += "\n" + table(words);
  if (!options.empty()) out += "\nOptions\n" + table(options);
  return out + fmt::format("\nExample: {}\n", command.example);
}

}  // namespace halfround::cli
