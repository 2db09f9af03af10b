// The shop's library: what cuts, holds, joins and lies on the rack, for the jobs of this store.
#include "job/shop_schema.h"
#include "serve/merge.h"
#include "serve/routes_parts.h"

namespace halfround::serve {

namespace {

Json fields_json(const std::string& text) {
  Json out = Json::object();
  const auto fields = job::fields_of(text, shop_text().file, job::Lists::apart);
  if (!fields) return out;
  for (const job::Field& f : *fields) {
    out[f.key] = field_json(job::shop_schema(), f.key, f.typed);
    out[f.key]["line"] = f.line;
  }
  return out;
}

Reply whole_shop(const House& house) {
  const auto newest = house.desk.shop();
  if (!newest) return refused_reply(newest.error());
  return json_reply({{"revision", newest->number},
                     {"toml", newest->text},
                     {"fields", fields_json(newest->text)},
                     {"problems", problems_json(shop_text().wrong(newest->text))},
                     {"can_undo", newest->back != 0},
                     {"can_redo", newest->forward != 0}});
}

/// Every page is told, whichever job it shows: cards and set-ups may read differently now.
Reply moved_on(const Done<std::int64_t>& done) {
  if (!done) return refused_reply(done.error());
  Reply reply = json_reply({{"revision", *done}});
  reply.events.push_back({"", Json{{"event", "shop"}, {"revision", *done}}.dump()});
  return reply;
}

}  // namespace

Reply shop_reply(const House& house, const Request& request, const Target& target, const Json& body) {
  const std::string what = target.path.size() == 3 ? target.path[2] : "";
  const std::int64_t base = number_in(body, "base");
  if (target.path.size() > 3) return not_found("such part of the shop");
  if (request.method == "GET" && target.path.size() == 2) return whole_shop(house);
  if (request.method == "GET" && what == "schema") return json_reply(schema_json(job::shop_schema()));
  if (request.method != "POST") return not_found("such part of the shop");
  if (what == "undo") return moved_on(house.desk.undo_shop(base));
  if (what == "redo") return moved_on(house.desk.redo_shop(base));
  if (what != "edits") return not_found("such part of the shop");
  const auto edits = edits_in(body);
  return edits ? moved_on(house.desk.edit_shop(base, *edits)) : edits_unreadable();
}

}  // namespace halfround::serve
