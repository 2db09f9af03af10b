#include "serve/page_json.h"

#include "base/maths.h"

namespace halfround::serve {

namespace {

base::Kind kind_of(job::Form form) {
  switch (form) {
    case job::Form::angle:
      return base::Kind::angle;
    case job::Form::mass:
      return base::Kind::mass;
    case job::Form::force:
      return base::Kind::force;
    case job::Form::count:
    case job::Form::ratio:
      return base::Kind::ratio;
    case job::Form::length:
    case job::Form::text:
    case job::Form::choice:
    case job::Form::share:
    case job::Form::either:
    case job::Form::list:
      break;
  }
  return base::Kind::length;
}

}  // namespace

std::optional<Json> parsed(std::string_view text) {
  int depth = 0;
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted) {
      if (c == '\\') {
        ++i;
      } else if (c == '"') {
        quoted = false;
      }
    } else if (c == '"') {
      quoted = true;
    } else if (c == '[' || c == '{') {
      if (++depth > kDeepestJson) return std::nullopt;
    } else if (c == ']' || c == '}') {
      --depth;
    }
  }
  Json out = Json::parse(text, nullptr, false);
  if (out.is_discarded() || !out.is_object()) return std::nullopt;
  return out;
}

const char* word_of(job::Form form) {
  constexpr const char* kWords[] = {"length", "angle",  "mass",  "count",  "ratio", "force",
                                    "text",   "choice", "share", "either", "list"};
  return kWords[static_cast<std::size_t>(form)];
}

Json problem_json(const base::Problem& p) {
  // its name only: where the builder's files lie is nobody's business in the network
  const std::string file = p.where.file.substr(p.where.file.rfind('/') + 1);
  Json j{
      {"code", p.code},
      {"where", {{"file", file}, {"line", p.where.line}, {"column", p.where.column}, {"key", p.where.key}}},
      {"what", p.what},
      {"fits", p.fits}};
  for (const base::Offer& o : p.offers)
    j["offers"].push_back({{"key", o.key}, {"typed", o.typed}, {"label", o.label}});
  return j;
}

Json problems_json(const base::Problems& problems) {
  Json out = Json::array();
  for (const base::Problem& p : problems) out.push_back(problem_json(p));
  return out;
}

Json schema_json(std::span<const job::Row> table) {
  constexpr const char* kNeeds[] = {"required", "optional", "assumed", "conditional"};
  Json rows = Json::array();
  for (const job::Row& row : table) {
    Json choices = Json::array();
    std::string_view rest = row.choices;
    while (!rest.empty()) {
      const auto bar = rest.find('|');
      choices.push_back(rest.substr(0, bar));
      rest = bar == std::string_view::npos ? std::string_view{} : rest.substr(bar + 1);
    }
    rows.push_back({{"key", row.key},
                    {"form", word_of(row.form)},
                    {"need", kNeeds[static_cast<std::size_t>(row.need)]},
                    {"least", row.least},
                    {"most", row.most},
                    {"fallback", row.fallback},
                    {"choices", std::move(choices)},
                    {"example", row.example},
                    {"meaning", row.meaning},
                    {"picture", row.picture}});
  }
  return {{"rows", std::move(rows)}};
}

Json field_json(std::span<const job::Row> rows, const std::string& key, const std::string& typed) {
  const job::Row* row = job::find_row(rows, key);
  const job::Form form = row ? row->form : job::Form::text;
  Json j{{"typed", typed}, {"value", nullptr}, {"form", word_of(form)}};
  const bool words = form == job::Form::text || form == job::Form::choice || form == job::Form::list;
  if (words) return j;
  auto q = base::parse_quantity(typed, kind_of(form));
  bool angle = form == job::Form::angle;
  if (!q && form == job::Form::either) q = base::parse_quantity(typed, base::Kind::angle), angle = true;
  if (q) j["value"] = angle ? base::to_deg(q->value) : q->value;
  return j;
}

}  // namespace halfround::serve
