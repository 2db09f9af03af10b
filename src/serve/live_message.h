// One message of a live socket, without a network: understood, done, and what the page sees then. Only this
// room sees this header.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "serve/desk.h"
#include "serve/view_frame.h"

namespace halfround::serve {

struct Message {
  std::string what;  ///< "try", "set", "show", "undo", "redo", "back", "foresee"
  std::optional<std::int64_t> id;
  std::int64_t base = 0;
  std::int64_t revision = 0;  ///< back: the one whose text is wanted again
  std::vector<job::Edit> edits;
  Look look;
  std::string key;                 ///< foresee: the one being typed at
  std::vector<std::string> typed;  ///< what may stand there after the next key, likeliest first
  std::int64_t foreseen = 0;       ///< try: its pages are there already, drawn on this revision
  bool ahead = false;              ///< the pages are wanted before the studies are done
  std::size_t bytes = 0;           ///< as it came
  int wait = 0;                    ///< seconds until this device may change anything again
  [[nodiscard]] bool looks() const { return what == "try" || what == "show"; }
};

/// Nothing where it can't be understood. What it doesn't say about the look stays as it was.
[[nodiscard]] std::optional<Message> understood(const std::string& text, const Look& before);

/// A message done: what the page is to see now.
struct Outcome {
  std::string text;
  Heading heading;
  std::optional<std::int64_t> changed;  ///< the job moved on to this revision
};
[[nodiscard]] Outcome done(Desk& desk, const std::string& job, const Message& m);

/// Sends the pages ahead of their view; false: the studies are of no use any more.
using GoAhead = std::function<bool(std::string pages)>;
/// The view that answers it; "" where `go_ahead` said so.
[[nodiscard]] std::string answer_frame(Desk& desk, const Outcome& outcome, const Message& m,
                                       const GoAhead& go_ahead);

/// What may be typed next, drawn; "" where there would be no such fork.
[[nodiscard]] std::string foreseen_frame(Desk& desk, const std::string& job, const Message& m,
                                         const std::string& typed);

}  // namespace halfround::serve
