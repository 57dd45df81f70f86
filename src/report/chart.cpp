#include "report/chart.h"

#include "report/chart_words.h"
#include "report/svg.h"
#include "report/threads.h"
#include "report/words.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace buckram::report {
namespace {

using geometry::Box;
using geometry::Point;

constexpr std::size_t kMostCallouts = 6;
constexpr double kLeastContrast = 1.25;  // between a thread and the paper it lies on

// Share of this thread's places that no other thread covers first, on cells of 1 mm.
double bare_share(const stitch::Plan& plan, int thread) {
  std::set<std::pair<int, int>> others, own_bare, own;
  for (const stitch::Block& block : plan.blocks) {
    for (int i = block.first; i < block.first + block.count; ++i) {
      if (!stitch::has_thread(plan, i)) continue;
      const Point p = geometry::mix(plan.at(i - 1), plan.at(i), 0.5);
      const std::pair<int, int> cell{static_cast<int>(std::floor(p.x)),
                                     static_cast<int>(std::floor(p.y))};
      if (block.thread != thread) {
        others.insert(cell);
        continue;
      }
      own.insert(cell);
      if (!others.contains(cell)) own_bare.insert(cell);
    }
  }
  return own.empty() ? 0 : static_cast<double>(own_bare.size()) / static_cast<double>(own.size());
}

void draw_seam_over_stitches(Picture& picture, const Terrain& terrain, const Box& art,
                             const Look& look) {
  if (!terrain.has_seam || art.empty() || art.x0 > 0 || art.x1 < 0) return;
  picture.stroke(line_between({0, -art.y0 + 1}, {0, -art.y1 - 1}),
                 {with_opacity(look.paper, 0.85), 1.1 * look.px_mm, {1.4, 1}, false});
}

std::vector<Callout> places_with_gap(const Subject& subject, const Terrain& terrain) {
  std::vector<Callout> places = callouts(subject, kMostCallouts);
  for (Callout& c : places) c.detail = "gap " + fixed(terrain.gap_field.at(c.at).gap_mm, 1) + " mm";
  return places;
}

Path window_path(const Box& window) {
  Path path;
  path.box({window.x0, -window.y1, window.x1, -window.y0});
  return path;
}

Picture draw_stitches(const Subject& subject, const Look& look, Shading shading) {
  if (shading == Shading::threads) return draw_threads(subject.plan, look.land);
  if (!subject.verdict.forecast) return draw_faint(subject.plan, {kLine, 0.2, {}, true});
  return draw_hazard(subject.plan, subject.verdict.forecast->hazard);
}

}  // namespace

Look screen_look(const TypeRule& rule, double px_mm) {
  return {px_mm, kPaper, kSea, kPaper, &rule};
}

Look print_look(const TypeRule& rule, double px_mm) {
  return {px_mm, kWhite, {241, 241, 241}, kWhite, &rule};
}

Colour land_colour(const Subject& subject, Colour paper) {
  for (std::size_t t = 0; t < subject.plan.threads.size(); ++t) {
    const Colour thread = parse_colour(subject.plan.threads[t].rgb);
    if (contrast(thread, paper) >= kLeastContrast) continue;
    if (bare_share(subject.plan, static_cast<int>(t)) < 0.3) continue;
    return mix(paper, parse_colour(subject.setup.cap.cloth_rgb), 0.28);
  }
  return paper;
}

Picture draw_start(Point at, const Look& look, double radius_px) {
  const double r = radius_px * look.px_mm;
  const Point c = on_picture(at);
  Picture picture;
  picture.add(Disc{c, r, {}, Pen{look.paper, 5 * look.px_mm, {}, true}});
  Path cross;
  for (const Point d : {Point{1, 0}, Point{-1, 0}, Point{0, 1}, Point{0, -1}})
    cross.segment(c + d * (0.4 * r), c + d * (1.8 * r));
  picture.stroke(cross, {look.paper, 4 * look.px_mm, {}, false});
  picture.stroke(std::move(cross), {kInk, 1.6 * look.px_mm, {}, false});
  picture.add(Disc{c, r, {}, Pen{kInk, 1.6 * look.px_mm, {}, true}});
  return picture;
}

ChartPicture draw_chart(const Subject& subject, const Terrain& terrain, const Look& look,
                        const ChartParts& parts, const Box& window) {
  Picture picture;
  const Picture ground = draw_ground(subject, terrain, look);
  picture.place(ground, {}, window_path(window));
  Box art = subject.artwork_box;
  for (int i = 0; i < subject.plan.size(); ++i) art.add(subject.plan.at(i));
  Occupied taken;
  Picture over;  // what lies over the stitches
  draw_seam_over_stitches(over, terrain, art, look);
  if (parts.has_marks) {
    draw_readings(over, subject.setup, window, look, taken);
    const Point start = subject.setup.mount.origin;
    const Picture mark = draw_start(start, look, 11);
    over.items.insert(over.items.end(), mark.items.begin(), mark.items.end());
    const double r = 20 * look.px_mm;
    taken.boxes.push_back({start.x - r, -start.y - r, start.x + r, -start.y + r});
    draw_callouts(over, places_with_gap(subject, terrain), art, window, look,
                  SewnLand(subject.plan, window), parts.has_callouts, taken);
    draw_reading_figures(over, subject.setup, window, look, taken);
  }
  if (!art.empty()) taken.boxes.push_back({art.x0, -art.y1, art.x1, -art.y0});
  if (parts.has_names) {
    draw_names(picture, subject, terrain, window, look, taken);
    draw_level_figures(picture, terrain, window, look, taken);
  }
  picture.place(draw_stitches(subject, look, parts.shading), {}, window_path(window));
  picture.place(over, {}, window_path(window));
  Box extent{window.x0, -window.y1, window.x1, -window.y0};
  if (parts.has_frame) {
    draw_frame(picture, window, look, terrain.has_bill_strip);
    extent = frame_extent(window, look);
  } else {
    picture.stroke(rectangle(extent.x0, extent.y0, extent.width(), extent.height()),
                   {kInk, look.px_mm, {}, false});
  }
  return {std::move(picture), extent};
}

}  // namespace buckram::report
