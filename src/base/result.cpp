#include "base/result.h"

namespace halfround::base {

std::string sentence(const Problem& problem) {
  std::string out;
  const auto part = [&](const std::string& text) {
    if (!out.empty()) out += ", ";
    out += text;
  };
  if (!problem.where.file.empty()) part(problem.where.file);
  if (problem.where.line > 0) part("line " + std::to_string(problem.where.line));
  if (!problem.where.key.empty()) part(problem.where.key);
  if (!out.empty()) out += ": ";
  out += problem.what;
  if (!problem.fits.empty()) out += " " + problem.fits;
  return out;
}

}  // namespace halfround::base
