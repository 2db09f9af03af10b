#include "exchange/dxf.h"

#include <array>
#include <string_view>

#include "base/number.h"

namespace halfround::exchange {
namespace {

/// Text of a release that knows no UTF-8: the signs it has codes for, ASCII for the rest.
std::string plain(std::string_view text) {
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 8> kSigns{
      {{"ø", "%%c"}, {"°", "%%d"}, {"±", "%%p"}, {"·", "-"}, {"–", "-"}, {"−", "-"}, {"×", "x"}, {"’", "'"}}};
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    bool known = false;
    for (const auto& [sign, code] : kSigns) {
      if (!text.substr(i).starts_with(sign)) continue;
      out += code, i += sign.size(), known = true;
      break;
    }
    if (known) continue;
    const auto c = static_cast<unsigned char>(text[i]);
    if (c < 0x80) {
      out += c < 0x20 ? ' ' : text[i];
    } else if (c >= 0xc0) {
      out += '?';  // one for each letter, not for each byte
    }
    ++i;
  }
  return out;
}

class Writer {
 public:
  Writer(const CutDrawing& drawing, const shop::CutLines& lines) : drawing_(drawing), lines_(lines) {}

  std::string run() {
    put(999, plain(drawing_.title) + "; millimetres");
    header(), tables();
    put(0, "SECTION"), put(2, "BLOCKS"), put(0, "ENDSEC");
    put(0, "SECTION"), put(2, "ENTITIES");
    for (const Contour& c : drawing_.cut) contour(c, "CUT");
    for (const Contour& c : drawing_.marks) contour(c, "MARK");
    for (const Contour& c : drawing_.checks) contour(c, "CHECK");
    for (const Text& t : drawing_.words) word(t);
    put(0, "ENDSEC"), put(0, "EOF");
    return std::move(out_);
  }

 private:
  void put(int code, std::string_view value) {
    const std::string number = std::to_string(code);
    out_.append(number.size() < 3 ? 3 - number.size() : 0, ' ');
    out_ += number, out_ += "\r\n", out_ += value, out_ += "\r\n";
  }
  void put(int code, int value) { put(code, std::string_view(std::to_string(value))); }
  void real(int code, double value, int decimals = 6) {
    std::string text = base::fixed(value, decimals);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text += '0';
    put(code, text);
  }
  void point(const Vec2& p) { real(10, p.x()), real(20, p.y()), real(30, 0); }

  void header() {
    std::vector<Contour> all = drawing_.cut;
    for (const auto* more : {&drawing_.marks, &drawing_.checks})
      all.insert(all.end(), more->begin(), more->end());
    const Box box = bounds_of(all);
    put(0, "SECTION"), put(2, "HEADER");
    put(9, "$ACADVER"), put(1, "AC1009");
    put(9, "$INSUNITS"), put(70, 4);
    put(9, "$MEASUREMENT"), put(70, 1);
    put(9, "$EXTMIN"), point(box.min);
    put(9, "$EXTMAX"), point(box.max);
    put(0, "ENDSEC");
  }

  void tables() {
    put(0, "SECTION"), put(2, "TABLES");
    put(0, "TABLE"), put(2, "LTYPE"), put(70, 1);
    put(0, "LTYPE"), put(2, "CONTINUOUS"), put(70, 0), put(3, "solid"), put(72, 65), put(73, 0), real(40, 0);
    put(0, "ENDTAB");
    put(0, "TABLE"), put(2, "LAYER"), put(70, 5);
    layer("0", 7), layer("CUT", lines_.cut.number), layer("MARK", lines_.mark.number), layer("TEXT", 7);
    layer("CHECK", lines_.check.number);
    put(0, "ENDTAB");
    put(0, "TABLE"), put(2, "STYLE"), put(70, 1);
    put(0, "STYLE"), put(2, "STANDARD"), put(70, 0), real(40, 0), real(41, 1), real(50, 0), put(71, 0);
    real(42, 2.5), put(3, "txt"), put(4, "");
    put(0, "ENDTAB"), put(0, "ENDSEC");
  }
  void layer(std::string_view name, int colour) {
    put(0, "LAYER"), put(2, name), put(70, 0), put(62, colour), put(6, "CONTINUOUS");
  }

  void contour(const Contour& c, std::string_view layer) {
    if (const Circle circle = circle_of(c); circle.radius > 0) {
      put(0, "CIRCLE"), put(8, layer), point(circle.centre), real(40, circle.radius);
      return;
    }
    put(0, "POLYLINE"), put(8, layer), put(66, 1), point(Vec2::Zero()), put(70, c.closed ? 1 : 0);
    for (const Corner& corner : c.corners) {
      put(0, "VERTEX"), put(8, layer), point(corner.at);
      if (corner.bulge != 0) real(42, corner.bulge, 9);
    }
    put(0, "SEQEND"), put(8, layer);
  }

  void word(const Text& t) {
    put(0, "TEXT"), put(8, "TEXT"), point(t.at), real(40, t.height), put(1, plain(t.text));
    if (t.turn != 0) real(50, base::to_deg(t.turn));
  }

  const CutDrawing& drawing_;
  const shop::CutLines& lines_;
  std::string out_;
};

}  // namespace

std::string to_dxf(const CutDrawing& drawing, const shop::CutLines& lines) {
  return Writer(drawing, lines).run();
}

}  // namespace halfround::exchange
