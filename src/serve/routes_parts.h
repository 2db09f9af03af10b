// The replies by what they are about. Only this room sees this header.
#pragma once

#include "serve/page_json.h"
#include "serve/routes.h"

namespace halfround::serve {

[[nodiscard]] Reply json_reply(const Json& json, int status = 200);
[[nodiscard]] Reply refused_reply(const Refusal& refusal);
[[nodiscard]] Reply refused_reply(const base::Problem& problem);
[[nodiscard]] Reply not_found(const std::string& what);
/// "" where the key is missing or no text.
[[nodiscard]] std::string text_in(const Json& body, const char* key);
/// 0 where the key is missing or no whole number.
[[nodiscard]] std::int64_t number_in(const Json& body, const char* key);
/// Nothing where "edits" is no list of {key, typed}.
[[nodiscard]] std::optional<std::vector<job::Edit>> edits_in(const Json& body);
[[nodiscard]] Reply edits_unreadable();
/// {"event":"changed","revision":n}
[[nodiscard]] std::string changed_event(std::int64_t revision);

/// One request to a job: `what` are the steps of its path behind the id.
struct JobRequest {
  const House& house;
  const Request& request;
  const Target& target;
  std::string id;
  std::vector<std::string> what;
  Json body;  ///< of a POST
};
[[nodiscard]] Reply job_reply(const JobRequest& r);    ///< text, edits, history
[[nodiscard]] Reply drawn_reply(const JobRequest& r);  ///< view, sheets, solid, comparison; 404: none of them
[[nodiscard]] Reply floor_reply(const JobRequest& r);  ///< log, steps; 404: none of them
[[nodiscard]] Reply cards_reply(const House& house, const std::string& id);
[[nodiscard]] Reply shop_reply(const House& house, const Request& request, const Target& target,
                               const Json& body);
[[nodiscard]] Reply unit_reply(const Target& target);
[[nodiscard]] Reply network_reply(const House& house, const Request& request, const Target& target,
                                  const Json& body);

}  // namespace halfround::serve
