// What the shop floor tells: the log, ticked steps; units; the network and its devices.
#include <fmt/format.h>

#include <cmath>

#include "base/say.h"
#include "serve/pairing.h"
#include "serve/routes_parts.h"

namespace halfround::serve {

namespace {

constexpr std::size_t kLongestWord = 400;       // bytes of one entry
constexpr std::size_t kLongestDeviceName = 60;  // bytes

Reply log(const JobRequest& r) {
  store::Store& store = r.house.desk.store();
  if (r.request.method == "POST") {
    const auto word = [&](const char* key) { return text_in(r.body, key).substr(0, kLongestWord); };
    const auto put = store.log(r.id, {"", word("who"), word("what"), word("key"), word("typed")});
    if (!put) return refused_reply(put.error());
    Reply reply = json_reply(Json::object());
    reply.events.push_back({r.id, "{\"event\":\"log\"}"});
    return reply;
  }
  const auto rows = store.log_of(r.id);
  if (!rows) return refused_reply(rows.error());
  Json out = Json::array();
  for (const store::LogRow& row : *rows)
    out.push_back(
        {{"at", row.at}, {"who", row.who}, {"what", row.what}, {"key", row.key}, {"typed", row.typed}});
  return json_reply(out);
}

Reply steps(const JobRequest& r) {
  store::Store& store = r.house.desk.store();
  if (r.request.method == "POST") {
    const std::string step = text_in(r.body, "step").substr(0, kLongestWord);
    const auto done = r.body.find("done");
    if (step.empty() || done == r.body.end() || !done->is_boolean())
      return refusal(400, "request-unreadable", "\"step\" or \"done\" is missing.",
                     "{\"step\": \"measure 1\", \"done\": true, \"who\": \"at the mill\"}");
    const std::string who = text_in(r.body, "who").substr(0, kLongestWord);
    const auto put = store.tick(r.id, {step, who, "", done->get<bool>()});
    if (!put) return refused_reply(put.error());
    Reply reply = json_reply(Json::object());
    const Json event{{"event", "step"}, {"step", step}, {"done", done->get<bool>()}, {"who", who}};
    reply.events.push_back({r.id, event.dump(-1, ' ', false, Json::error_handler_t::replace)});
    return reply;
  }
  const auto ticks = store.ticks_of(r.id);
  if (!ticks) return refused_reply(ticks.error());
  Json out = Json::object();
  for (const store::Tick& t : *ticks) out[t.step] = {{"done", t.done}, {"who", t.who}, {"at", t.at}};
  return json_reply({{"steps", std::move(out)}});
}

std::string other_unit(const base::Quantity& q, base::Kind kind) {
  if (kind == base::Kind::length)
    return q.inches ? base::format_length(q.value, 2) : base::format_inches(q.value);
  if (kind == base::Kind::angle)
    return q.typed.find('\'') == std::string::npos ? base::format_angle_minutes(q.value)
                                                   : base::format_angle(q.value, 2);
  return base::say("{:.2f} lb", q.value / 0.45359237);  // [source: international pound, exact]
}

Reply pair(const House& house, const Json& body) {
  const Network network = house.network();
  if (!network.on) return refusal(409, "network-off", "The shop network is off.", "Switch it on first.");
  const std::string token = fresh_token();
  const auto id =
      house.desk.store().add_device(hash_of(token), text_in(body, "name").substr(0, kLongestDeviceName));
  if (!id) return refused_reply(id.error());
  house.recheck_devices();
  const std::string link = fmt::format("http://{}/#phone?token={}", network.address, token);
  return json_reply({{"link", link}, {"qr_svg", qr_svg(link)}, {"token_id", *id}});
}

/// Those that may come in.
Reply paired(const House& house) {
  const auto all = house.desk.store().devices();
  if (!all) return refused_reply(all.error());
  Json out = Json::array();
  for (const store::Device& d : *all) {
    if (d.gone.empty())
      out.push_back(
          {{"token_id", d.id}, {"name", d.name}, {"kind", d.kind}, {"made", d.made}, {"seen", d.seen}});
  }
  return json_reply(out);
}

/// One, or all.
Reply withdraw(const House& house, const std::vector<std::string>& path) {
  const auto id = path.size() == 2 ? std::optional<long long>(0) : whole(path[2]);
  const bool one = path.size() == 3 && id.value_or(0) > 0;
  const auto gone = one || path.size() == 2 ? house.desk.store().withdraw_device(*id) : base::Result<int>(0);
  if (!gone) return refused_reply(gone.error());
  house.recheck_devices();
  return path.size() == 3 && *gone == 0 ? not_found("such pairing") : json_reply({{"withdrawn", *gone}});
}

Reply pairing_reply(const House& house, const Request& request, const Target& target, const Json& body) {
  if (request.method == "GET" && target.path.size() == 2) return paired(house);
  if (request.method == "POST" && target.path.size() == 2) return pair(house, body);
  if (request.method == "DELETE" && target.path.size() <= 3) return withdraw(house, target.path);
  return not_found("such request");
}

}  // namespace

Reply floor_reply(const JobRequest& r) {
  if (r.what.size() != 1) return not_found("such part of a job");
  if (r.what.front() == "log") return log(r);
  if (r.what.front() == "steps") return steps(r);
  return not_found("such part of a job");
}

Reply unit_reply(const Target& target) {
  const std::string form = target.get("form");
  const base::Kind kind = form == "angle"  ? base::Kind::angle
                          : form == "mass" ? base::Kind::mass
                                           : base::Kind::length;
  const auto q = base::parse_quantity(target.get("text"), kind);
  if (!q) return json_reply({{"value", nullptr}, {"other", ""}, {"problem", problem_json(q.error())}});
  const double value = kind == base::Kind::angle ? base::to_deg(q->value) : q->value;
  return json_reply({{"value", value}, {"other", other_unit(*q, kind)}});
}

Reply network_reply(const House& house, const Request& request, const Target& target, const Json& body) {
  const auto told = [](const Network& n) { return json_reply({{"on", n.on}, {"address", n.address}}); };
  if (!request.from_here)
    return refusal(403, "only-here", "The shop network is switched at the machine itself.", "");
  if (target.path[1] == "pairing") return pairing_reply(house, request, target, body);
  if (request.method == "GET") return told(house.network());
  if (request.method == "POST") {
    const auto on = body.find("on");
    if (on == body.end() || !on->is_boolean())
      return refusal(400, "request-unreadable", "\"on\" is missing.", "{\"on\": true}");
    const auto now = house.switch_network(on->get<bool>());
    return now ? told(*now) : refused_reply(Refusal{409, {now.error()}, 0});
  }
  return not_found("such request");
}

}  // namespace halfround::serve
