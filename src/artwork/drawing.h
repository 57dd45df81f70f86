// Artwork as read: painted shapes in the file's own user units, in paint order.
#pragma once

#include "artwork/colour.h"
#include "geometry/geometry.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::artwork {

// A decision about the artwork that the user is told of (verdict.json `notes`).
struct Note {
  std::string kind;    // skipped, thickened, run, left_out, colour, font, rows, small,
                       // moved, unreadable
  std::string source;  // element
  geometry::Point at;  // mm on the chart, or user units before placement
  std::string why;
  friend bool operator==(const Note&, const Note&) = default;
};

// A stroke given as a stroke keeps its own middle line.
struct MiddleLine {
  geometry::Polyline line;
  double width = 0;  // user units, then mm
  bool closed = false;
};

struct Shape {
  geometry::Polygons area;  // what is painted, clip paths applied; user units
  Rgb colour;
  std::string source;                    // the element's id, or "path[3]" by kind and count
  std::vector<MiddleLine> middle_lines;  // of a stroke without dashes
};

struct Drawing {
  std::vector<Shape> shapes;  // first painted first
  std::vector<Note> notes;
  geometry::Box painted;   // box of all shapes
  double mm_per_unit = 0;  // 0 when the file gives no physical size
};

struct SvgLimits {
  std::size_t bytes = 20'000'000;
  int depth = 200;          // nested elements, `use` followed
  int elements = 200'000;   // after `use` is followed
  int points = 4'000'000;   // after flattening
  int letters = 20'000;     // of text, and elements inside it, after `use` is followed
  double coordinate = 1e7;  // largest magnitude, user units
};

// SVG 1.1 static features (docs/artwork.md lists them). y points down in user units. What is not
// understood becomes a note naming the element. Throws Error{bad_artwork}: not XML, not SVG,
// nothing painted, a limit passed, entities or external references that would expand.
// Curves are flattened to 1/4000 of the painted box's larger side or finer.
Drawing read_svg(std::string_view bytes, const std::string& name, const SvgLimits& limits = {});

}  // namespace buckram::artwork
