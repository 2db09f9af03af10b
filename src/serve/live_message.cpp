#include "serve/live_message.h"

#include "serve/net.h"
#include "serve/page_json.h"
#include "serve/routes_parts.h"

namespace halfround::serve {

namespace {

constexpr std::size_t kMostForeseen = 32;  // texts of one message

/// Nothing where "typed" is no list of texts, or too long a one.
std::optional<std::vector<std::string>> texts_in(const Json& j) {
  const auto typed = j.find("typed");
  if (typed == j.end() || !typed->is_array() || typed->size() > kMostForeseen) return std::nullopt;
  std::vector<std::string> out;
  for (const Json& t : *typed) {
    if (!t.is_string()) return std::nullopt;
    out.push_back(t.get<std::string>());
  }
  return out;
}

}  // namespace

std::optional<Message> understood(const std::string& text, const Look& before) {
  const auto j = parsed(text);
  if (!j) return std::nullopt;
  Message out{.what = text_in(*j, "do"),
              .id = {},
              .base = number_in(*j, "base"),
              .revision = number_in(*j, "revision"),
              .edits = {},
              .look = before,
              .key = text_in(*j, "key"),
              .typed = {},
              .foreseen = number_in(*j, "foreseen"),
              .ahead = false,
              .bytes = text.size()};
  if (j->contains("id")) out.id = number_in(*j, "id");
  if (auto shows = shows_of(text_in(*j, "show")); !shows.empty()) out.look.shows = std::move(shows);
  if (const auto at = j->find("at"); at != j->end() && at->is_number()) out.look.at = at->get<double>();
  if (j->contains("over")) out.look.over = over_of(text_in(*j, "over"));
  if (const auto ahead = j->find("ahead"); ahead != j->end()) out.ahead = out.id && *ahead == true;
  if (out.what == "show" || out.what == "undo" || out.what == "redo" || out.what == "back") return out;
  if (out.what == "foresee") {
    auto typed = texts_in(*j);
    if (!typed || !out.id) return std::nullopt;
    out.typed = std::move(*typed);
  } else if (out.what != "try" && out.what != "set") {
    return std::nullopt;
  }
  auto edits = edits_in(*j);
  if (!edits) return std::nullopt;
  out.edits = std::move(*edits);
  return out;
}

Outcome done(Desk& desk, const std::string& job, const Message& m) {
  Outcome out{.text = {},
              .heading = {.reply = m.id, .revision = 0, .made = 0, .saved = true, .refused = {}},
              .changed = {}};
  const auto refuse = [&](const Refusal& r) { out.heading.refused = r.problems, out.heading.saved = false; };
  const auto take = [&](const Done<std::int64_t>& saved) {
    if (!saved) return refuse(saved.error());
    out.changed = *saved, out.heading.made = *saved;
  };
  if (m.wait > 0) {
    refuse({429, {too_many("This device changes too much within a minute.", m.wait)}, 0});
  } else if (m.what == "set") {
    take(desk.edit(job, m.base, m.edits));
  } else if (m.what == "undo") {
    take(desk.undo(job, m.base));
  } else if (m.what == "redo") {
    take(desk.redo(job, m.base));
  } else if (m.what == "back") {
    take(desk.back_to(job, m.base, m.revision));
  }
  const auto newest = desk.store().newest(job);
  if (!newest) {
    refuse(refused(newest.error()));
    return out;
  }
  out.heading.revision = newest->number, out.text = newest->text;
  if (m.what != "try") return out;
  out.heading.saved = false;
  if (auto tried = Desk::tried(newest->text, m.edits)) {
    out.text = std::move(*tried);
  } else {
    refuse(tried.error());
  }
  return out;
}

namespace {

/// What lies over the fork comes from its studies: then nothing can be drawn before they are done.
bool bare(const Look& look) {
  return !look.over.stress && !look.over.sweep;
}

}  // namespace

std::string answer_frame(Desk& desk, const Outcome& outcome, const Message& m, const GoAhead& go_ahead) {
  if (outcome.text.empty()) return view_frame(Worked{}, {}, outcome.heading);
  std::optional<std::vector<sheet::TableView>> drawn;
  Engine::LaidOut laid_out;
  const bool foreseen =
      bare(m.look) && m.foreseen == outcome.heading.revision && outcome.heading.refused.empty();
  if (m.ahead && bare(m.look) && !foreseen) {
    laid_out = [&](const Worked& w) {
      drawn = looked_at(w, m.look);
      return go_ahead(page_frame(*drawn, *m.id));
    };
  }
  const auto worked = desk.engine().work(outcome.text, m.what == "try", laid_out);
  if (!worked) return "";
  const bool went_ahead = worked->answer && (drawn || foreseen);
  if (!drawn || !worked->answer) drawn = looked_at(*worked, m.look);
  return view_frame(*worked, *drawn, outcome.heading, !went_ahead);
}

std::string foreseen_frame(Desk& desk, const std::string& job, const Message& m, const std::string& typed) {
  const auto newest = desk.store().newest(job);
  if (!newest || !bare(m.look)) return "";
  std::vector<job::Edit> edits = m.edits;
  edits.push_back({m.key, typed});
  const auto text = Desk::tried(newest->text, edits);
  if (!text) return "";
  std::string out;
  desk.engine().foresee(*text, [&](const Worked& w) {
    if (w.answer) out = page_frame(looked_at(w, m.look), *m.id, {{typed, newest->number}});
  });
  return out;
}

}  // namespace halfround::serve
