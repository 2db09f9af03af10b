// The command line: words in, exit code out. docs/command.md describes it.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cctype>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <exception>
#include <iostream>
#include <string_view>

#include "base/result.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/import.h"
#include "cli/mend.h"
#include "cli/serve.h"
#include "cli/usage.h"
#include "serve/solid_worker.h"

namespace {

constexpr const char* kJob = "Job file, - for standard input, or \"book:NAME\" of `halfround jobs`";

/// A command's line: its needed words in capitals, the others in brackets.
halfround::cli::CommandWords words_of(const CLI::App& command) {
  halfround::cli::CommandWords out{command.get_name(), "halfround " + command.get_name(), {}};
  for (const CLI::Option* o : command.get_options()) {
    std::string name = o->get_name();
    if (o->get_positional()) {
      std::ranges::transform(name, name.begin(), [](unsigned char c) { return std::toupper(c); });
      out.line += o->get_required() ? " " + name : " [" + name + "]";
      continue;
    }
    for (const std::string& l : o->get_lnames()) out.options.push_back("--" + l);
    for (const std::string& s : o->get_snames()) out.options.push_back("-" + s);
    if (o->get_required()) out.line += " " + name + " ...";
  }
  return out;
}

/// The parser's mistake in our words. Its own name for what is off comes first or after a colon.
std::string complaint(const CLI::App& app, const CLI::ParseError& e, int argc, char** argv) {
  using halfround::cli::Off;
  std::vector<halfround::cli::CommandWords> commands;
  for (const CLI::App* c : app.get_subcommands([](const CLI::App*) { return true; }))
    commands.push_back(words_of(*c));
  const std::string what = e.what(), first = what.substr(0, what.find_first_of(": "));
  const auto colon = what.rfind(": ");
  const std::string last = what.substr(what.rfind(' ') + 1);
  const std::string behind = colon == std::string::npos ? what : what.substr(colon + 2);
  const std::vector<std::string> words(argv + 1, argv + argc);
  const auto say = [&](Off off, const std::string& detail) {
    return halfround::cli::usage_sentence(commands, words, off, detail);
  };
  // the library's own enum, and a long one: what is not named here is told in its words
  using Code = CLI::ExitCodes;
  const auto code = static_cast<Code>(e.get_exit_code());
  if (code == Code::RequiredError) return say(Off::missing, first);
  if (code == Code::ExtrasError) return say(Off::stranger, behind.substr(0, behind.find(' ')));
  if (code == Code::ArgumentMismatch) return say(Off::no_value, first);
  if (code == Code::ConversionError) return say(Off::value, behind.substr(0, behind.find(" =")));
  if (code == Code::RequiresError) return say(Off::together, first + " says nothing without " + last + ".");
  if (code == Code::ExcludesError)
    return say(Off::together, first + " and " + last + " don't go together: give one of them.");
  return say(Off::together, what);
}

}  // namespace

int main(int argc, char** argv) {
  using namespace halfround;
  if (argc == 2 && std::string_view(argv[1]) == serve::kSolidsWord) return serve::solid_worker();
  // a file that grows past a limit of the account is then an error as any other, said in a sentence
  std::signal(SIGXFSZ, SIG_IGN);
  CLI::App app{"Halfround: from measured parts and steering geometry to the sheets a fork is built from."};
  app.set_version_flag("--version", "halfround 0.1.0");
  app.require_subcommand(1);

  std::string path, data, shop, folder = "sheets", starter = "-";
  bool json = false;
  auto* make = app.add_subcommand("make", "Make all sheets of a job");
  make->add_option("job", path, kJob)->required();
  make->add_option("-o,--output", folder, "Folder for the sheets")->capture_default_str();
  make->add_option("--shop", shop,
                   "Shop file: cards for its machines, adapters, cut list (docs/shop-file.md)");
  bool no_solids = false;
  make->add_flag("--no-solids", no_solids, "Leave out solid/fork.step and solid/fork.glb (docs/solids.md)");
  auto* solve = app.add_subcommand("solve", "Print the answer as tables, or as JSON");
  solve->add_option("job", path, kJob)->required();
  solve->add_flag("--json", json, "JSON (docs/answer.schema.json)");
  solve->add_option("--shop", shop,
                    "Shop file: what to set on its machines and fixtures (docs/shop-file.md)");
  auto* check = app.add_subcommand("check", "Print mistakes, warnings and which limits are met");
  check->add_option("job", path, kJob)->required();
  check->add_flag("--json", json, "JSON");
  bool strict = false;
  check->add_flag("--strict", strict,
                  "Every limit counts for the exit code, not only what may break or touch");
  cli::Take take;
  auto* replan = app.add_subcommand("replan", "Replan by what is done already (docs/replan.md)");
  replan->add_option("job", path, "A job with a [done] section; as with check")->required();
  replan->add_flag("--json", json, "JSON (docs/replan.schema.json)");
  auto* write = replan->add_option("--write", take.write,
                                   "Write the job with one way applied into this new file, or book:NEW");
  replan->add_option("--take", take.way, "Which way --write takes")->needs(write)->capture_default_str();
  std::vector<std::string> plate;
  auto* stands = app.add_subcommand("stands", "How the finished fork stands, and which blade to cold set");
  stands->add_option("job", path, kJob)->required();
  stands->add_option("readings", plate, "Of the measuring sheet: A=404.6 B=404.5 D=44.1 E=43.9 F=50.0 G=50.2")
      ->required();
  stands->add_flag("--json", json, "JSON (docs/stands.schema.json)");
  std::string moved, stayed;
  auto* proof = app.add_subcommand("proof", "The bench test of this fork, and what its reading says");
  proof->add_option("job", path, kJob)->required();
  auto* by = proof->add_option("--moved", moved, "How far the axle moved under the load: 5.3");
  proof->add_option("--stayed", stayed, "How much of it stayed when the load was taken off: 0.4")->needs(by);
  std::string readings;
  job::FitUpWords words;
  auto* fit_up = app.add_subcommand("fitup", "From touches and feeler gaps: what to file (docs/fit-up.md)");
  fit_up->add_option("job", path, kJob)->required();
  auto* from_file = fit_up->add_option("readings", readings, "File with what was read");
  fit_up->add_option("--end", words.end, "\"left blade, upper end\"")->excludes(from_file);
  fit_up->add_option("--touch", words.touch, "Clock positions that touch: \"30 210\"")->excludes(from_file);
  fit_up->add_option("--gap", words.gaps, "Feelers that go in: \"90=0.15 270=0.3\"")->excludes(from_file);
  fit_up->add_option("--no-touch", words.no_touch, "Clock positions to leave alone")->excludes(from_file);
  fit_up->add_option("--allowed", words.allowed, "Gap that may stay, mm")->excludes(from_file);
  fit_up->add_option("--feeler", words.feeler, "Step from one feeler to the next, mm")->excludes(from_file);
  std::string fit_up_folder;
  fit_up->add_option("-o,--output", fit_up_folder, "Folder for a sheet of it");
  fit_up->add_flag("--json", json, "JSON (docs/fitup.schema.json)");
  cli::ImportWords traced;
  auto* import = app.add_subcommand("import", "A traced curve as the piece of a job (docs/import.md)");
  import->add_option("file", path, "CSV, SVG or DXF, or - for standard input")->required();
  import->add_option("--as", traced.as, "blade-outline (a section), blade-centreline or tyre")->required();
  import->add_option("--units", traced.units, "mm, in, cm or m, where the file doesn't say");
  import->add_option("--smooth", traced.smooth, "The farthest a point may be moved, mm")
      ->capture_default_str();
  import->add_option("--turn", traced.turn, "Turn the drawing first, degrees counter-clockwise");
  import->add_flag("--flip", traced.flip, "Mirror it left and right");
  import->add_flag("--reverse", traced.reverse, "A middle line was drawn from the top down");
  import->add_option("--seen", traced.seen, "A middle line: from the front or the side")
      ->capture_default_str();
  import->add_option("--curve", traced.curve, "Which curve of the file, from 1; else the longest");
  import->add_option("-o,--output", traced.output, "NEW.toml; a picture goes beside it");
  auto* start = app.add_subcommand("new", "Write a commented starter job");
  start->add_option("file", starter, "Where to; - for standard output")->capture_default_str();
  auto* jobs = app.add_subcommand("jobs", "List the jobs of the book that the page keeps");
  jobs->add_flag("--json", json, "JSON");
  auto* backup = jobs->add_subcommand("backup", "The whole book into one new file, to keep elsewhere");
  backup->add_option("file", path, "The new file")->required();
  auto* restore = jobs->add_subcommand("restore", "A backup in the book's place; what is there is put aside");
  restore->add_option("file", path, "What `halfround jobs backup` wrote")->required();
  jobs->require_subcommand(0, 1);
  std::string kept_name;
  auto* keep = app.add_subcommand("keep", "Put a job file into the book");
  keep->add_option("file", path, "Job file, or - for standard input")->required();
  keep->add_option("--name", kept_name, "Its name there; else the job's own");
  cli::ServeWords serving;
  auto* serve =
      app.add_subcommand("serve", "Serve the page: see the fork change while you type (docs/serve.md)");
  serve->add_option("--port", serving.port, "Where to listen on this machine; 0: any free port")
      ->capture_default_str();
  serve->add_option("--shop", shop, "Shop file to read over the shop that is kept");
  serve->add_flag("--open-network", serving.open_network,
                  "Let paired devices of the shop's network in at once");
  serve->add_flag("--take-copy", serving.take_copy,
                  "Put a damaged store aside and go on with its last good copy");

  for (CLI::App* with_book :
       {make, solve, check, replan, stands, proof, fit_up, jobs, backup, restore, keep, serve})
    with_book->add_option("--data", data, "Folder of the book; else ~/.local/share/halfround");

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    if (e.get_exit_code() == 0) return app.exit(e);  // --help, --version
    std::cerr << complaint(app, e, argc, argv);
    return cli::kUsage;
  }
  const auto done = [&]() -> int {
    if (*make) return cli::make({path, data}, folder, std::cout, std::cerr, shop, !no_solids);
    if (*solve) return cli::solve({path, data}, shop, json, std::cout, std::cerr);
    if (*check) return cli::check({path, data}, json, std::cout, std::cerr, strict);
    if (*replan) return cli::replan({path, data}, take, json, std::cout, std::cerr);
    if (*proof) return cli::proof({path, data}, moved, stayed, std::cout, std::cerr);
    if (*stands) return cli::read_back({path, data}, plate, json, std::cout, std::cerr);
    if (*fit_up) return cli::fit_up({path, data}, readings, words, json, std::cout, std::cerr, fit_up_folder);
    if (*backup) return cli::backup(path, data, std::cout, std::cerr);
    if (*restore) return cli::restore(path, data, std::cout, std::cerr);
    if (*jobs) return cli::jobs(data, json, std::cout, std::cerr);
    if (*keep) return cli::keep(path, kept_name, data, std::cout, std::cerr);
    if (*import) return cli::import(path, traced, std::cout, std::cerr);
    if (*serve) {
      serving.shop = shop, serving.data = data;
      return cli::serve(serving, std::cout, std::cerr);
    }
    return cli::start(starter, std::cout, std::cerr);
  };
  try {
    const int code = done();
    if (std::cout.flush()) return code;
    std::cerr << "Not all of the answer could be written to standard output: " << std::strerror(errno)
              << ".\n";
    return code == cli::kDone || code == cli::kLimitMissed ? cli::kFiles : code;
  } catch (const std::exception& e) {
    std::cerr << "halfround stopped at a mistake of its own: " << e.what()
              << ". Please report it with the job file.\n";
    return cli::kBug;
  }
}
