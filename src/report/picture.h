// A picture as a list of what is drawn, in millimetres, x right and y down.
//
// The one drawing core: chart, cap, strip and sheet are built as Pictures; one writer turns a
// Picture into SVG (svg.h), one paints it into PDF and PNG (canvas.h), so all faces look the same.
#pragma once

#include "report/ink.h"

#include "geometry/geometry.h"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace buckram::report {

// Chains of straight segments, flat: `starts` holds the first point of each chain.
struct Path {
  struct Chain {
    int first = 0;
    bool closed = false;
  };
  std::vector<geometry::Point> points;
  std::vector<Chain> chains;

  void move(geometry::Point p);
  void line(geometry::Point p);  // needs a move before
  void close();
  void add(const geometry::Polyline& points, bool closed);
  void segment(geometry::Point a, geometry::Point b);
  void box(const geometry::Box& box);
  bool empty() const { return points.empty(); }
  int end_of(std::size_t chain) const;  // one past its last point
};

struct Pen {
  Colour colour;
  double width_mm = 0.2;
  std::vector<double> dash;  // mm on, off, ...; empty: solid
  bool round = true;         // ends and joins; false: butt ends, mitred joins
};

// A path filled by the even-odd rule, then stroked with each pen in turn.
struct Shape {
  Path path;
  std::optional<Colour> fill;
  std::vector<Pen> pens;
};

struct Disc {
  geometry::Point middle;
  double radius_mm = 1;
  std::optional<Colour> fill;
  std::optional<Pen> pen;
};

enum class Face { serif, sans };
enum class Anchor { start, middle, end };

struct Type {
  Face face = Face::sans;
  double size_mm = 3.4;
  int weight = 400;  // 400, 500, 600, 700
  bool italic = false;
  Colour colour = kInk;
  double tracking_em = 0;  // between letters
  friend bool operator==(const Type&, const Type&) = default;
};

// One line of text on its base line.
struct Text {
  geometry::Point at;
  std::string words;
  Type type;
  Anchor anchor = Anchor::start;
  double turn_deg = 0;  // clockwise as seen
  double halo_mm = 0;   // width of a stroke of `halo` under the letters
  Colour halo = kPaper;
};

// What follows, up to Close, is mapped, clipped and faded together.
struct Open {
  geometry::Affine map;
  std::optional<Path> clip;  // even-odd, in the mapped frame
  double opacity = 1;
  std::string id;  // names the group in SVG; may be empty
};
struct Close {};

using Item = std::variant<Shape, Disc, Text, Open, Close>;

struct Picture {
  std::vector<Item> items;

  void fill(Path path, Colour colour);
  void stroke(Path path, Pen pen);
  void draw(Path path, std::optional<Colour> fill, Pen pen);
  void add(Item item) { items.push_back(std::move(item)); }
  // All of `other`, mapped (and clipped, in other's own frame).
  void place(const Picture& other, const geometry::Affine& map, std::optional<Path> clip = {});
};

geometry::Affine shift(double x, double y, double scale = 1);
Path rectangle(double x, double y, double width, double height);
Path line_between(geometry::Point a, geometry::Point b);

// UTF-8 that every writer takes: broken bytes become '?', control characters and line ends a space.
std::string clean_words(std::string_view words);

}  // namespace buckram::report
