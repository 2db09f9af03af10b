// A job's text, its edits and its history.
#include "serve/routes_parts.h"

namespace halfround::serve {

namespace {

const char* word_of(store::How how) {
  switch (how) {
    case store::How::start:
      return "start";
    case store::How::edit:
      return "edit";
    case store::How::undo:
      return "undo";
    case store::How::redo:
      return "redo";
    case store::How::import:
      return "import";
    case store::How::back:
      return "back";
  }
  return "edit";
}

Reply whole_job(const JobRequest& r) {
  store::Store& store = r.house.desk.store();
  const auto newest = store.newest(r.id);
  if (!newest) return refused_reply(newest.error());
  const auto fields = job::fields_of(newest->text, "job");
  const std::string name = fields ? job::typed_in(*fields, "job.name") : "";
  const auto redo = newest->forward != 0 ? store.revision(r.id, newest->forward)
                                         : base::Result<store::Revision>(store::Revision{});
  return json_reply({{"id", r.id},
                     {"name", name.empty() ? "no name" : name},
                     {"revision", newest->number},
                     {"paper", newest->mark},
                     {"toml", newest->text},
                     {"can_undo", newest->back != 0},
                     {"can_redo", newest->forward != 0},
                     {"undo_what", newest->back != 0 ? newest->what : ""},
                     {"redo_what", redo ? redo->what : ""}});
}

Reply text_of(const JobRequest& r) {
  const auto newest = r.house.desk.store().newest(r.id);
  if (!newest) return refused_reply(newest.error());
  return {.type = "application/toml", .body = newest->text};
}

Reply moved_on(const JobRequest& r, const Done<std::int64_t>& done) {
  if (!done) return refused_reply(done.error());
  Reply reply = json_reply({{"revision", *done}});
  reply.events.push_back({r.id, changed_event(*done)});
  return reply;
}

Reply edits(const JobRequest& r) {
  const auto wanted = edits_in(r.body);
  if (!wanted) return edits_unreadable();
  return moved_on(r, r.house.desk.edit(r.id, number_in(r.body, "base"), *wanted));
}

Reply history(const JobRequest& r) {
  store::Store& store = r.house.desk.store();
  if (r.request.method == "POST") {
    const auto named = store.name_newest(r.id, text_in(r.body, "name").substr(0, 80));
    return named ? json_reply(Json::object()) : refused_reply(named.error());
  }
  const auto all = store.revisions(r.id);
  if (!all) return refused_reply(all.error());
  Json out = Json::array();
  for (const store::Revision& v : *all)
    out.push_back({{"revision", v.number},
                   {"paper", v.mark},
                   {"at", v.at},
                   {"what", v.what},
                   {"name", v.name},
                   {"how", word_of(v.how)}});
  return json_reply(out);
}

/// How the finished fork stands: {readings: {A: "404.6", ...}}; nothing is written.
Reply stands(const JobRequest& r) {
  std::vector<std::string> words;
  const auto readings = r.body.find("readings");
  if (readings != r.body.end() && readings->is_object()) {
    for (const auto& [letter, typed] : readings->items())
      words.push_back(letter + "=" + (typed.is_string() ? typed.get<std::string>() : typed.dump()));
  }
  auto found = r.house.desk.stands(r.id, words);
  return found ? Reply{.body = std::move(*found)} : refused_reply(found.error());
}

}  // namespace

Reply job_reply(const JobRequest& r) {
  const bool post = r.request.method == "POST";
  if (r.what.empty() && !post) return whole_job(r);
  if (r.what.size() != 1) return not_found("such part of a job");
  const std::string& what = r.what.front();
  if (what == "job.toml" && !post) return text_of(r);
  if (what == "edits" && post) return edits(r);
  if (what == "undo" && post) return moved_on(r, r.house.desk.undo(r.id, number_in(r.body, "base")));
  if (what == "redo" && post) return moved_on(r, r.house.desk.redo(r.id, number_in(r.body, "base")));
  if (what == "back" && post)
    return moved_on(r, r.house.desk.back_to(r.id, number_in(r.body, "base"), number_in(r.body, "revision")));
  if (what == "revisions") return history(r);
  if (what == "replan" && post)
    return moved_on(r, r.house.desk.take_way(r.id, number_in(r.body, "base"), number_in(r.body, "way")));
  if (what == "stands" && post) return stands(r);
  if (what == "replan") {
    auto ways = r.house.desk.ways(r.id);
    return ways ? Reply{.body = std::move(*ways)} : refused_reply(ways.error());
  }
  return not_found("such part of a job");
}

}  // namespace halfround::serve
