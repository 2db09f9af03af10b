// The display list as text: one line for each group and item, points below their path, mm with three
// decimals.
#include "paper/display.h"

#include <type_traits>

#include "paper/number.h"

namespace halfround::paper {
namespace {

const char* name(Weight weight) {
  return weight == Weight::thick ? "thick" : weight == Weight::medium ? "medium" : "thin";
}
const char* name(Dash dash) {
  return dash == Dash::solid    ? "solid"
         : dash == Dash::dashed ? "dashed"
         : dash == Dash::chain  ? "chain"
                                : "double-chain";
}
const char* name(Ink ink) {
  return ink == Ink::graphite ? "graphite"
         : ink == Ink::faint  ? "faint"
         : ink == Ink::hand   ? "hand"
                              : "warning";
}
const char* name(Anchor anchor) {
  return anchor == Anchor::left ? "left" : anchor == Anchor::centre ? "centre" : "right";
}

// quotes and line ends escaped, so that one item stays on one line
std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    if (c == '\n')
      out += "\\n";
    else
      out += c;
  }
  return out + '"';
}

std::string pair(const Vec2& p) {
  return fixed3(p.x()) + ' ' + fixed3(p.y());
}

void write_points(std::string& out, const std::vector<Vec2>& points) {
  for (const Vec2& p : points) out += "      " + pair(p) + '\n';
}

void write(std::string& out, const Path& path) {
  out += std::string("    path ") + (path.closed ? "closed " : "open ") + name(path.stroke.weight) + ' ' +
         name(path.stroke.dash) + ' ' + name(path.stroke.ink) + (path.filled ? " filled" : "");
  if (path.dash_from != 0) out += " from " + fixed3(path.dash_from);
  out += '\n';
  write_points(out, path.points);
}

void write(std::string& out, const Area& area) {
  out += "    area ";
  if (area.fill == Area::Fill::hatch)
    out += "hatch " + fixed3(area.spacing) + " at " + fixed3(base::to_deg(area.angle));
  else
    out += "tone " + fixed3(area.tone);
  out += std::string(" ") + name(area.ink) + '\n';
  for (const auto& ring : area.rings) {
    out += "     ring\n";
    write_points(out, ring);
  }
}

void write(std::string& out, const Text& text) {
  out += "    text " + pair(text.at) + " h " + fixed3(text.height) + " turn " +
         fixed3(base::to_deg(text.turn)) + ' ' + name(text.anchor) + ' ' + name(text.ink) +
         (text.bold ? " bold" : "") + (text.italic ? " italic" : "") + (text.backed ? " backed" : "") + ' ' +
         quoted(text.text) + '\n';
}

}  // namespace

std::string to_text(const Sheet& sheet) {
  std::string out = "sheet " + sheet.stem + ' ' + quoted(sheet.title) + '\n';
  for (const Page& page : sheet.pages) {
    out += "page " + fixed3(page.width) + ' ' + fixed3(page.height) + ' ' + quoted(page.name) + '\n';
    for (const Group& group : page.groups) {
      out += "  group " + group.name + ' ' + quoted(group.label);
      if (group.clip) out += " clip " + pair(group.clip->min) + ' ' + pair(group.clip->max);
      out += '\n';
      for (const Item& item : group.items) std::visit([&](const auto& it) { write(out, it); }, item);
    }
  }
  return out;
}

}  // namespace halfround::paper
