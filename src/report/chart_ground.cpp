// The land under the stitches: sea and shore, tint and contours, the seam's ridge, no-go land.
#include "report/chart.h"

#include "base/base.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace buckram::report {
namespace {

using geometry::Point;

constexpr double kLayerTint = 0.045;  // ink laid once for every 0.5 mm of gap
constexpr double kDot_mm = 0.34;

Path rings_path(const geometry::Polygons& polygons) {
  Path path;
  const auto add = [&](const geometry::Ring& ring) {
    geometry::Polyline turned;
    for (const Point p : ring) turned.push_back(on_picture(p));
    path.add(turned, true);
  };
  for (const geometry::Polygon& polygon : polygons) {
    add(polygon.outer);
    for (const geometry::Ring& hole : polygon.holes) add(hole);
  }
  return path;
}

// The strip beside the bill seam, as wide as the field; empty when there is none.
geometry::Box strip_box(const Terrain& terrain, const cap::Setup& setup) {
  if (!terrain.has_bill_strip) return {};
  const geometry::Box field = geometry::bounds(terrain.reach);
  const double x0 = terrain.reach.empty() ? terrain.window.x0 : field.x0;
  const double x1 = terrain.reach.empty() ? terrain.window.x1 : field.x1;
  return {x0, 0, x1, setup.cap.bill.keep_off_mm};
}

Path land_path(const Terrain& terrain, const cap::Setup& setup) {
  Path path = rings_path(terrain.reach);
  const geometry::Box strip = strip_box(terrain, setup);
  if (!strip.empty()) path.box({strip.x0, -strip.y1, strip.x1, -strip.y0});
  return path;
}

// Dots at least 1 mm apart near the edge and up to 2.1 mm inland (dart throwing, seeded).
// `edge` gives 0 at the edge to 1 inland, below 0 outside.
template <typename Edge>
Path stipple(const geometry::Box& box, const Edge& edge, std::uint64_t seed) {
  constexpr double kCell_mm = 2.1;
  base::Random random(seed);
  std::map<std::pair<int, int>, std::vector<Point>> cells;
  Path dots;
  const int tries = static_cast<int>(std::min(20000.0, 18 * box.width() * box.height()));
  for (int t = 0; t < tries; ++t) {
    const double x = random.uniform(box.x0, box.x1);
    const double y = random.uniform(box.y0, box.y1);
    const double inland = edge(Point{x, y});
    if (inland < 0) continue;
    const double apart = 1.0 + 1.1 * std::min(1.0, inland);
    const int i = static_cast<int>(std::floor(x / kCell_mm));
    const int j = static_cast<int>(std::floor(y / kCell_mm));
    bool is_crowded = false;
    for (int k = 0; k < 9 && !is_crowded; ++k) {
      const auto found = cells.find({i + k % 3 - 1, j + k / 3 - 1});
      if (found == cells.end()) continue;
      is_crowded = std::any_of(found->second.begin(), found->second.end(),
                               [&](Point q) { return geometry::distance(q, {x, y}) < apart; });
    }
    if (is_crowded) continue;
    cells[{i, j}].push_back({x, y});
    dots.move({x, -y});
  }
  return dots;
}

void draw_sea(Picture& picture, const Terrain& terrain, const Look& look) {
  const geometry::Box& w = terrain.window;
  picture.fill(rectangle(w.x0, -w.y1, w.width(), w.height()), look.sea);
  constexpr std::array<double, 6> kShoreLines_mm{0.7, 1.5, 2.5, 3.7, 5.1, 6.8};
  for (std::size_t i = 0; i < kShoreLines_mm.size(); ++i) {
    const geometry::Polygons ring = geometry::simplify(
        geometry::offset(terrain.reach, kShoreLines_mm[i], geometry::Join::round, 0.05), 0.05);
    const Colour colour = with_opacity(kLine, 0.75 - 0.11 * static_cast<double>(i));
    picture.stroke(rings_path(ring), {colour, 0.6 * look.px_mm, {}, true});
  }
}

void draw_tint(Picture& picture, const Terrain& terrain) {
  for (const LevelLines& level : terrain.levels) {
    Path path;
    for (const geometry::Ring& ring : level.ground) {
      geometry::Polyline turned;
      for (const Point p : ring) turned.push_back(on_picture(p));
      path.add(turned, true);
    }
    if (!path.empty()) picture.fill(std::move(path), with_opacity(kInk, kLayerTint));
  }
}

// Strokes down both flanks of the seam's ridge, long and short in turn.
void draw_seam(Picture& picture, const Terrain& terrain, const cap::Seam& seam, const Look& look) {
  if (!terrain.has_seam) return;
  base::Random random(3);
  const double reach = std::clamp(seam.width_mm * 0.5, 2.0, 4.5);
  Path strokes;
  int row = 0;
  for (double y = terrain.window.y0 + 0.6; y < terrain.window.y1; y += 0.9, ++row) {
    for (const double side : {-1.0, 1.0}) {
      const double far = (row % 2 ? reach : 0.64 * reach) + random.uniform(-0.3, 0.3);
      strokes.segment({side * 0.55, -y}, {side * far, -(y - 0.35)});
    }
  }
  picture.stroke(std::move(strokes), {kHachure, 0.6 * look.px_mm, {}, true});
  Path ridge;
  for (const double x : {-0.45, 0.45})
    ridge.segment({x, -terrain.window.y0}, {x, -terrain.window.y1});
  picture.stroke(std::move(ridge), {kHachure, 0.9 * look.px_mm, {}, false});
}

void draw_contours(Picture& picture, const Terrain& terrain, const Look& look) {
  for (const LevelLines& level : terrain.levels) {
    Path path;
    for (const Contour& line : level.lines) {
      geometry::Polyline turned;
      for (const Point p : line.points) turned.push_back(on_picture(p));
      path.add(turned, line.closed);
    }
    if (path.empty()) continue;
    const bool is_quarter = level.level_mm < 0.3;
    const bool is_index = std::abs(level.level_mm - std::round(level.level_mm)) < 0.01;
    Pen pen{kContour, (is_index ? 1.5 : is_quarter ? 0.6 : 0.8) * look.px_mm, {}, true};
    if (is_quarter) pen.dash = {1.2, 1.6}, pen.round = false;
    picture.stroke(std::move(path), std::move(pen));
  }
}

void draw_strip(Picture& picture, const Terrain& terrain, const cap::Setup& setup,
                const Look& look) {
  geometry::Box strip = strip_box(terrain, setup);
  if (strip.empty()) return;
  strip.x0 = std::max(strip.x0, terrain.window.x0);
  strip.x1 = std::min(strip.x1, terrain.window.x1);
  picture.fill(rectangle(strip.x0, -strip.y1, strip.width(), strip.height()),
               with_opacity(look.land, 0.55));
  const double tall = strip.y1;
  picture.stroke(
      stipple(
          {strip.x0, 0.25, strip.x1, tall - 0.2}, [&](Point p) { return p.y / tall; }, 5),
      {kInk, kDot_mm, {}, true});
}

void draw_eyelet(Picture& picture, const cap::Eyelet& eyelet, const Look& look,
                 std::uint64_t seed) {
  constexpr double kHole_mm = 2.1;
  const double island = std::max(kHole_mm + 1, eyelet.radius_mm - 0.4);
  const Point at = on_picture(eyelet.at);
  picture.add(Disc{at, island, look.land, Pen{kInk, 0.8 * look.px_mm, {}, true}});
  const geometry::Box box{eyelet.at.x - island, eyelet.at.y - island, eyelet.at.x + island,
                          eyelet.at.y + island};
  const auto inland = [&](Point p) {
    const double r = geometry::distance(p, eyelet.at);
    return r > island - 0.4 || r < kHole_mm + 0.3 ? -1 : (island - 0.4 - r) / 3;
  };
  picture.stroke(stipple(box, inland, seed), {kInk, kDot_mm, {}, true});
  picture.add(Disc{at, kHole_mm, look.sea, Pen{kInk, 1.4 * look.px_mm, {}, true}});
}

void draw_practice(Picture& picture, const Subject& subject, const Terrain& terrain,
                   const Look& look) {
  Path path;
  const geometry::Box field =
      terrain.reach.empty() ? terrain.window : geometry::bounds(terrain.reach);
  const double x0 = std::max(field.x0, terrain.window.x0);
  const double x1 = std::min(field.x1, terrain.window.x1);
  if (terrain.has_bill_strip) path.segment({x0, -kUsualLowest_mm}, {x1, -kUsualLowest_mm});
  if (const std::optional<double> top = usual_top_mm(subject); top && *top < terrain.window.y1)
    path.segment({x0, -*top}, {x1, -*top});
  if (!path.empty())
    picture.stroke(std::move(path), {kInk2, 0.9 * look.px_mm, {2.4, 0.8, 0.4, 0.8}, false});
}

}  // namespace

std::optional<double> usual_top_mm(const Subject& subject) {
  if (subject.setup.mount.kind != cap::MountKind::rotary || subject.artwork_box.empty()) return {};
  return subject.artwork_box.y0 + kUsualHeight_mm;
}

Picture draw_ground(const Subject& subject, const Terrain& terrain, const Look& look) {
  const cap::Setup& setup = subject.setup;
  const geometry::Box& w = terrain.window;
  Picture picture;
  draw_sea(picture, terrain, look);
  const Path land = land_path(terrain, setup);
  picture.fill(land, look.land);
  picture.add(Open{{}, land, 1, {}});
  draw_tint(picture, terrain);
  picture.add(Close{});
  draw_seam(picture, terrain, setup.cap.seam, look);
  picture.add(Open{{}, land, 1, {}});
  draw_contours(picture, terrain, look);
  picture.add(Close{});
  draw_strip(picture, terrain, setup, look);
  std::uint64_t seed = 11;
  for (const cap::Eyelet& eyelet : setup.cap.eyelets) {
    const geometry::Box box{eyelet.at.x - 6, eyelet.at.y - 6, eyelet.at.x + 6, eyelet.at.y + 6};
    if (box.meets(w)) draw_eyelet(picture, eyelet, look, seed++);
  }
  picture.stroke(rings_path(terrain.reach), {kInk, 1.8 * look.px_mm, {}, true});
  picture.stroke(line_between({w.x0, 0}, {w.x1, 0}), {kInk, 2.6 * look.px_mm, {}, false});
  draw_practice(picture, subject, terrain, look);
  return picture;
}

}  // namespace buckram::report
