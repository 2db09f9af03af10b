// One look at a job as bytes for the page: a JSON header and the drawing's points as 32-bit numbers
// (docs/serve.md, "View frame"). Frame P of the page drawn, mm.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "serve/engine.h"
#include "sheet/table_view.h"

namespace halfround::serve {

/// What the page asks to see.
struct Look {
  sheet::Show show = sheet::Show::front;
  double at = 0;  ///< of a section, mm
  sheet::Over over;
};
/// "front", "side", "template-left", "template-right", "section"; nothing where it is none of them.
[[nodiscard]] std::optional<sheet::Show> show_of(std::string_view word);
/// "stress,sweep": what lies over the drawing; words it does not know are passed over.
[[nodiscard]] sheet::Over over_of(std::string_view words);

/// What the header says beside the answer.
struct Heading {
  std::optional<std::int64_t> reply;  ///< number of the page's message
  std::int64_t revision = 0;
  bool saved = false;      ///< the text shown is the newest revision
  base::Problems refused;  ///< why an edit was not taken, before the job's own problems
};

/// The page that is looked at; an empty one where there is no fork.
[[nodiscard]] sheet::TableView looked_at(const Worked& worked, const Look& look);

///   in  drawn  what looked_at() gave for the same fork;  with_page  false: the page went ahead
[[nodiscard]] std::string view_frame(const Worked& worked, const sheet::TableView& drawn,
                                     const Heading& heading, bool with_page = true);

/// The page alone, ahead of the view frame with the same number.
[[nodiscard]] std::string page_frame(const sheet::TableView& drawn, std::int64_t reply);

}  // namespace halfround::serve
