#include "paper/typeface.h"

#include <fmt/format.h>

#include <cmath>
#include <cstring>
#include <string>
#include <unordered_map>

#include "paper/pango_face.h"

#if defined(__SANITIZE_ADDRESS__)
// fontconfig 2.14 keeps 288 bytes for the life of the process; everybody else's leaks stay visible
extern "C" const char* __lsan_default_suppressions() {
  return "leak:libfontconfig\n";
}
#endif

namespace halfround::paper {

ContextPtr make_context() {
  // one font map a thread: reading the fonts costs 12 ms, and a map holds no state that changes an answer
  thread_local const std::unique_ptr<PangoFontMap, Unref> map(pango_cairo_font_map_new());
  pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(map.get()), 72);
  ContextPtr context(pango_font_map_create_context(map.get()));
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(context.get(), options);
  cairo_font_options_destroy(options);
  pango_cairo_context_set_resolution(context.get(), 72);
  pango_context_set_round_glyph_positions(context.get(), FALSE);
  pango_context_set_language(context.get(), pango_language_from_string("en"));
  pango_context_set_base_dir(context.get(), PANGO_DIRECTION_LTR);
  return context;
}

LayoutPtr make_layout(PangoContext* context, const std::string& text, double em, bool bold, bool italic) {
  LayoutPtr layout(pango_layout_new(context));
  const std::unique_ptr<PangoFontDescription, FreeDescription> face(pango_font_description_new());
  pango_font_description_set_family_static(face.get(), kFontFamily);
  pango_font_description_set_stretch(face.get(), PANGO_STRETCH_SEMI_CONDENSED);
  if (bold) pango_font_description_set_weight(face.get(), PANGO_WEIGHT_BOLD);
  if (italic) pango_font_description_set_style(face.get(), PANGO_STYLE_OBLIQUE);
  pango_font_description_set_absolute_size(face.get(), em * PANGO_SCALE);
  pango_layout_set_font_description(layout.get(), face.get());
  pango_layout_set_single_paragraph_mode(layout.get(), TRUE);
  PangoAttrList* attributes = pango_attr_list_new();
  pango_attr_list_insert(attributes, pango_attr_fallback_new(FALSE));
  pango_layout_set_attributes(layout.get(), attributes);
  pango_attr_list_unref(attributes);
  pango_layout_set_text(layout.get(), text.data(), static_cast<int>(text.size()));
  return layout;
}

namespace {

// a context that lasts: measuring is asked for thousands of times
PangoContext* measuring() {
  thread_local const ContextPtr context = make_context();
  return context.get();
}

constexpr double kMeasuringEm = 512;  // large enough that Pango's 1/1024 units do not show

}  // namespace

std::string settable(const std::string& text) {
  gchar* valid = g_utf8_make_valid(text.data(), static_cast<gssize>(text.size()));
  std::string out(valid);
  g_free(valid);
  for (char& c : out)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = ' ';
  return out;
}

namespace {

/// In ems. Words are remembered: a drawing that follows the hand asks for the same ones over and over.
double ems_of(const std::string& text, bool bold, bool italic) {
  constexpr std::size_t kMostWords = 4096;
  thread_local std::unordered_map<std::string, double> known;
  std::string key = text;
  key += bold ? 'b' : '-';
  key += italic ? 'i' : '-';
  if (const auto at = known.find(key); at != known.end()) return at->second;
  if (known.size() >= kMostWords) known.clear();
  const LayoutPtr layout = make_layout(measuring(), settable(text), kMeasuringEm, bold, italic);
  PangoRectangle logical;
  pango_layout_line_get_extents(pango_layout_get_line_readonly(layout.get(), 0), nullptr, &logical);
  return known[key] = logical.width / static_cast<double>(PANGO_SCALE) / kMeasuringEm;
}

}  // namespace

double text_width(const std::string& text, double height, bool bold, bool italic) {
  return text.empty() ? 0 : ems_of(text, bold, italic) * em_for(height);
}

std::string fitted(const std::string& text, double height, double width, bool bold, bool italic) {
  std::string left = settable(text);
  if (text_width(left, height, bold, italic) <= width) return left;
  while (!left.empty()) {
    const char* end = g_utf8_find_prev_char(left.data(), left.data() + left.size());
    left.resize(static_cast<std::size_t>(end ? end - left.data() : 0));
    if (text_width(left + "…", height, bold, italic) <= width) break;
  }
  return left + "…";
}

std::vector<std::string> wrapped(const std::string& text, double height, double width, bool bold,
                                 bool italic) {
  std::vector<std::string> lines;
  std::string line;
  std::size_t at = 0;
  const std::string whole = settable(text);
  while (at <= whole.size()) {
    const std::size_t space = std::min(whole.find(' ', at), whole.size());
    const std::string word = whole.substr(at, space - at);
    at = space + 1;
    const std::string longer = line.empty() ? word : line + ' ' + word;
    if (!line.empty() && text_width(longer, height, bold, italic) > width) {
      lines.push_back(line);
      line = word;
    } else {
      line = longer;
    }
  }
  if (!line.empty() || lines.empty()) lines.push_back(line);
  return lines;
}

std::vector<Vec2> plate_of(const Text& text) {
  const double width = text_width(text.text, text.height, text.bold, text.italic);
  const double start = text.anchor == Anchor::left ? 0 : text.anchor == Anchor::centre ? -width / 2 : -width;
  const double side = 0.2 * text.height, low = -0.25 * text.height, high = 1.15 * text.height;
  const Vec2 x(std::cos(text.turn), std::sin(text.turn)), y(-x.y(), x.x());
  const auto place = [&](double u, double v) -> Vec2 { return text.at + u * x + v * y; };
  return {place(start - side, low), place(start + width + side, low), place(start + width + side, high),
          place(start - side, high)};
}

base::Result<bool> can_set(const std::string& text) {
  const std::string line = settable(text);
  const LayoutPtr layout = make_layout(measuring(), line, kMeasuringEm, false, false);
  const std::unique_ptr<PangoFont, Unref> font(
      pango_context_load_font(measuring(), pango_layout_get_font_description(layout.get())));
  if (!font)
    return tl::unexpected(base::Problem{"font-missing",
                                        {},
                                        "No font at all can be loaded for the sheets.",
                                        "Install the package fonts-dejavu-extra."});
  const std::unique_ptr<PangoFontDescription, FreeDescription> found(pango_font_describe(font.get()));
  // some systems call it "DejaVu Sans" with a narrow stretch; the wide face alone won't do
  const char* family = pango_font_description_get_family(found.get());
  const bool named = family && std::strncmp(family, "DejaVu Sans", 11) == 0;
  const bool narrow = (family && std::strstr(family, "Condensed")) ||
                      pango_font_description_get_stretch(found.get()) < PANGO_STRETCH_NORMAL;
  if (!named || !narrow)
    return tl::unexpected(base::Problem{"font-missing",
                                        {},
                                        fmt::format("The typeface {} is not installed.", kFontFamily),
                                        "Install the package fonts-dejavu-extra."});
  if (pango_layout_get_unknown_glyphs_count(layout.get()) != 0)
    return tl::unexpected(
        base::Problem{"letter-missing",
                      {},
                      "\"" + line + "\" has a letter that the sheets' typeface does not have.",
                      "Write it with Latin, Greek or Cyrillic letters and common signs."});
  return true;
}

}  // namespace halfround::paper
