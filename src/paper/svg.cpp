#include "paper/svg.h"

#include <map>

#include "paper/hatch.h"
#include "paper/number.h"
#include "paper/pen.h"
#include "paper/typeface.h"

namespace halfround::paper {
namespace {

std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : settable(text)) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

// letters, figures and hyphens only, starting with a letter: what an id may be in every reader
std::string id_of(const std::string& name) {
  std::string out = "g-";
  for (const char c : name) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    out += plain ? c : '-';
  }
  return out;
}

class Writer {
 public:
  explicit Writer(const Page& page) : page_(page) {}

  std::string run() {
    const std::string width = short3(page_.width), height = short3(page_.height);
    out_ = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" +
           width + "mm\" height=\"" + height + "mm\" viewBox=\"0 0 " + width + ' ' + height + "\">\n<title>" +
           escaped(page_.name) + "</title>\n<rect width=\"" + width + "\" height=\"" + height +
           "\" fill=\"#fff\" aria-hidden=\"true\"/>\n";
    std::map<std::string, int> used;
    for (const Group& group : page_.groups) {
      std::string id = id_of(group.name);
      if (const int times = ++used[id]; times > 1) id += '-' + std::to_string(times);
      write(group, id);
    }
    return out_ + "</svg>\n";
  }

 private:
  void write(const Group& group, const std::string& id) {
    if (group.clip) {
      const Box& box = *group.clip;
      out_ += "<clipPath id=\"" + id + "-clip\"><rect x=\"" + short3(box.min.x()) + "\" y=\"" +
              short3(page_.height - box.max.y()) + "\" width=\"" + short3(box.width()) + "\" height=\"" +
              short3(box.height()) + "\"/></clipPath>\n";
    }
    out_ += "<g id=\"" + id + "\" role=\"group\" aria-label=\"" +
            escaped(group.label.empty() ? group.name : group.label) +
            "\" fill=\"none\" stroke-linecap=\"round\" stroke-linejoin=\"round\"";
    if (group.clip) out_ += " clip-path=\"url(#" + id + "-clip)\"";
    out_ += ">\n";
    for (const Item& item : group.items) std::visit([&](const auto& it) { write(it); }, item);
    out_ += "</g>\n";
  }

  void write(const Path& path) {
    if (path.points.empty()) return;
    out_ += "<path d=\"";
    trace(path.points, path.closed || path.filled);
    const std::string colour = hex(colour_of(path.stroke.ink));
    if (path.filled) {
      out_ += "\" fill=\"" + colour + "\"/>\n";
      return;
    }
    out_ += "\" stroke=\"" + colour + "\" stroke-width=\"" + short3(width_of(path.stroke.weight)) + '"';
    const std::vector<double> pattern = pattern_of(path.stroke);
    for (std::size_t i = 0; i < pattern.size(); ++i)
      out_ += (i ? " " : " stroke-linecap=\"butt\" stroke-dasharray=\"") + short3(pattern[i]);
    if (!pattern.empty()) out_ += '"';
    if (!pattern.empty() && path.dash_from != 0)
      out_ += " stroke-dashoffset=\"" + short3(path.dash_from) + '"';
    out_ += "/>\n";
  }

  void write(const Area& area) {
    if (area.fill == Area::Fill::hatch) {
      const auto lines = hatch_lines(area);
      if (lines.empty()) return;
      out_ += "<path d=\"";
      for (const auto& [from, to] : lines) trace({from, to}, false);
      out_ += "\" stroke=\"" + hex(colour_of(area.ink)) + "\" stroke-width=\"" +
              short3(width_of(Weight::thin)) + "\"/>\n";
      return;
    }
    out_ += "<path d=\"";
    for (const auto& ring : area.rings) trace(ring, true);
    out_ += "\" fill=\"" + hex(tint_of(area.ink, area.tone)) + "\" fill-rule=\"evenodd\"/>\n";
  }

  void write(const Text& text) {
    if (text.text.empty()) return;
    if (text.backed) {
      out_ += "<path d=\"";
      trace(plate_of(text), true);
      out_ += "\" fill=\"#fff\"/>\n";
    }
    const std::string x = short3(text.at.x()), y = short3(page_.height - text.at.y());
    out_ += "<text x=\"" + x + "\" y=\"" + y + "\" font-family=\"'" + kFontFamily +
            "', 'DejaVu Sans', sans-serif\" font-stretch=\"semi-condensed\" font-size=\"" +
            short3(em_for(text.height)) + "\" fill=\"" + hex(colour_of(text.ink)) + '"';
    if (text.anchor != Anchor::left)
      out_ += text.anchor == Anchor::centre ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
    if (text.bold) out_ += " font-weight=\"bold\"";
    if (text.italic) out_ += " font-style=\"oblique\"";
    out_ += " textLength=\"" + short3(text_width(text.text, text.height, text.bold, text.italic)) +
            "\" lengthAdjust=\"spacingAndGlyphs\"";
    if (text.turn != 0)
      out_ += " transform=\"rotate(" + short3(-base::to_deg(text.turn)) + ' ' + x + ' ' + y + ")\"";
    out_ += '>' + escaped(text.text) + "</text>\n";
  }

  void trace(const std::vector<Vec2>& points, bool closed) {
    for (std::size_t i = 0; i < points.size(); ++i)
      out_ += (i == 0   ? "M"
               : i == 1 ? "L"
                        : " ") +
              short3(points[i].x()) + ' ' + short3(page_.height - points[i].y());
    if (closed) out_ += 'Z';
  }

  const Page& page_;
  std::string out_;
};

}  // namespace

std::string to_svg(const Page& page) {
  return Writer(page).run();
}

}  // namespace halfround::paper
