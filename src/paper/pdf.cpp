// First Cairo draws every group on a page of its own (one document, so that all share the embedded fonts);
// then qpdf turns these pages into forms, puts each under its layer and lays them on the real pages.
#define POINTERHOLDER_TRANSITION 4
#include "paper/pdf.h"

#include <cairo-pdf.h>

#include <map>
#include <qpdf/Buffer.hh>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFPageDocumentHelper.hh>
#include <qpdf/QPDFWriter.hh>

#include "paper/hatch.h"
#include "paper/pango_face.h"
#include "paper/pen.h"
#include "paper/typeface.h"

namespace halfround::paper {
namespace {

using base::Problem;
using base::Result;

constexpr double kPtPerMm = 72 / 25.4;

cairo_status_t append(void* closure, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

// Draws items in points with y down; turning each coordinate keeps a plain matrix in the file.
class Pen {
 public:
  Pen(cairo_t* cr, double page_height) : cr_(cr), height_(page_height), context_(make_context()) {
    pango_cairo_update_context(cr, context_.get());
  }

  void draw(const Path& path) {
    if (path.points.empty()) return;
    trace(path.points, path.closed || path.filled);
    ink(colour_of(path.stroke.ink));
    if (path.filled) {
      cairo_fill(cr_);
      return;
    }
    std::vector<double> pattern = pattern_of(path.stroke);
    for (double& length : pattern) length *= kPtPerMm;
    cairo_set_dash(cr_, pattern.data(), static_cast<int>(pattern.size()), path.dash_from * kPtPerMm);
    cairo_set_line_width(cr_, width_of(path.stroke.weight) * kPtPerMm);
    cairo_set_line_cap(cr_, pattern.empty() ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
    cairo_set_line_join(cr_, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(cr_);
  }

  void draw(const Area& area) {
    if (area.fill == Area::Fill::hatch) {
      for (const Path& line : hatch_paths(area)) draw(line);
      return;
    }
    for (const auto& ring : area.rings) trace(ring, true);
    ink(tint_of(area.ink, area.tone));
    cairo_set_fill_rule(cr_, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_fill(cr_);
    cairo_set_fill_rule(cr_, CAIRO_FILL_RULE_WINDING);
  }

  void draw(const Text& text) {
    const std::string line = settable(text.text);
    if (line.empty()) return;
    if (text.backed) {
      trace(plate_of(text), true);
      ink({1, 1, 1});
      cairo_fill(cr_);
    }
    const double width = text_width(line, text.height, text.bold, text.italic) * kPtPerMm;
    const LayoutPtr layout =
        make_layout(context_.get(), line, em_for(text.height) * kPtPerMm, text.bold, text.italic);
    ink(colour_of(text.ink));
    cairo_save(cr_);
    cairo_translate(cr_, x(text.at), y(text.at));
    if (text.turn != 0) cairo_rotate(cr_, -text.turn);
    cairo_move_to(cr_,
                  text.anchor == Anchor::left     ? 0
                  : text.anchor == Anchor::centre ? -width / 2
                                                  : -width,
                  0);
    pango_cairo_show_layout_line(cr_, pango_layout_get_line_readonly(layout.get(), 0));
    cairo_restore(cr_);
    cairo_new_path(cr_);
  }

  void clip(const Box& box) {
    cairo_rectangle(cr_, box.min.x() * kPtPerMm, (height_ - box.max.y()) * kPtPerMm, box.width() * kPtPerMm,
                    box.height() * kPtPerMm);
    cairo_clip(cr_);
  }

 private:
  [[nodiscard]] double x(const Vec2& p) const { return p.x() * kPtPerMm; }
  [[nodiscard]] double y(const Vec2& p) const { return (height_ - p.y()) * kPtPerMm; }
  void ink(const Rgb& colour) { cairo_set_source_rgb(cr_, colour.red, colour.green, colour.blue); }

  void trace(const std::vector<Vec2>& points, bool closed) {
    for (std::size_t i = 0; i < points.size(); ++i) {
      base::check(points[i].allFinite(), "a coordinate on a sheet is not finite");
      if (i == 0)
        cairo_move_to(cr_, x(points[i]), y(points[i]));
      else
        cairo_line_to(cr_, x(points[i]), y(points[i]));
    }
    if (closed) cairo_close_path(cr_);
  }

  cairo_t* cr_;
  double height_;
  ContextPtr context_;
};

void draw_group(cairo_t* cr, const Page& page, const Group& group) {
  cairo_save(cr);
  Pen pen(cr, page.height);
  if (group.clip) pen.clip(*group.clip);
  for (const Item& item : group.items) std::visit([&](const auto& it) { pen.draw(it); }, item);
  cairo_restore(cr);
}

// every group of every page as a page of one flat document
Result<std::string> draw_flat(const Sheet& sheet) {
  std::string bytes;
  cairo_surface_t* surface = cairo_pdf_surface_create_for_stream(append, &bytes, 595, 842);
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, settable(sheet.title).c_str());
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "halfround");
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
  cairo_t* cr = cairo_create(surface);
  for (const Page& page : sheet.pages) {
    for (const Group& group : page.groups) {
      cairo_pdf_surface_set_size(surface, page.width * kPtPerMm, page.height * kPtPerMm);
      draw_group(cr, page, group);
      cairo_show_page(cr);
    }
  }
  cairo_surface_finish(surface);
  const cairo_status_t status = cairo_status(cr) ? cairo_status(cr) : cairo_surface_status(surface);
  cairo_destroy(cr);
  cairo_surface_destroy(surface);
  if (status != CAIRO_STATUS_SUCCESS)
    return tl::unexpected(
        Problem{"pdf-failed",
                {},
                std::string("drawing ") + sheet.stem + " as PDF failed: " + cairo_status_to_string(status),
                "report this as a bug, with the job file"});
  return bytes;
}

QPDFObjectHandle name(const std::string& text) {
  return QPDFObjectHandle::newName(text);
}
QPDFObjectHandle boolean(bool value) {
  return QPDFObjectHandle::newBool(value);
}

// One layer a group name, in the order of first use.
class Layers {
 public:
  explicit Layers(QPDF& pdf) : pdf_(pdf) {}

  QPDFObjectHandle at(const std::string& group) {
    const auto found = by_name_.find(group);
    if (found != by_name_.end()) return found->second;
    QPDFObjectHandle layer = QPDFObjectHandle::newDictionary();
    layer.replaceKey("/Type", name("/OCG"));
    layer.replaceKey("/Name", QPDFObjectHandle::newUnicodeString(settable(group)));
    layer = pdf_.makeIndirectObject(layer);
    all_.appendItem(layer);
    by_name_.emplace(group, layer);
    return layer;
  }

  [[nodiscard]] QPDFObjectHandle properties() {
    QPDFObjectHandle shown = QPDFObjectHandle::newDictionary();
    shown.replaceKey("/Order", all_.shallowCopy());
    shown.replaceKey("/ON", all_.shallowCopy());
    QPDFObjectHandle out = QPDFObjectHandle::newDictionary();
    out.replaceKey("/OCGs", all_);
    out.replaceKey("/D", shown);
    return out;
  }

 private:
  QPDF& pdf_;
  QPDFObjectHandle all_ = QPDFObjectHandle::newArray();
  std::map<std::string, QPDFObjectHandle> by_name_;
};

// A flat page becomes a form: its content stream takes the page's box and resources. The y-flip that Cairo
// leaves behind in the content stays inside the form.
QPDFObjectHandle form_of(QPDFObjectHandle flat, QPDFObjectHandle layer) {
  QPDFObjectHandle form = flat.getKey("/Contents");
  base::check(form.isStream(), "a page of the flat document has more than one content stream");
  QPDFObjectHandle dictionary = form.getDict();
  dictionary.replaceKey("/Type", name("/XObject"));
  dictionary.replaceKey("/Subtype", name("/Form"));
  dictionary.replaceKey("/BBox", flat.getKey("/MediaBox").shallowCopy());
  dictionary.replaceKey("/Resources", flat.getKey("/Resources"));
  dictionary.replaceKey("/OC", layer);
  return form;
}

// the viewer is told to print at 100 % on paper of the page's size, and what the document is called
void set_viewer(QPDFObjectHandle root) {
  QPDFObjectHandle viewer = QPDFObjectHandle::newDictionary();
  viewer.replaceKey("/PrintScaling", name("/None"));
  viewer.replaceKey("/PickTrayByPDFSize", boolean(true));
  viewer.replaceKey("/DisplayDocTitle", boolean(true));
  root.replaceKey("/ViewerPreferences", viewer);
  root.replaceKey("/Lang", QPDFObjectHandle::newString("en"));
}

void assemble(QPDF& pdf, const Sheet& sheet) {
  Layers layers(pdf);
  QPDFPageDocumentHelper pages(pdf);
  const std::vector<QPDFPageObjectHelper> flat = pages.getAllPages();
  std::size_t next = 0;
  for (const Page& page : sheet.pages) {
    QPDFObjectHandle forms = QPDFObjectHandle::newDictionary();
    std::string content;
    for (std::size_t g = 0; g < page.groups.size(); ++g) {
      const std::string key = "/L" + std::to_string(g);
      forms.replaceKey(key, form_of(flat.at(next++).getObjectHandle(), layers.at(page.groups[g].name)));
      content += "q " + key + " Do Q\n";
    }
    QPDFObjectHandle resources = QPDFObjectHandle::newDictionary();
    resources.replaceKey("/XObject", forms);
    QPDFObjectHandle out = QPDFObjectHandle::newDictionary();
    out.replaceKey("/Type", name("/Page"));
    out.replaceKey("/MediaBox", QPDFObjectHandle::newArray(QPDFObjectHandle::Rectangle(
                                    0, 0, page.width * kPtPerMm, page.height * kPtPerMm)));
    out.replaceKey("/Resources", resources);
    out.replaceKey("/Contents", QPDFObjectHandle::newStream(&pdf, content));
    pages.addPage(QPDFPageObjectHelper(pdf.makeIndirectObject(out)), false);
  }
  for (const QPDFPageObjectHelper& used : flat) pages.removePage(used);
  pdf.getRoot().replaceKey("/OCProperties", layers.properties());
  set_viewer(pdf.getRoot());
}

std::string write(QPDF& pdf) {
  QPDFWriter writer(pdf);
  writer.setOutputMemory();
  writer.setDeterministicID(true);
  writer.forcePDFVersion("1.7");
  writer.setObjectStreamMode(qpdf_o_generate);
  writer.setDecodeLevel(qpdf_dl_none);
  writer.write();
  const auto buffer = writer.getBufferSharedPointer();
  return {reinterpret_cast<const char*>(buffer->getBuffer()), buffer->getSize()};
}

// every letter of the sheet is looked for at once; only a sheet that fails is searched for the guilty line
Result<bool> can_set_all(const Sheet& sheet) {
  std::string all;
  std::vector<const std::string*> lines;
  for (const Page& page : sheet.pages)
    for (const Group& group : page.groups)
      for (const Item& item : group.items)
        if (const auto* text = std::get_if<Text>(&item)) {
          lines.push_back(&text->text);
          all += text->text;
        }
  Result<bool> can = can_set(all);
  if (can) return can;
  for (const std::string* line : lines)
    if (Result<bool> one = can_set(*line); !one) return one;
  return can;
}

}  // namespace

Result<std::string> to_pdf(const Sheet& sheet) {
  if (sheet.pages.empty())
    return tl::unexpected(Problem{
        "sheet-empty", {}, "the document " + sheet.stem + " has no pages", "give it at least one page"});
  if (const auto can = can_set_all(sheet); !can) return tl::unexpected(can.error());
  const auto flat = draw_flat(sheet);
  if (!flat) return flat;
  try {
    QPDF pdf;
    pdf.setSuppressWarnings(true);
    pdf.processMemoryFile(sheet.stem.c_str(), flat->data(), flat->size());
    assemble(pdf, sheet);
    return write(pdf);
  } catch (const base::Bug&) {
    throw;
  } catch (const std::exception& trouble) {
    return tl::unexpected(Problem{"pdf-failed",
                                  {},
                                  "finishing " + sheet.stem + " as PDF failed: " + trouble.what(),
                                  "report this as a bug, with the job file"});
  }
}

}  // namespace halfround::paper
