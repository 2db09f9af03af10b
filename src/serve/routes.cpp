#include "serve/routes.h"

#include <fmt/format.h>

#include "serve/assets.h"
#include "serve/routes_parts.h"
#include "solve/notes.h"

namespace halfround::serve {

Reply json_reply(const Json& json, int status) {
  return {.status = status, .body = json.dump(-1, ' ', false, Json::error_handler_t::replace)};
}

Reply refused_reply(const Refusal& r) {
  Json j{{"problems", problems_json(r.problems)}};
  if (r.revision != 0) j["revision"] = r.revision;
  return json_reply(j, r.status);
}

Reply refused_reply(const base::Problem& problem) {
  return refused_reply(refused(problem));
}

Reply refusal(int status, const std::string& code, const std::string& what, const std::string& fits) {
  return refused_reply(Refusal{status, {{code, {}, what, fits}}, 0});
}

Reply not_found(const std::string& what) {
  return refusal(404, "not-found", fmt::format("There is no {}.", what), "See docs/serve.md.");
}

std::string text_in(const Json& body, const char* key) {
  const auto at = body.find(key);
  return at != body.end() && at->is_string() ? at->get<std::string>() : "";
}

std::int64_t number_in(const Json& body, const char* key) {
  const auto at = body.find(key);
  return at != body.end() && at->is_number_integer() ? at->get<std::int64_t>() : 0;
}

std::optional<std::vector<job::Edit>> edits_in(const Json& body) {
  constexpr std::size_t kMost = 200;
  const auto at = body.find("edits");
  if (at == body.end() || !at->is_array() || at->size() > kMost) return std::nullopt;
  std::vector<job::Edit> out;
  for (const Json& e : *at) {
    if (!e.is_object() || text_in(e, "key").empty()) return std::nullopt;
    const auto typed = e.find("typed");
    if (typed == e.end() || !(typed->is_null() || typed->is_string())) return std::nullopt;
    out.push_back(
        {text_in(e, "key"), typed->is_null() ? std::nullopt : std::optional(typed->get<std::string>())});
  }
  return out;
}

Reply edits_unreadable() {
  return refusal(400, "request-unreadable", "\"edits\" is no list of keys and what was typed.",
                 "{\"base\": 4, \"edits\": [{\"key\": \"hub.axle\", \"typed\": \"12\"}]}");
}

std::string changed_event(std::int64_t revision) {
  return fmt::format("{{\"event\":\"changed\",\"revision\":{}}}", revision);
}

namespace {

constexpr int kNoRoom = 507;  // the store refused

Reply asset(const std::string& name, bool lasting) {
  const Asset* file = find_asset(name);
  if (!file) return not_found("file " + name);
  return {.type = std::string(type_of(name)), .body = std::string(file->bytes), .lasting = lasting};
}

std::string joined(const std::vector<std::string>& path) {
  std::string out;
  for (const std::string& step : path) out += (out.empty() ? "" : "/") + step;
  return out;
}

std::string page_name(const Target& target) {
  return "page/" + (target.path.empty() ? "index.html" : joined(target.path));
}

/// As it was packed when the program was built, where the browser can unpack it.
Reply page_file(const Target& target, bool takes_gzip) {
  const std::string name = page_name(target);
  Reply out = asset(name, !target.path.empty() && target.path.front() == "assets");
  const Asset* packed = takes_gzip ? find_asset(name + ".gz") : nullptr;
  if (out.status == 200 && packed) out.body = packed->bytes, out.gzipped = true;
  return out;
}

Reply jobs_reply(const House& house, const Request& request, const Json& body) {
  if (request.method == "POST") {
    const auto id = house.desk.add_job({text_in(body, "name"), text_in(body, "from"), text_in(body, "toml")});
    return id ? json_reply({{"id", *id}}) : refused_reply(id.error());
  }
  const auto jobs = house.desk.store().jobs();
  if (!jobs) return refused_reply(jobs.error());
  Json out = Json::array();
  for (const store::JobRow& row : *jobs)
    out.push_back({{"id", row.id}, {"name", row.name}, {"revision", row.revision}, {"changed", row.changed}});
  return json_reply(out);
}

Reply one_job(const JobRequest& r) {
  for (const auto& part : {&job_reply, &drawn_reply, &floor_reply}) {
    Reply reply = part(r);
    if (reply.status != 404 || reply.body.find("\"not-found\"") == std::string::npos) return reply;
  }
  return not_found("such request to a job");
}

/// Every key of the job file, and what can hurt.
Reply schema_reply() {
  Json all = schema_json(job::schema());
  all["cautions"] = solve::cautions();
  return json_reply(all);
}

Reply wrong_method(const Request& request) {
  const std::string how = request.method == "GET"      ? "read"
                          : request.method == "DELETE" ? "deleted"
                                                       : "written";
  return refusal(405, "method-unknown", fmt::format("This can't be {} here.", how), "See docs/serve.md.");
}

Reply api(const House& house, const Request& request, const Target& target, const Json& body) {
  const std::vector<std::string>& path = target.path;
  const std::string what = path.size() > 1 ? path[1] : "";
  const bool only_read = what == "schema" || what == "pictures" || what == "unit" || what == "cards";
  const bool deletes = request.method == "DELETE", reads = request.method == "GET";
  if ((deletes && what != "pairing") || (only_read && !reads)) return wrong_method(request);
  if (what == "schema" && path.size() == 2) return schema_reply();
  if (what == "pictures" && path.size() == 3) return asset("pictures/" + path[2], false);
  if (what == "shop") return shop_reply(house, request, target, body);
  if (what == "unit" && path.size() == 2) return unit_reply(target);
  if (what == "cards" && path.size() == 3) return cards_reply(house, path[2]);
  if (what == "network" || what == "pairing") return network_reply(house, request, target, body);
  if (what == "jobs" && path.size() == 2) return jobs_reply(house, request, body);
  if (what == "jobs") return one_job({house, request, target, path[2], {path.begin() + 3, path.end()}, body});
  return not_found("such request");
}

}  // namespace

Reply answer(const House& house, const Request& request) {
  const Target& target = request.target;
  const bool reads = request.method == "GET";
  if (target.path.empty() || target.path.front() != "api")
    return reads ? page_file(target, request.takes_gzip)
                 : refusal(405, "method-unknown", "The page can only be read.", "");
  if (!reads && request.method != "POST" && request.method != "DELETE")
    return refusal(405, "method-unknown", request.method + " is no way to ask.", "GET, POST or DELETE.");
  Json body = Json::object();
  if (request.method == "POST") {
    auto read = parsed(request.body);
    if (!read) return refusal(400, "request-unreadable", "The body is no JSON object.", "See docs/serve.md.");
    body = std::move(*read);
  }
  Reply out = api(house, request, target, body);
  if (out.status == kNoRoom && !request.from_here)
    return refused_reply(Refusal{kNoRoom, {for_device({"store-unwritable", {}, "", ""})}, 0});
  return out;
}

bool takes_long(const Target& target) {
  return target.path.size() > 3 && (target.path[3] == "sheets" || target.path[3] == "solid.glb");
}

bool is_page_file(const Target& target) {
  return find_asset(page_name(target)) != nullptr;
}

Reply target_unreadable() {
  return refusal(400, "request-unreadable", "The address can't be read.", "See docs/serve.md.");
}

}  // namespace halfround::serve
