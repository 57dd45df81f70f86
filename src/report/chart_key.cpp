// What the chart's signs mean, and the scale of its shades.
#include "report/chart.h"
#include "report/words.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace buckram::report {
namespace {

using geometry::Point;

constexpr double kSampleWide_px = 30, kSampleTall_px = 14;

// Samples are drawn in a box of 30 x 14 px, y down.
using Sample = std::function<void(Picture&, const Look&)>;

Path wave() {
  Path path;
  path.move({0, 9});
  for (int i = 1; i <= 15; ++i) {
    const double t = i / 15.0, s = 1 - t;
    path.line({3 * s * s * t * 8 + 3 * s * t * t * 20 + t * t * t * 30,
               s * s * s * 9 + 3 * s * s * t * 2 + 3 * s * t * t * 2 + t * t * t * 8});
  }
  return path;
}

Sample contour_sample(double width_px, std::vector<double> dash) {
  return
      [=](Picture& p, const Look&) { p.stroke(wave(), {kContour, width_px, dash, dash.empty()}); };
}

void seam_sample(Picture& p, const Look&) {
  Path path;
  path.segment({0, 6}, {30, 6});
  path.segment({0, 8}, {30, 8});
  for (int x = 3; x < 30; x += 4) {
    path.segment({x + 0.0, 5.5}, {x - 1.6, 1});
    path.segment({x + 0.0, 8.5}, {x - 1.6, 13});
  }
  p.stroke(std::move(path), {kHachure, 0.8, {}, false});
}

void keep_off_sample(Picture& p, const Look& look) {
  p.draw(rectangle(0.5, 0.5, 29, 13), look.land, {kInk, 0.8, {}, false});
  Path dots;
  for (const Point d : {Point{4, 4}, Point{9, 9}, Point{14, 4}, Point{19, 10}, Point{24, 5},
                        Point{27, 10}, Point{5, 10}, Point{21, 3}})
    dots.move(d);
  p.stroke(std::move(dots), {kInk, 2, {}, true});
}

void shore_sample(Picture& p, const Look& look) {
  p.fill(rectangle(0, 0, 30, 14), look.sea);
  Path shore;
  for (int x = 0; x <= 30; x += 2) {
    const Point at{x + 0.0, 6.5 + 1.8 * std::cos(x / 30.0 * 2 * base::kPi + 0.6)};
    if (x == 0)
      shore.move(at);
    else
      shore.line(at);
  }
  Path land = shore;
  land.line({30, 14}), land.line({0, 14}), land.close();
  p.fill(std::move(land), look.land);
  p.stroke(std::move(shore), {kInk, 1.8, {}, true});
}

void practice_sample(Picture& p, const Look&) {
  p.stroke(line_between({0, 7}, {30, 7}), {kInk2, 0.9, {10, 3.5, 1.8, 3.5}, false});
}

void reading_sample(Picture& p, const Look& look) {
  Path triangle;
  triangle.add({{15, 2}, {21, 12}, {9, 12}}, true);
  p.draw(std::move(triangle), look.paper, {kInk, 1.4, {}, true});
}

void start_sample(Picture& p, const Look&) {
  p.add(Disc{{15, 7}, 3.4, {}, Pen{kInk, 1.4, {}, true}});
  Path cross;
  for (const Point d : {Point{1, 0}, Point{-1, 0}, Point{0, 1}, Point{0, -1}})
    cross.segment(Point{15, 7} + d * 2, Point{15, 7} + d * 7);
  p.stroke(std::move(cross), {kInk, 1.4, {}, false});
}

struct KeyRow {
  Sample sample;
  std::string words;
};

std::vector<KeyRow> rows_for(const Subject& subject, const Terrain& terrain) {
  std::vector<KeyRow> rows{{contour_sample(0.8, {}), "gap, every 0.5 mm"},
                           {contour_sample(1.5, {}), "every 1 mm"},
                           {contour_sample(0.8, {5, 4}), "0.25 mm"}};
  if (terrain.has_seam) rows.push_back({seam_sample, "seam ridge"});
  rows.push_back({keep_off_sample, "keep off"});
  rows.push_back({shore_sample, "field’s shore"});
  rows.push_back({practice_sample, "common practice"});
  if (!subject.setup.readings.empty()) rows.push_back({reading_sample, "measured gap"});
  rows.push_back({start_sample, "start"});
  return rows;
}

}  // namespace

Picture draw_key(const Subject& subject, const Terrain& terrain, const Look& look, double width_mm,
                 double& height_mm) {
  const Type type{Face::sans, 12 * look.px_mm, 400, false, kInk2, 0};
  const double row_tall = 22 * look.px_mm;
  const std::vector<KeyRow> rows = rows_for(subject, terrain);
  const auto wide_of = [&](const KeyRow& row) {
    return (kSampleWide_px + 7) * look.px_mm + look.rule->width_mm(row.words, type);
  };
  // On one line where that is possible.
  double all = 0;
  for (const KeyRow& row : rows) all += wide_of(row);
  const double between = (width_mm - all) / static_cast<double>(rows.size() - 1);
  const double least = 8 * look.px_mm, usual = 18 * look.px_mm;
  const double gap = between < least ? usual : std::min(usual, between - 1e-9);
  Picture picture;
  double x = 0, y = 0;
  for (const KeyRow& row : rows) {
    const double wide = wide_of(row);
    if (x > 0 && x + wide > width_mm) x = 0, y += row_tall;
    Picture sample;
    row.sample(sample, look);
    picture.place(sample, shift(x, y, look.px_mm));
    picture.add(Text{{x + (kSampleWide_px + 7) * look.px_mm,
                      y + kSampleTall_px / 2 * look.px_mm + 0.36 * type.size_mm},
                     row.words,
                     type});
    x += wide + gap;
  }
  height_mm = y + kSampleTall_px * look.px_mm;
  return picture;
}

Picture draw_ramp(const Look& look, double width_mm) {
  const Type type{Face::sans, 11 * look.px_mm, 400, false, kInk2, 0};
  const double tall = 12 * look.px_mm, step = width_mm / static_cast<double>(kHazard.size());
  Picture picture;
  for (std::size_t k = 0; k < kHazard.size(); ++k) {
    const double x = step * static_cast<double>(k);
    picture.draw(rectangle(x, 0, step, tall), kHazard[k], {kInk, 0.9 * look.px_mm, {}, false});
    if (k % 2 == 0) continue;  // every other edge, so that the figures have room
    picture.add(Text{{k == 1 ? 0 : x, tall + 1.25 * type.size_mm},
                     chance(kHazardEdges[k - 1]),
                     type,
                     k == 1 ? Anchor::start : Anchor::middle});
  }
  return picture;
}

}  // namespace buckram::report
