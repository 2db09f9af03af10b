#include "serve/view_frame.h"

#include <algorithm>
#include <bit>
#include <chrono>
#include <cmath>
#include <cstring>

#include "job/schema.h"
#include "paper/clip.h"
#include "serve/figures.h"
#include "serve/page_json.h"
#include "serve/verdict.h"

namespace halfround::serve {

namespace {

using base::Vec2;

constexpr const char* kWeights[] = {"thick", "medium", "thin"};
constexpr const char* kDashes[] = {"solid", "dashed", "chain", "double_chain"};
constexpr const char* kInks[] = {"graphite", "faint", "hand", "warning"};
constexpr const char* kAnchors[] = {"left", "centre", "right"};

template <class Enum>
std::size_t index(Enum e) {
  return static_cast<std::size_t>(e);
}

double rounded(double v) {
  return std::round(v * 1000) / 1000;
}

/// Items as JSON, their points in one block.
class Packer {
 public:
  Json group(const paper::Group& g) {
    Json items = Json::array();
    for (const paper::Item& item : g.items) {
      std::visit([&](const auto& i) { g.clip ? put_clipped(items, i, *g.clip) : put(items, i); }, item);
    }
    return {{"name", g.name}, {"label", g.label}, {"items", std::move(items)}};
  }
  Json pages(const std::vector<sheet::TableView>& drawn) {
    Json out = Json::array();
    for (const sheet::TableView& d : drawn) {
      Json groups = Json::array();
      for (const paper::Group& g : d.page.groups) groups.push_back(group(g));
      out.push_back({{"width", d.page.width},
                     {"height", d.page.height},
                     {"name", d.page.name},
                     {"groups", std::move(groups)}});
    }
    return out;
  }
  [[nodiscard]] const std::string& points() const { return points_; }

 private:
  void add(const std::vector<Vec2>& points) {
    for (const Vec2& p : points) {
      const float xy[] = {static_cast<float>(p.x()), static_cast<float>(p.y())};
      static_assert(std::endian::native == std::endian::little, "points are sent as they lie in memory");
      points_.append(reinterpret_cast<const char*>(xy), sizeof xy);
    }
  }

  /// Polylines of the same stroke that follow one another are one item.
  void put(Json& items, const paper::Path& p) {
    add(p.points);
    const char *w = kWeights[index(p.stroke.weight)], *d = kDashes[index(p.stroke.dash)],
               *i = kInks[index(p.stroke.ink)];
    if (!items.empty()) {
      Json& last = items.back();
      if (last["k"] == "p" && last["w"] == w && last["d"] == d && last["i"] == i && last["f"] == p.filled) {
        last["n"].push_back(p.points.size()), last["c"].push_back(p.closed ? 1 : 0);
        return;
      }
    }
    items.push_back({{"k", "p"},
                     {"n", Json::array({p.points.size()})},
                     {"c", Json::array({p.closed ? 1 : 0})},
                     {"w", w},
                     {"d", d},
                     {"i", i},
                     {"f", p.filled}});
  }

  void put(Json& items, const paper::Area& a) {
    Json counts = Json::array();
    for (const auto& ring : a.rings) {
      add(ring);
      counts.push_back(ring.size());
    }
    items.push_back({{"k", "a"},
                     {"n", std::move(counts)},
                     {"fill", a.fill == paper::Area::Fill::hatch ? "hatch" : "tone"},
                     {"tone", a.tone},
                     {"spacing", a.spacing},
                     {"angle", a.angle},
                     {"i", kInks[index(a.ink)]}});
  }

  void put_clipped(Json& items, const paper::Path& p, const paper::Box& box) {
    for (const paper::Path& part : paper::clipped(p, box)) put(items, part);
  }

  /// A hatched one stays an area: its lines are the page's own affair.
  void put_clipped(Json& items, paper::Area a, const paper::Box& box) {
    for (auto& ring : a.rings) ring = paper::clipped_ring(ring, box);
    std::erase_if(a.rings, [](const auto& ring) { return ring.empty(); });
    if (!a.rings.empty()) put(items, a);
  }

  static void put_clipped(Json& items, const paper::Text& t, const paper::Box&) { put(items, t); }

  static void put(Json& items, const paper::Text& t) {
    Json j{{"k", "t"},
           {"x", rounded(t.at.x())},
           {"y", rounded(t.at.y())},
           {"s", t.text},
           {"h", t.height},
           {"r", t.turn},
           {"a", kAnchors[index(t.anchor)]},
           {"i", kInks[index(t.ink)]},
           {"b", t.bold},
           {"it", t.italic},
           {"bg", t.backed}};
    if (!t.key.empty()) j["key"] = t.key;
    items.push_back(std::move(j));
  }

  std::string points_;
};

Json fields_json(const Worked& w) {
  Json out = Json::object();
  for (const job::Field& f : w.fields) {
    out[f.key] = field_json(job::schema(), f.key, f.typed);
    out[f.key]["line"] = f.line;
  }
  if (!w.job) return out;
  for (const std::string& key : w.job->assumed) {
    const job::Row* row = job::find_row(key);
    if (!row || out.contains(key)) continue;
    out[key] = field_json(job::schema(), key, std::string(row->fallback));
    out[key]["assumed"] = true;
  }
  return out;
}

Json or_null(const std::optional<double>& v) {
  return v && std::isfinite(*v) ? Json(*v) : Json(nullptr);
}

Json or_null(const std::string& text) {
  return text.empty() ? Json(nullptr) : Json(text);
}

Json verdict_json(const SlipLine& line, const std::vector<sheet::TableView>& drawn) {
  const bike::Verdict& v = *line.verdict;
  Json j{{"study", v.study},
         {"code", v.code},
         {"what", v.what},
         {"where", v.where},
         {"unit", v.unit},
         {"value", or_null(v.value)},
         {"limit", nullptr},
         {"sense", nullptr},
         {"standing", bike::word_of(v.standing())},
         {"margin", or_null(line.margin)},
         {"places", Json::array()},
         {"key", or_null(line.key)},
         {"fits", or_null(line.fits)},
         {"source", nullptr},
         {"note", v.note},
         {"grade", bike::word_of(v.grade())},
         {"question", bike::word_of(v.question())},
         {"load", v.load},
         {"not_counted", v.not_counted},
         {"fix", v.fix ? Json(v.fix->what) : Json(nullptr)}};
  if (v.limit) {
    j["limit"] = v.limit->value, j["sense"] = bike::word_of(v.limit->bound), j["source"] = v.limit->source;
  }
  for (const sheet::TableView& page : drawn) {
    Json place;  // none where the page shows no space
    if (line.verdict->at && line.verdict->at->point && page.view) {
      const Vec2 at = (*page.view)(*line.verdict->at->point);
      place = {{"x", rounded(at.x())}, {"y", rounded(at.y())}};
    }
    j["places"].push_back(std::move(place));
  }
  return j;
}

void put_answer(Json& head, const Worked& w, const std::vector<sheet::TableView>& drawn) {
  for (const Figure& f : figures_of(*w.answer)) head["numbers"][f.name] = f.value;
  for (const SlipLine& line : slip_of(w)) head["verdicts"].push_back(verdict_json(line, drawn));
  constexpr const char* kKinds[] = {"warning", "moved", "assumed"};
  for (const solve::Note& n : w.answer->notes)
    head["notes"].push_back(
        {{"kind", kKinds[index(n.kind)]}, {"code", n.code}, {"where", n.where}, {"what", n.what}});
}

/// Length, header, blanks up to the next four bytes, points.
std::string packed(const Json& head, const std::string& points) {
  std::string text = head.dump(-1, ' ', false, Json::error_handler_t::replace);
  const auto length = static_cast<std::uint32_t>(text.size());
  std::string out(4, '\0');
  std::memcpy(out.data(), &length, 4);
  out += text;
  out.append((4 - out.size() % 4) % 4, '\0');
  return out + points;
}

}  // namespace

namespace {

std::optional<sheet::Show> show_of(std::string_view word) {
  if (word == "front") return sheet::Show::front;
  if (word == "side") return sheet::Show::side;
  if (word == "template-left") return sheet::Show::template_left;
  if (word == "template-right") return sheet::Show::template_right;
  if (word == "section") return sheet::Show::section;
  return std::nullopt;
}

}  // namespace

std::vector<sheet::Show> shows_of(std::string_view words) {
  constexpr std::size_t kMost = 4;
  std::vector<sheet::Show> out;
  while (true) {
    const auto comma = words.find(',');
    const auto show = show_of(words.substr(0, comma));
    if (!show || out.size() == kMost) return {};
    out.push_back(*show);
    if (comma == std::string_view::npos) return out;
    words.remove_prefix(comma + 1);
  }
}

sheet::Over over_of(std::string_view words) {
  return {.stress = words.find("stress") != std::string_view::npos,
          .sweep = words.find("sweep") != std::string_view::npos};
}

std::vector<sheet::TableView> looked_at(const Worked& w, const Look& look) {
  std::vector<sheet::TableView> out;
  if (!w.answer) return out;
  for (const sheet::Show show : look.shows)
    out.push_back(sheet::table_view(*w.job, *w.answer, show, look.at, look.over));
  return out;
}

std::string view_frame(const Worked& w, const std::vector<sheet::TableView>& drawn, const Heading& heading,
                       bool with_pages) {
  const auto start = std::chrono::steady_clock::now();
  Json head;
  if (heading.reply) head["reply"] = *heading.reply;
  head["revision"] = heading.revision, head["saved"] = heading.saved;
  if (heading.made != 0) head["made"] = heading.made;
  head["solved"] = w.answer.has_value(), head["light"] = w.light;
  head["problems"] = problems_json(heading.refused);
  for (Json& p : problems_json(w.problems)) head["problems"].push_back(std::move(p));
  head["fields"] = fields_json(w);
  head["numbers"] = Json::object(), head["verdicts"] = Json::array(), head["notes"] = Json::array();
  if (w.answer) put_answer(head, w, drawn);
  Packer packer;
  if (with_pages) head["pages"] = packer.pages(drawn);
  const double pack =
      std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
  head["milliseconds"] = {{"solve", rounded(w.milliseconds)}, {"pack", rounded(pack)}};
  return packed(head, packer.points());
}

std::string page_frame(const std::vector<sheet::TableView>& drawn, std::int64_t reply,
                       const std::optional<Foreseen>& foreseen) {
  Packer packer;
  Json head{{"reply", reply}, {"pages", packer.pages(drawn)}};
  if (foreseen) head["typed"] = foreseen->typed, head["revision"] = foreseen->revision;
  return packed(head, packer.points());
}

}  // namespace halfround::serve
