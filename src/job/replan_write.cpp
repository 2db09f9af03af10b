// One way written into the job's text; what the builder wrote beside it stays.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <vector>

#include "job/replan.h"

namespace halfround::job {

using base::Problem;
using base::Result;

namespace {

std::string section_of(const std::string& key) {
  const auto dot = key.rfind('.');
  return dot == std::string::npos ? std::string() : key.substr(0, dot);
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out(1);
  for (const char c : text) {
    if (c == '\n') {
      out.emplace_back();
    } else {
      out.back() += c;
    }
  }
  return out;
}

/// Where the value on a line ends: before the comment, the space before it not counted.
std::size_t end_of_value(const std::string& line, std::size_t from) {
  char quote = 0;
  std::size_t end = from;
  for (std::size_t i = from; i < line.size(); ++i) {
    if (quote != 0) {
      if (line[i] == quote) quote = 0;
    } else if (line[i] == '"' || line[i] == '\'') {
      quote = line[i];
    } else if (line[i] == '#') {
      break;
    }
    if (line[i] != ' ' && line[i] != '\t' && line[i] != '\r') end = i + 1;
  }
  return end;
}

}  // namespace

Result<std::string> mended_text(const std::string& text, const Job& job, const Alternative& way) {
  if (way.set.empty() && !way.unchanged()) {
    return tl::unexpected(Problem{"replan-two-sided",
                                  {job.file, 0, 0, "done"},
                                  "In this way the sides differ, and the job can't state that.",
                                  "Take a way that lists keys, or set the fork by the numbers it prints."});
  }
  std::vector<std::string> lines = lines_of(text);
  std::map<int, int> keys_on;  // how many keys share a line
  for (const auto& [key, at] : job.lines) {
    const bool table = job.lines.lower_bound(key + ".") != job.lines.end() &&
                       job.lines.lower_bound(key + ".")->first.starts_with(key + ".");
    if (!table) ++keys_on[at.line];
  }
  const auto alone = [&](const std::string& key) -> Result<std::size_t> {
    const int line = job.lines.at(key).line;
    const auto row = static_cast<std::size_t>(line - 1);
    if (keys_on[line] > 1 || row >= lines.size() || lines[row].find('=') == std::string::npos) {
      return tl::unexpected(Problem{"replan-inline",
                                    {job.file, line, 0, key},
                                    fmt::format("{} stands in braces with other keys.", key),
                                    "Give each key a line of its own, or write the new values by hand."});
    }
    return row;
  };
  std::map<std::size_t, std::vector<std::string>> after;  // new lines below an old one
  std::vector<std::size_t> gone;
  for (const std::string& key : way.drop) {
    const auto row = alone(key);
    if (!row) return tl::unexpected(row.error());
    gone.push_back(*row);
  }
  for (const Setting& s : way.set) {
    if (job.lines.contains(s.key)) {
      const auto row = alone(s.key);
      if (!row) return tl::unexpected(row.error());
      std::string& line = lines[*row];
      std::size_t from = line.find('=') + 1;
      while (from < line.size() && line[from] == ' ') ++from;
      line.replace(from, end_of_value(line, from) - from, s.value);
      continue;
    }
    // a new key stands below one of its own section
    const std::string head = section_of(s.key) + ".";
    const auto near = std::ranges::find_if(
        job.lines, [&](const auto& entry) { return section_of(entry.first) + "." == head; });
    base::check(near != job.lines.end(), "a section that gets a key has one already");
    const auto row = alone(near->first);
    if (!row) return tl::unexpected(row.error());
    // spelt like its neighbour, whose name may carry a part of the section
    const std::string& line = lines[*row];
    const std::string name = line.substr(0, line.find('='));
    const auto dot = name.rfind('.');
    after[*row].push_back(
        (dot == std::string::npos ? name.substr(0, name.find_first_not_of(" \t")) : name.substr(0, dot + 1)) +
        s.key.substr(s.key.rfind('.') + 1) + " = " + s.value);
  }
  std::string out;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (i > 0) out += '\n';
    out += std::ranges::find(gone, i) != gone.end() ? "# " + lines[i] : lines[i];
    for (const std::string& more : after[i]) out += "\n" + more;
  }
  return out;
}

}  // namespace halfround::job
