// One look at a job as bytes for the page: a JSON header and the drawings' points as 32-bit numbers
// (docs/serve.md, "View frame"). Frame P of each page drawn, mm.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "serve/engine.h"
#include "sheet/table_view.h"

namespace halfround::serve {

/// What the page asks to see: one view, or several that are read together.
struct Look {
  std::vector<sheet::Show> shows{sheet::Show::front};
  double at = 0;  ///< of a section, mm
  sheet::Over over;
};
/// "front", "side", "template-left", "template-right", "section", up to four of them with commas; empty where
/// a word is none of them.
[[nodiscard]] std::vector<sheet::Show> shows_of(std::string_view words);
/// "stress,sweep": what lies over the drawing; words it does not know are passed over.
[[nodiscard]] sheet::Over over_of(std::string_view words);

/// What the header says beside the answer.
struct Heading {
  std::optional<std::int64_t> reply;  ///< number of the page's message
  std::int64_t revision = 0;
  std::int64_t made = 0;   ///< what the page's own message became; 0: it changed nothing, or was refused
  bool saved = false;      ///< the text shown is the newest revision
  base::Problems refused;  ///< why an edit was not taken, before the job's own problems
};

/// The pages that are looked at; none where there is no fork.
[[nodiscard]] std::vector<sheet::TableView> looked_at(const Worked& worked, const Look& look);

///   in  drawn  what looked_at() gave for the same fork;  with_pages  false: they went ahead
[[nodiscard]] std::string view_frame(const Worked& worked, const std::vector<sheet::TableView>& drawn,
                                     const Heading& heading, bool with_pages = true);

/// What may be typed next, drawn before it is.
struct Foreseen {
  std::string typed;
  std::int64_t revision = 0;  ///< it would change
};
/// The pages alone, ahead of the view frame with the same number.
[[nodiscard]] std::string page_frame(const std::vector<sheet::TableView>& drawn, std::int64_t reply,
                                     const std::optional<Foreseen>& foreseen = {});

}  // namespace halfround::serve
