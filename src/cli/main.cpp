// The command line: words in, exit code out. docs/command.md describes it.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cctype>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <exception>
#include <iostream>
#include <sstream>
#include <string_view>

#include "base/result.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/help.h"
#include "cli/import.h"
#include "cli/mend.h"
#include "cli/serve.h"
#include "cli/usage.h"
#include "serve/solid_worker.h"

namespace {

constexpr const char* kJob = "Job file, - for standard input, or \"book:NAME\" of `halfround jobs`";

std::string in_capitals(std::string name) {
  std::ranges::transform(name, name.begin(), [](unsigned char c) { return std::toupper(c); });
  return name;
}

/// "jobs backup"
std::string name_of(const CLI::App& command) {
  const CLI::App* above = command.get_parent();
  return above != nullptr && above->get_parent() != nullptr ? name_of(*above) + " " + command.get_name()
                                                            : command.get_name();
}

/// A command's line: its needed words in capitals, the others in brackets.
halfround::cli::CommandWords words_of(const CLI::App& command) {
  halfround::cli::CommandWords out{name_of(command), "halfround " + name_of(command), {}, {}};
  for (const CLI::Option* o : command.get_options()) {
    const std::string name = o->get_name();
    if (o->get_positional()) {
      out.line += o->get_required() ? " " + in_capitals(name) : " [" + in_capitals(name) + "]";
      continue;
    }
    for (const std::string& l : o->get_lnames()) out.options.push_back("--" + l);
    for (const std::string& s : o->get_snames()) out.options.push_back("-" + s);
    if (o->get_required()) out.line += " " + name + " ...";
  }
  for (const CLI::App* c : command.get_subcommands([](const CLI::App*) { return true; }))
    out.commands.push_back(c->get_name());
  return out;
}

/// The help of the command that was asked about, or of the whole program.
std::string help(const CLI::App& app) {
  namespace cli = halfround::cli;
  const CLI::App* command = &app;
  while (!command->get_subcommands().empty()) command = command->get_subcommands().front();
  if (command == &app) return cli::help_of_all();
  std::vector<cli::HelpLine> words, options;
  for (const CLI::App* c : command->get_subcommands([](const CLI::App*) { return true; }))
    words.push_back({c->get_name(), c->get_description()});
  for (const CLI::Option* o : command->get_options()) {
    const std::string fallback = o->get_default_str();
    const std::string what = o->get_description() + (fallback.empty() ? "" : " (default " + fallback + ")");
    if (o->get_positional()) {
      words.push_back({in_capitals(o->get_name()), what});
      continue;
    }
    std::string spelled;
    for (const std::string& s : o->get_snames()) spelled += "-" + s + ", ";
    for (const std::string& l : o->get_lnames()) spelled += "--" + l;
    if (o->get_items_expected_max() > 0) spelled += " " + o->get_type_name();
    options.push_back({spelled, what});
  }
  return cli::help_of(cli::command_row(name_of(*command)), words_of(*command).line, words, options);
}

/// The parser's mistake in our words. Its own name for what is off comes first or after a colon.
std::string complaint(const CLI::App& app, const CLI::ParseError& e, int argc, char** argv) {
  using halfround::cli::Off;
  std::vector<halfround::cli::CommandWords> commands;
  for (const halfround::cli::CommandRow& row : halfround::cli::command_rows()) {
    const CLI::App* command = &app;
    std::istringstream names{std::string(row.name)};
    for (std::string name; names >> name;) command = command->get_subcommand(name);
    commands.push_back(words_of(*command));
  }
  const std::string what = e.what(), first = what.substr(0, what.find_first_of(": "));
  const auto colon = what.rfind(": ");
  const std::string last = what.substr(what.rfind(' ') + 1);
  const std::string behind = colon == std::string::npos ? what : what.substr(colon + 2);
  const std::vector<std::string> words(argv + 1, argv + argc);
  const auto say = [&](Off off, const std::string& detail) {
    return halfround::cli::usage_sentence(commands, words, off, detail);
  };
  // the library's own enum, and a long one: what is not named here keeps its words
  using Code = CLI::ExitCodes;
  const auto code = static_cast<Code>(e.get_exit_code());
  if (code == Code::RequiredError) return say(Off::missing, first);
  if (code == Code::ExtrasError) return say(Off::stranger, halfround::cli::strangest(words, behind));
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
  CLI::App app;
  app.set_version_flag("--version", "halfround 0.1.0");
  app.set_help_flag("-h,--help", "This help");
  app.require_subcommand(1);
  const auto add = [](CLI::App& to, const char* name) {
    const std::string whole = to.get_parent() == nullptr ? name : to.get_name() + " " + name;
    return to.add_subcommand(name, std::string(cli::command_row(whole).does));
  };

  std::string path, data, shop, folder = "sheets", starter = "-";
  bool json = false;
  auto* make = add(app, "make");
  make->add_option("job", path, kJob)->required();
  make->add_option("-o,--output", folder, "Folder for the sheets")
      ->type_name("FOLDER")
      ->capture_default_str();
  make->add_option("--shop", shop, "Shop file: adds cards for its machines, adapters and a cut list")
      ->type_name("SHOP");
  bool no_solids = false;
  make->add_flag("--no-solids", no_solids, "Leave out solid/fork.step and solid/fork.glb");
  auto* solve = add(app, "solve");
  solve->add_option("job", path, kJob)->required();
  solve->add_flag("--json", json, "As JSON (docs/answer.schema.json)");
  solve->add_option("--shop", shop, "Shop file: adds what to set on its machines and fixtures")
      ->type_name("SHOP");
  auto* check = add(app, "check");
  check->add_option("job", path, kJob)->required();
  check->add_flag("--json", json, "As JSON");
  bool strict = false;
  check->add_flag("--strict", strict,
                  "Exit code 6 for every line not met, not only for what may break or touch");
  cli::Take take;
  auto* replan = add(app, "replan");
  replan->add_option("job", path, "A job with a [done] section; otherwise as for check")->required();
  replan->add_flag("--json", json, "As JSON (docs/replan.schema.json)");
  auto* write = replan->add_option("--write", take.write, "Write one way into this new job file, or book:NEW")
                    ->type_name("NEW");
  replan->add_option("--take", take.way, "The number of the way that --write takes")
      ->type_name("N")
      ->needs(write)
      ->capture_default_str();
  std::vector<std::string> plate;
  auto* stands = add(app, "stands");
  stands->add_option("job", path, kJob)->required();
  stands->add_option("readings", plate, "From the measuring sheet, each with its letter: A=404.6 B=404.5 ...")
      ->required();
  stands->add_flag("--json", json, "As JSON (docs/stands.schema.json)");
  std::string moved, stayed;
  auto* proof = add(app, "proof");
  proof->add_option("job", path, kJob)->required();
  auto* by = proof->add_option("--moved", moved, "How far the axle moved under the load")->type_name("MM");
  proof->add_option("--stayed", stayed, "How much of that stayed when the load was taken off")
      ->type_name("MM")
      ->needs(by);
  std::string readings;
  job::FitUpWords words;
  auto* fit_up = add(app, "fitup");
  fit_up->add_option("job", path, kJob)->required();
  auto* from_file =
      fit_up->add_option("readings", readings, "File with the readings; or give the options below");
  fit_up->add_option("--end", words.end, "The joint: \"left blade, upper end\"")
      ->type_name("END")
      ->excludes(from_file);
  fit_up->add_option("--touch", words.touch, "Clock positions that touch: \"30 210\"")
      ->type_name("CLOCKS")
      ->excludes(from_file);
  fit_up->add_option("--gap", words.gaps, "Feelers that go in: \"90=0.15 270=0.3\"")
      ->type_name("GAPS")
      ->excludes(from_file);
  fit_up->add_option("--no-touch", words.no_touch, "Clock positions to leave alone")
      ->type_name("CLOCKS")
      ->excludes(from_file);
  fit_up->add_option("--allowed", words.allowed, "Gap that may stay, mm")
      ->type_name("MM")
      ->excludes(from_file);
  fit_up->add_option("--feeler", words.feeler, "Step from one feeler to the next, mm")
      ->type_name("MM")
      ->excludes(from_file);
  std::string fit_up_folder;
  fit_up->add_option("-o,--output", fit_up_folder, "Folder for a sheet of it")->type_name("FOLDER");
  fit_up->add_flag("--json", json, "As JSON (docs/fitup.schema.json)");
  cli::ImportWords traced;
  auto* import = add(app, "import");
  import->add_option("file", path, "CSV, SVG or DXF, or - for standard input")->required();
  import->add_option("--as", traced.as, "blade-outline (a section), blade-centreline or tyre")
      ->type_name("KIND")
      ->required();
  import->add_option("--units", traced.units, "mm, in, cm or m, if the file doesn't say")->type_name("UNIT");
  import->add_option("--smooth", traced.smooth, "The farthest a point may be moved, mm")
      ->type_name("MM")
      ->capture_default_str();
  import->add_option("--turn", traced.turn, "Turn the drawing first, counter-clockwise")
      ->type_name("DEGREES");
  import->add_flag("--flip", traced.flip, "Mirror the drawing left and right");
  import->add_flag("--reverse", traced.reverse, "The centreline was drawn from the top down");
  import->add_option("--seen", traced.seen, "The centreline is seen from the front or from the side")
      ->type_name("VIEW")
      ->capture_default_str();
  import->add_option("--curve", traced.curve, "Which curve of the file, from 1; else the longest")
      ->type_name("N");
  import->add_option("-o,--output", traced.output, "The new file; a picture is made next to it")
      ->type_name("NEW.toml");
  auto* start = add(app, "new");
  start->add_option("file", starter, "The new job file; - for standard output")->capture_default_str();
  auto* jobs = add(app, "jobs");
  jobs->add_flag("--json", json, "As JSON");
  auto* backup = add(*jobs, "backup");
  backup->add_option("file", path, "The new file")->required();
  auto* restore = add(*jobs, "restore");
  restore->add_option("file", path, "The file that `halfround jobs backup` wrote")->required();
  jobs->require_subcommand(0, 1);
  std::string kept_name;
  auto* keep = add(app, "keep");
  keep->add_option("file", path, "Job file, or - for standard input")->required();
  keep->add_option("--name", kept_name, "Its name in the job book; else the job's own")->type_name("NAME");
  cli::ServeWords serving;
  auto* serve = add(app, "serve");
  serve->add_option("--port", serving.port, "Port on this machine; 0: any free one")
      ->type_name("N")
      ->capture_default_str();
  serve->add_option("--shop", shop, "Shop file to use from now on, in place of the saved shop")
      ->type_name("SHOP");
  serve->add_flag("--open-network", serving.open_network,
                  "Switch the shop network on at once, for paired devices");
  serve->add_flag("--take-copy", serving.take_copy,
                  "Move a damaged job book away and go on with its last good copy");

  for (CLI::App* with_book : {make, solve, check, replan, stands, proof, fit_up, jobs, backup, restore, keep, serve})
    with_book->add_option("--data", data, "Folder of the job book; else ~/.local/share/halfround")
        ->type_name("FOLDER");

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    if (dynamic_cast<const CLI::CallForHelp*>(&e) != nullptr) {
      std::cout << help(app);
      return cli::kDone;
    }
    if (e.get_exit_code() == 0) return app.exit(e);  // --version
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
