// Pango set up the one way we use it. Included by typeface.cpp and pdf.cpp only.
#pragma once

#include <pango/pangocairo.h>

#include <memory>

#include "paper/display.h"

namespace halfround::paper {

struct Unref {
  void operator()(void* object) const { g_object_unref(object); }
};
struct FreeDescription {
  void operator()(PangoFontDescription* description) const { pango_font_description_free(description); }
};
using LayoutPtr = std::unique_ptr<PangoLayout, Unref>;
using ContextPtr = std::unique_ptr<PangoContext, Unref>;

/// A context with hinting, metric rounding and font fallback off: widths are those of the outlines, whatever
/// the size or the machine. One unit of the layout is one unit of the surface.
[[nodiscard]] ContextPtr make_context();

/// One line of text at font size `em` (surface units).
[[nodiscard]] LayoutPtr make_layout(PangoContext* context, const std::string& text, double em, bool bold,
                                    bool italic);

}  // namespace halfround::paper
