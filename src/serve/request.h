// A request and its reply, without a network: what routes.h turns one into the other. Frame: none.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace halfround::serve {

/// A target taken apart once, its escapes undone: whatever is decided about a request is decided on this, so
/// that no spelling of a path is judged otherwise than it is answered.
struct Target {
  std::vector<std::string> path;  ///< "api", "jobs", "12ab"
  std::map<std::string, std::string> query;
  [[nodiscard]] std::string get(const std::string& name) const;  ///< "" where there is none
};
/// Nothing where the target is malformed or holds a step upward.
[[nodiscard]] std::optional<Target> taken_apart(std::string_view target);

struct Request {
  std::string method = "GET";  ///< what is asked by HEAD is asked by GET
  Target target;
  std::string body;
  bool from_here = true;  ///< from this machine itself
  bool takes_gzip = false;
};

/// Something every socket on a job is told, but for the one it came from.
struct Event {
  std::string job;  ///< "": whichever
  std::string text;
};

struct Reply {
  int status = 200;
  std::string type = "application/json";
  std::string body;
  bool gzipped = false;
  bool lasting = false;  ///< never changes under its name: a browser may keep it
  std::vector<Event> events{};
  int wait = 0;  ///< seconds until it may be asked again; 0: it isn't a matter of time
};

/// A whole number; nothing for anything else.
[[nodiscard]] std::optional<long long> whole(std::string_view text);

}  // namespace halfround::serve
