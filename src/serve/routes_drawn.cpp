// What is drawn and worked out of a job: views, sheets, the solid, two revisions compared, cards.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "serve/assets.h"
#include "serve/figures.h"
#include "serve/routes_parts.h"
#include "serve/step_cards.h"
#include "serve/view_frame.h"

namespace halfround::serve {

namespace {

Reply no_fork(const Worked& w) {
  return refused_reply(Refusal{422, w.problems, 0});
}

/// The newest revision, or the one the query names.
base::Result<store::Revision> wanted(const JobRequest& r, const std::string& name) {
  const std::string text = r.target.get(name);
  if (text.empty()) return r.house.desk.store().newest(r.id);
  return r.house.desk.store().revision(r.id, whole(text).value_or(0));
}

Reply view(const JobRequest& r) {
  const auto shows = shows_of(r.target.get("show").empty() ? "front" : r.target.get("show"));
  if (shows.empty())
    return refusal(400, "request-unreadable", "There is no such view.",
                   "front, side, template-left, template-right or section; more than one with commas");
  const auto revision = wanted(r, "revision");
  if (!revision) return refused_reply(revision.error());
  const auto newest = r.house.desk.store().newest(r.id);
  const auto worked = r.house.desk.engine().work(revision->text, r.target.get("light") == "1");
  const double at = std::strtod(r.target.get("at").c_str(), nullptr);
  const bool saved = newest && newest->number == revision->number;
  return {.type = "application/octet-stream",
          .body = view_frame(*worked, looked_at(*worked, {shows, at, over_of(r.target.get("over"))}),
                             {.reply = {}, .revision = revision->number, .saved = saved, .refused = {}})};
}

Reply compare(const JobRequest& r) {
  const auto a = wanted(r, "a"), b = wanted(r, "b");
  if (!a) return refused_reply(a.error());
  if (!b) return refused_reply(b.error());
  Engine& engine = r.house.desk.engine();
  const auto wa = engine.work(a->text, true), wb = engine.work(b->text, true);
  const auto list = [](const Worked& w) { return w.answer ? figures_of(*w.answer) : std::vector<Figure>{}; };
  const std::vector<Figure> left = list(*wa), right = list(*wb);
  Json numbers = Json::array();
  const auto value = [](const std::vector<Figure>& from, const std::string& name) -> Json {
    const auto at = std::ranges::find(from, name, &Figure::name);
    return at == from.end() ? Json(nullptr) : Json(at->value);
  };
  for (const Figure& f : left.empty() ? right : left)
    numbers.push_back({{"name", f.words},
                       {"key", f.name},
                       {"unit", f.unit},
                       {"a", value(left, f.name)},
                       {"b", value(right, f.name)}});
  return json_reply({{"a", a->number}, {"b", b->number}, {"numbers", std::move(numbers)}});
}

Reply sheets(const JobRequest& r) {
  const auto revision = wanted(r, "revision");
  if (!revision) return refused_reply(revision.error());
  const auto worked = r.house.desk.engine().work(revision->text, false);
  if (!worked->answer) return no_fork(*worked);
  const auto book = r.house.desk.engine().book(*worked, revision->number);
  if (!book) return refused_reply(book.error());
  if (r.what.size() == 1) {
    Json out = Json::array();
    for (const sheet::File& f : **book)
      out.push_back({{"name", f.name}, {"what", f.what}, {"bytes", f.bytes.size()}});
    return json_reply(out);
  }
  const std::string name = r.what[1] + (r.what.size() == 3 ? "/" + r.what[2] : "");
  const auto file = std::ranges::find(**book, name, &sheet::File::name);
  if (file == (*book)->end()) return not_found("sheet " + name);
  return {.type = std::string(type_of(name)), .body = file->bytes};
}

Reply solid(const JobRequest& r) {
  const auto revision = wanted(r, "revision");
  if (!revision) return refused_reply(revision.error());
  const auto worked = r.house.desk.engine().work(revision->text, true);
  if (!worked->answer) return no_fork(*worked);
  auto glb = r.house.desk.engine().glb(*worked);
  if (!glb) return refused_reply(glb.error());
  return {.type = "model/gltf-binary", .body = std::move(*glb)};
}

}  // namespace

Reply drawn_reply(const JobRequest& r) {
  if (r.request.method == "POST" || r.what.empty()) return not_found("such drawing");
  const std::string& what = r.what.front();
  if (what == "sheets" && r.what.size() <= 3) return sheets(r);
  if (r.what.size() != 1) return not_found("such drawing");
  if (what == "view") return view(r);
  if (what == "compare") return compare(r);
  if (what == "solid.glb") return solid(r);
  return not_found("such drawing");
}

Reply cards_reply(const House& house, const std::string& id) {
  const auto newest = house.desk.store().newest(id);
  if (!newest) return refused_reply(newest.error());
  const auto worked = house.desk.engine().work(newest->text, true);
  if (!worked->answer) return no_fork(*worked);
  Json cards = Json::array();
  for (const StepCard& c : step_cards(*worked, house.desk.engine().plan(*worked))) {
    Json j{{"id", c.id},
           {"stage", c.stage},
           {"title", c.title},
           {"big", {{"name", c.big.name}, {"value", c.big.value}, {"unit", c.big.unit}}},
           {"lines", c.lines}};
    for (const Wanted& w : c.wanted) {
      Json wanted{
          {"name", w.name}, {"words", w.words}, {"form", w.angle ? "angle" : "length"}, {"value", w.value}};
      if (w.limit) wanted["limit"] = *w.limit;
      j["wanted"].push_back(std::move(wanted));
    }
    if (!c.caution.empty()) j["caution"] = c.caution;
    cards.push_back(std::move(j));
  }
  return json_reply({{"revision", newest->number}, {"cards", std::move(cards)}});
}

}  // namespace halfround::serve
