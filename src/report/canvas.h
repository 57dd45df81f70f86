// Pictures painted by Cairo and Pango: PDF pages, pixels, PNG, and the measure of a line of text.
// The only header through which the sheet reaches those libraries.
#pragma once

#include "report/picture.h"

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace buckram::report {

// Measures and remembers lines of text. Not for use by two threads at once.
class TypeRule {
 public:
  TypeRule();
  ~TypeRule();
  TypeRule(const TypeRule&) = delete;
  TypeRule& operator=(const TypeRule&) = delete;
  // Advance width in mm of one line, tracking included.
  double width_mm(const std::string& words, const Type& type) const;
  // `words`, or as many of their first letters as fit into `width_mm` with an ellipsis.
  std::string fitted(const std::string& words, const Type& type, double width_mm) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

struct PdfPage {
  double width_mm = 210, height_mm = 297;
  Picture picture;  // from the top left
};

struct PdfInfo {
  std::string title;
  std::string created;  // ISO 8601, "2026-01-01T00:00:00Z"; part of the bytes
};

// PDF with fonts embedded; same pages and info, same bytes. Throws Error{cannot_write} when no
// installed font has a glyph that the text needs.
std::string write_pdf(const std::vector<PdfPage>& pages, const PdfInfo& info);

// 8 bits each of alpha, red, green, blue (premultiplied) from high to low, row by row.
struct Pixels {
  int width = 0, height = 0;
  std::vector<std::uint32_t> argb;
};
Pixels make_pixels(int width, int height, Colour ground);
// Paints over what is there; `map` takes the picture's mm to pixels. Throws as write_pdf.
void paint(Pixels& pixels, const Picture& picture, const geometry::Affine& map);
// Paints `source` (same size) over `pixels` where `clip` covers, with smooth edges.
void paint_through(Pixels& pixels, Pixels source, const Path& clip, const geometry::Affine& map);
// PNG without alpha; the pixels must be opaque.
std::string write_png(const Pixels& pixels);

}  // namespace buckram::report
