// What is wrong with the words of the command, in plain sentences; the parser's own words stay in main.cpp.
#pragma once

#include <string>
#include <vector>

namespace halfround::cli {

/// One command as far as a mistyped line needs it.
struct CommandWords {
  std::string name;                   ///< "make"
  std::string line;                   ///< "halfround make JOB [-o FOLDER] [--shop SHOP]"
  std::vector<std::string> options;   ///< "--shop", "-o"
  std::vector<std::string> commands;  ///< of its own: "backup"
};

/// What the parser met, by kind; the rest is worked out again.
enum class Off {
  missing,   ///< a word the command can't do without
  stranger,  ///< a word it doesn't know
  no_value,  ///< an option without what belongs behind it
  value,     ///< an option with a value that is none
  together,  ///< options that don't go together, or one without its other
};

/// Of the words that the parser could not place, the one to name: an option first, else the first as typed.
///   in  words  as typed;  unplaced  those words, in any order, parted by blanks
[[nodiscard]] std::string strangest(const std::vector<std::string>& words, const std::string& unplaced);

/// in   words   as typed, without the program's name
///      detail  of Off::missing: what is missing ("job"); of the others: the option or word
/// out  sentences, each on its own line; the last names the help
[[nodiscard]] std::string usage_sentence(const std::vector<CommandWords>& commands,
                                         const std::vector<std::string>& words, Off off,
                                         const std::string& detail);

}  // namespace halfround::cli
