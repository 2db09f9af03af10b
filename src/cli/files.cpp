#include "cli/files.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <set>
#include <sstream>

namespace halfround::cli {

namespace fs = std::filesystem;
using base::Problem;
using base::Result;

namespace {

constexpr const char* kList = "sheets.txt";  // names of what the last run made, one a line

Problem unreadable(const std::string& path, const std::string& why) {
  return {"file-unreadable",
          {path, 0, 0, ""},
          fmt::format("could not be read: {}.", why),
          "Give the path of a job file, or '-' for standard input."};
}
Problem unwritable(const std::string& folder, const std::string& why) {
  return {"folder-unwritable",
          {folder, 0, 0, ""},
          fmt::format("could not be written: {}.", why),
          "Give a folder you may write to with -o."};
}

/// A plain name, or one in a folder of a plain name: "check-a4.pdf", "cut/plate.dxf".
bool is_ours(const std::string& name) {
  const auto plain = [](const std::string& part) { return !part.empty() && part != "." && part != ".."; };
  const std::size_t slash = name.find('/');
  if (slash == std::string::npos) return plain(name);
  return name.find('/', slash + 1) == std::string::npos && plain(name.substr(0, slash)) &&
         plain(name.substr(slash + 1));
}

std::set<std::string> listed(const fs::path& folder) {
  std::set<std::string> names;
  std::ifstream in(folder / kList);
  for (std::string line; std::getline(in, line);) {
    if (is_ours(line)) names.insert(line);
  }
  return names;
}

void write_one(const fs::path& path, const std::string& bytes) {
  std::ofstream out(path, std::ios::binary);
  out.exceptions(std::ios::failbit | std::ios::badbit);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  out.close();
}

}  // namespace

Result<std::string> read_file(const std::string& path, std::uintmax_t most) {
  if (path == "-") {
    std::string text;
    char block[65536];
    while (std::cin.read(block, sizeof block) || std::cin.gcount() > 0) {
      text.append(block, static_cast<std::size_t>(std::cin.gcount()));
      if (text.size() > most)
        return tl::unexpected(Problem{"file-too-big",
                                      {"standard input", 0, 0, ""},
                                      fmt::format("is larger than {} MB; a job is a few kB.", most >> 20),
                                      "Give a job file."});
    }
    return text;
  }
  std::error_code ec;
  if (!fs::exists(path, ec)) return tl::unexpected(unreadable(path, "there is no such file"));
  if (fs::is_directory(path, ec)) return tl::unexpected(unreadable(path, "it is a folder"));
  const auto size = fs::file_size(path, ec);
  if (!ec && size > most) {
    return tl::unexpected(Problem{"file-too-big",
                                  {path, 0, 0, ""},
                                  fmt::format("is {} MB large; a job is a few kB.", size >> 20),
                                  "Give a job file."});
  }
  std::ifstream in(path, std::ios::binary);
  if (!in) return tl::unexpected(unreadable(path, std::strerror(errno)));
  return std::string(std::istreambuf_iterator<char>(in), {});
}

Result<void> write_text(const std::string& path, const std::string& bytes) {
  const std::string beside = path + ".part";
  try {
    write_one(beside, bytes);
    fs::rename(beside, path);
  } catch (const std::exception&) {
    const std::string why = std::strerror(errno);
    std::error_code ec;
    fs::remove(beside, ec);
    return tl::unexpected(unwritable(path, why));
  }
  return {};
}

Result<void> write_all(const std::string& folder,
                       const std::vector<std::pair<std::string, std::string>>& files) {
  const fs::path into = folder;
  const fs::path beside = into / fmt::format(".halfround-{}", getpid());
  try {
    fs::create_directories(into);
    fs::create_directory(beside);
    std::set<std::string> old = listed(into);
    std::string list;
    for (const auto& [name, bytes] : files) {
      base::check(is_ours(name), "a file lies in the folder or one below it");
      fs::create_directories((beside / name).parent_path());
      fs::create_directories((into / name).parent_path());
      write_one(beside / name, bytes);
      list += name + "\n";
      old.erase(name);
    }
    write_one(beside / kList, list);
    for (const auto& [name, bytes] : files) fs::rename(beside / name, into / name);
    fs::rename(beside / kList, into / kList);
    for (const std::string& name : old) {
      fs::remove(into / name);
      std::error_code not_empty;  // then something else lies in it, and it stays
      if (name.find('/') != std::string::npos) fs::remove((into / name).parent_path(), not_empty);
    }
    fs::remove_all(beside);
  } catch (const std::exception& e) {
    std::error_code ec;
    fs::remove_all(beside, ec);
    const auto* system = dynamic_cast<const std::system_error*>(&e);
    return tl::unexpected(unwritable(
        folder, system && system->code().value() ? system->code().message() : std::strerror(errno)));
  }
  return {};
}

}  // namespace halfround::cli
