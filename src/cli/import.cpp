#include "cli/import.h"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <ostream>

#include "base/number.h"
#include "cli/commands.h"
#include "cli/complain.h"
#include "cli/files.h"
#include "paper/pdf.h"
#include "paper/svg.h"
#include "sheet/import_sheet.h"

namespace halfround::cli {
namespace {

using base::Problem;

constexpr std::uintmax_t kMostTraced = 64 << 20;  // bytes: a million points and more

Problem word_off(const char* option, const std::string& found, const char* fits) {
  return {"words-off", {"", 0, 0, option}, fmt::format("found \"{}\".", found), fits};
}

base::Result<trace::Wish> wish_of(const ImportWords& w) {
  trace::Wish out{.smooth = w.smooth, .flip = w.flip, .reverse = w.reverse};
  if (w.as == "blade-outline")
    out.kind = trace::Kind::blade_section;
  else if (w.as == "blade-centreline")
    out.kind = trace::Kind::blade_centreline;
  else if (w.as == "tyre")
    out.kind = trace::Kind::tyre;
  else
    return tl::unexpected(word_off("--as", w.as, "Give blade-outline, blade-centreline or tyre."));
  if (w.units == "mm")
    out.unit = 1;
  else if (w.units == "cm")
    out.unit = 10;
  else if (w.units == "m")
    out.unit = 1000;
  else if (w.units == "in")
    out.unit = base::kMmPerInch;
  else if (!w.units.empty())
    return tl::unexpected(word_off("--units", w.units, "Give mm, in, cm or m."));
  if (w.seen == "side")
    out.seen = trace::SeenFrom::side;
  else if (w.seen != "front")
    return tl::unexpected(word_off("--seen", w.seen, "Give front or side."));
  const auto turn = base::read_number(w.turn);
  if (!turn || std::abs(*turn) > 360)
    return tl::unexpected(word_off("--turn", w.turn, "Give degrees from -360 to 360."));
  out.turn = base::to_rad(*turn);
  if (!std::isfinite(w.smooth) || w.smooth < 0 || w.smooth > 5)
    return tl::unexpected(word_off("--smooth", fmt::format("{}", w.smooth),
                                   "Give 0 to 5 mm; 0 leaves every point where it is."));
  if (w.curve < 0) return tl::unexpected(word_off("--curve", std::to_string(w.curve), "Count from 1."));
  out.curve = static_cast<std::size_t>(w.curve);
  return out;
}

}  // namespace

int import(const std::string& path, const ImportWords& words, std::ostream& out, std::ostream& err) {
  namespace fs = std::filesystem;
  const auto wish = wish_of(words);
  if (!wish) return complain(kUsage, {wish.error()}, err);
  const fs::path toml = words.output;
  fs::path pdf = toml, svg = toml;
  pdf.replace_extension(".pdf"), svg.replace_extension(".svg");
  if (!words.output.empty()) {
    for (const fs::path& p : {toml, pdf, svg}) {
      if (fs::exists(p) || p == pdf.parent_path()) return complain(kFiles, {there_already(p.string())}, err);
    }
  }
  const auto text = read_file(path, kMostTraced);
  if (!text) return complain(kFiles, {text.error()}, err);
  const auto what = trace::understand(*text, path == "-" ? "standard input" : path, *wish);
  if (!what) return complain(kJobMistakes, {what.error()}, err);
  for (const std::string& n : what->notes) err << "- " << n << "\n";
  if (words.output.empty()) {
    out << what->toml;
    return kDone;
  }
  const paper::Sheet picture = sheet::import_sheet(
      *what,
      {.job = fs::path(path).filename().string(), .sheet = "traced curve", .revision = "", .note = ""});
  const auto page = paper::to_pdf(picture);
  if (!page) return complain(kFiles, {page.error()}, err);
  std::vector<fs::path> made;
  for (const auto& [file, bytes] :
       {std::pair{pdf, *page}, {svg, paper::to_svg(picture.pages[0])}, {toml, what->toml}}) {
    if (const auto written = write_text(file.string(), bytes, There::left_alone); !written) {
      std::error_code gone;  // nothing is left half done
      for (const fs::path& ours : made) fs::remove(ours, gone);
      return complain(kFiles, {written.error()}, err);
    }
    made.push_back(file);
  }
  out << toml.string() << "   the piece of a job\n"
      << pdf.string() << "   what was understood: look at it\n"
      << svg.string() << "   the same\n";
  return kDone;
}

}  // namespace halfround::cli
