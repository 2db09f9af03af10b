// The help: commands grouped by what a person wants to do, and for each command its options and one example.
// Frame: none.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace halfround::cli {

/// What a person wants to do, in the order of the help.
enum class Purpose { begin, judge, sheets, differs, page };

/// One command of the program, in the order of the help.
struct CommandRow {
  std::string_view name;  ///< "make", "jobs backup"
  Purpose purpose = Purpose::begin;
  std::string_view does;     ///< one line, without a full stop
  std::string_view example;  ///< a whole line to type
};
[[nodiscard]] std::span<const CommandRow> command_rows();
/// in   name  of a command in the table
[[nodiscard]] const CommandRow& command_row(std::string_view name);

/// A word or an option of a command, with what it is.
struct HelpLine {
  std::string words;  ///< "JOB", "-o, --output FOLDER"
  std::string what;
};

/// The whole program's help.
[[nodiscard]] std::string help_of_all();

/// in   line   the command as it is typed: "halfround make JOB"
///      words  what must or may follow it; options  in the order of their importance
[[nodiscard]] std::string help_of(const CommandRow& command, const std::string& line,
                                  const std::vector<HelpLine>& words, const std::vector<HelpLine>& options);

}  // namespace halfround::cli
