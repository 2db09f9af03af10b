#include "cli/usage.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <set>
#include <sstream>

#include "base/spelling.h"

namespace halfround::cli {

namespace {

std::string meant(const std::vector<std::string>& known, const std::string& word) {
  const std::string near = base::nearest_word(known, word);
  return near.empty() ? std::string() : fmt::format(" Did you mean {}?", near);
}

std::vector<std::string> names_of(const std::vector<CommandWords>& commands) {
  std::vector<std::string> out;
  for (const CommandWords& c : commands)
    if (c.name.find(' ') == std::string::npos) out.push_back(c.name);
  return out;
}

/// What a command needs, as one would say it.
std::string spoken(const std::string& missing) {
  if (missing == "job") return "a job file";
  if (missing == "file") return "a file";
  return missing;
}

/// The command that was typed, the one with two words before the one with one; the end where there is none.
std::vector<CommandWords>::const_iterator command_of(const std::vector<CommandWords>& commands,
                                                     const std::vector<std::string>& words) {
  std::vector<std::string> plain;
  for (const std::string& w : words)
    if (!w.starts_with('-')) plain.push_back(w);
  if (plain.empty()) return commands.end();
  if (plain.size() > 1) {
    const auto two = std::ranges::find(commands, plain[0] + " " + plain[1], &CommandWords::name);
    if (two != commands.end()) return two;
  }
  return std::ranges::find(commands, plain[0], &CommandWords::name);
}

std::string sentence_of(const CommandWords& c, Off off, const std::string& detail) {
  switch (off) {
    case Off::missing:
      return fmt::format("{} needs {}: {}", c.name, spoken(detail), c.line);
    case Off::stranger:
      if (!detail.starts_with('-') && !c.commands.empty())
        return fmt::format("{} has no {}.{}", c.name, detail, meant(c.commands, detail));
      if (!detail.starts_with('-'))
        return fmt::format("{} does not take \"{}\" as well: {}", c.name, detail, c.line);
      return fmt::format("{} has no option {}.{}", c.name, detail, meant(c.options, detail));
    case Off::no_value:
      return fmt::format("{} needs a value after it: {}", detail, c.line);
    case Off::value:
      return fmt::format("{} needs a whole number.", detail);
    case Off::together:
      return detail;
  }
  return {};
}

}  // namespace

std::string strangest(const std::vector<std::string>& words, const std::string& unplaced) {
  std::istringstream in(unplaced);
  const std::set<std::string> all{std::istream_iterator<std::string>(in), {}};
  const auto is_one = [&](const std::string& w) { return all.contains(w); };
  const auto option =
      std::ranges::find_if(words, [&](const std::string& w) { return w.starts_with('-') && is_one(w); });
  if (option != words.end()) return *option;
  const auto first = std::ranges::find_if(words, is_one);
  return first != words.end() ? *first : unplaced;
}

std::string usage_sentence(const std::vector<CommandWords>& commands, const std::vector<std::string>& words,
                           Off off, const std::string& detail) {
  const auto word = std::ranges::find_if(words, [](const std::string& w) { return !w.starts_with('-'); });
  const std::string given = word == words.end() ? "" : *word;
  const auto command = command_of(commands, words);
  if (command != commands.end())
    return fmt::format("{}\nhalfround {} --help lists what it takes.\n", sentence_of(*command, off, detail),
                       command->name);
  const std::vector<std::string> names = names_of(commands);
  const std::string all =
      fmt::format("The commands are {}; halfround --help says what each does.\n", fmt::join(names, ", "));
  if (!given.empty()) return fmt::format("There is no command {}.{}\n{}", given, meant(names, given), all);
  if (!words.empty())
    return fmt::format("There is no option {} without a command.{}\n{}", words.front(),
                       meant({"--help", "--version"}, words.front()), all);
  return "A command is missing.\n" + all;
}

}  // namespace halfround::cli
