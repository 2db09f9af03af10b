// One way written into the job's text; what the builder wrote beside it stays.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
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

/// Does the job say something below this key?
bool is_table(const Job& job, const std::string& key) {
  const auto below = job.lines.lower_bound(key + ".");
  return below != job.lines.end() && below->first.starts_with(key + ".");
}

/// "[wishes.right]   # the disc side"
bool heads(const std::string& line, const std::string& section) {
  const auto open = line.find_first_not_of(" \t");
  if (open == std::string::npos || line[open] != '[') return false;
  const auto close = line.find(']', open);
  if (close == std::string::npos) return false;
  std::string name = line.substr(open + 1, close - open - 1);
  std::erase_if(name, [](char c) { return c == ' ' || c == '\t'; });
  return name == section;
}

Problem inline_problem(const Job& job, int line, const std::string& key) {
  return {"replan-inline",
          {job.file, line, 0, key},
          fmt::format("{} stands in braces with other keys.", key),
          "Give each key a line of its own, or write the new values by hand."};
}

/// A section written in braces takes no heading of its own or of a part.
std::optional<Problem> in_braces(const Job& job, const std::string& section,
                                 const std::map<int, int>& keys_on) {
  for (std::string at = section; !at.empty(); at = section_of(at)) {
    for (const auto& [key, where] : job.lines) {
      const auto n = keys_on.find(where.line);
      if (section_of(key) == at && !is_table(job, key) && n != keys_on.end() && n->second > 1)
        return inline_problem(job, where.line, key);
    }
  }
  return std::nullopt;
}

}  // namespace

Result<std::string> mended_text(const std::string& text, const Job& job, const Alternative& way) {
  std::vector<std::string> lines = lines_of(text);
  std::map<int, int> keys_on;  // how many keys share a line
  for (const auto& [key, at] : job.lines) {
    if (!is_table(job, key)) ++keys_on[at.line];
  }
  const auto alone = [&](const std::string& key) -> Result<std::size_t> {
    const int line = job.lines.at(key).line;
    const auto row = static_cast<std::size_t>(line - 1);
    if (keys_on[line] > 1 || row >= lines.size() || lines[row].find('=') == std::string::npos) {
      return tl::unexpected(inline_problem(job, line, key));
    }
    return row;
  };
  std::map<std::size_t, std::vector<std::string>> after;     // new lines below an old one
  std::map<std::string, std::vector<std::string>> sections;  // new ones, at the end
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
    // a new key stands below one of its own section, or below its heading, or in a section of its own
    const std::string head = section_of(s.key);
    const auto near = std::ranges::find_if(job.lines, [&](const auto& entry) {
      return section_of(entry.first) == head && !is_table(job, entry.first);
    });
    const std::string name_alone = s.key.substr(head.size() + 1) + " = " + s.value;
    if (near == job.lines.end()) {
      if (const auto inside = in_braces(job, head, keys_on)) return tl::unexpected(*inside);
      const auto heading = std::ranges::find_if(lines, [&](const std::string& l) { return heads(l, head); });
      if (heading != lines.end()) {
        after[static_cast<std::size_t>(heading - lines.begin())].push_back(name_alone);
      } else {
        sections[head].push_back(name_alone);
      }
      continue;
    }
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
  for (const auto& [head, keys] : sections) {
    out += fmt::format("{}\n[{}]\n", out.ends_with('\n') ? "" : "\n", head);
    for (const std::string& key : keys) out += key + "\n";
  }
  return out;
}

}  // namespace halfround::job
