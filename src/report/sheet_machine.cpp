// The cap as it sits before the operator, with the place where the needle starts.
#include "report/sheet.h"
#include "report/threads.h"
#include "report/words.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::report {
namespace {

using geometry::Box;
using geometry::Point;

// Chart to paper, half turned or not.
struct Sight {
  double scale = 1;
  bool is_turned = false;
  Box window;  // chart
  Box paper;   // where it lies
  Point operator()(Point chart) const {
    const Point p = chart - window.middle();
    const double side = is_turned ? -1 : 1;
    return paper.middle() + Point{side * p.x, -side * p.y} * scale;
  }
  geometry::Affine map() const {  // from picture mm of the chart
    const double s = is_turned ? -scale : scale;
    const Point o = (*this)({0, 0});
    return {s, 0, 0, s, o.x, o.y};
  }
};

Box shown_window(const Sheet& sheet) {
  Box art = sheet.subject.artwork_box;
  for (int i = 0; i < sheet.subject.plan.size(); ++i) art.add(sheet.subject.plan.at(i));
  art.add(sheet.subject.setup.mount.origin);
  const Box& all = sheet.terrain.window;
  const double half = std::min(all.x1, std::max({44.0, art.x1 + 16, -art.x0 + 16}));
  return {-half, all.y0, half, std::min(all.y1, std::max(66.0, art.y1 + 14))};
}

void draw_bill_arrow(Picture& picture, const Sheet& sheet, const Sight& sight) {
  const double up = sight.is_turned ? -1 : 1;  // -1: above the drawing
  const double edge = sight.is_turned ? sight.paper.y0 - 1.5 : sight.paper.y1 + 1.5;
  const double x = sight.paper.middle().x - 6, far = edge + up * 8.5;
  Path arrow;
  arrow.segment({x, edge}, {x, far});
  arrow.add({{x - 2.6, far - up * 2.8}, {x, far}, {x + 2.6, far - up * 2.8}}, false);
  picture.stroke(std::move(arrow), {kInk, 0.95, {}, false});
  Type big = sans(5, kInk, 700);
  big.tracking_em = 0.12;
  const double base_line = (edge + far) / 2 + 0.36 * big.size_mm;
  picture.add(Text{{x + 4.5, base_line}, "BILL", big});
  picture.add(Text{{x - 3.8, base_line},
                   sheet.rule.fitted("as you face it", sans(kNote_mm, kInk), 24),
                   sans(kNote_mm, kInk),
                   Anchor::end});
}

void dimension_words(Picture& picture, Point at, double mm, Anchor anchor) {
  const double halo = 1.0;
  picture.add(Text{at, millimetres(mm), sans(kNote_mm, kInk, 600), anchor, 0, halo, kWhite});
  picture.add(Text{at + Point{0, 3.1}, inches(mm), sans(2.3, kInk), anchor, 0, halo, kWhite});
}

void measure_line(Picture& picture, Point a, Point b) {
  const Point across = geometry::left_of(geometry::unit(b - a)) * 1.3;
  Path path;
  path.segment(a, b);
  path.segment(a - across, a + across);
  path.segment(b - across, b + across);
  picture.stroke(path, {kWhite, 1.1, {}, false});
  picture.stroke(std::move(path), {kInk, 0.4, {}, false});
}

constexpr double kBeside_mm = 15, kPast_mm = 9.5;  // paper that the two measures take
constexpr double kNone_mm = 0.05;                  // nearer than that needs no measure

// Dashed, from the start to the measure that stands outside the drawing.
void guide_line(Picture& picture, Point a, Point b) {
  Path guide = line_between(a, b);
  picture.stroke(guide, {kWhite, 1.0, {}, false});
  picture.stroke(std::move(guide), {kInk, 0.35, {1.2, 0.9}, false});
}

// From the bill seam, and from the centre line when the start lies beside it. Both stand outside
// the drawing: their figures would hide the artwork, and the artwork them.
void draw_measures(Picture& picture, const Sight& sight, Point start) {
  const Point at = sight(start), seam = sight({start.x, 0});
  const Box& p = sight.paper;
  if (std::abs(start.y) > kNone_mm) {
    const double x = p.x1 + 3;
    guide_line(picture, {at.x + 5.5, at.y}, {x - 1.5, at.y});
    guide_line(picture, {p.x1, seam.y}, {x - 1.5, seam.y});
    measure_line(picture, {x, seam.y}, {x, at.y});
    dimension_words(picture, {x + 1.8, (seam.y + at.y) / 2}, std::abs(start.y), Anchor::start);
  }
  if (std::abs(start.x) > kNone_mm) {
    const double up = sight.is_turned ? 1 : -1;  // away from the bill
    const double y = (sight.is_turned ? p.y1 : p.y0) + up * 2.5, middle = sight({0, 0}).x;
    guide_line(picture, {at.x, at.y + up * 5.5}, {at.x, y - up * 1.5});
    measure_line(picture, {middle, y}, {at.x, y});
    dimension_words(picture, {(middle + at.x) / 2, sight.is_turned ? y + 3.4 : y - 4.6},
                    std::abs(start.x), Anchor::middle);
  }
}

}  // namespace

void draw_on_machine(Picture& picture, const Sheet& sheet, const Box& box) {
  const double turn = std::fmod(std::abs(sheet.subject.setup.bench.turn_deg), 360);
  Sight sight;
  sight.is_turned = turn > 90 && turn < 270;
  sight.window = shown_window(sheet);
  const Point start = sheet.subject.setup.mount.origin;
  const double arrow = 12;
  const double beside = std::abs(start.y) > kNone_mm ? kBeside_mm : 0,
               past = std::abs(start.x) > kNone_mm ? kPast_mm : 0;
  sight.scale = std::min((box.width() - beside) / sight.window.width(),
                         (box.height() - arrow - past) / sight.window.height());
  const double wide = sight.scale * sight.window.width(),
               tall = sight.scale * sight.window.height();
  const double x0 = box.middle().x - (wide + beside) / 2,
               y0 = box.y0 + (sight.is_turned ? arrow : past);
  sight.paper = {x0, y0, x0 + wide, y0 + tall};

  const Look look = print_look(sheet.rule, 0.22 / sight.scale);
  Path clip;
  clip.box({sight.window.x0, -sight.window.y1, sight.window.x1, -sight.window.y0});
  Picture land = draw_ground(sheet.subject, sheet.terrain, look);
  const Picture threads = draw_threads(sheet.subject.plan, kWhite);
  land.items.insert(land.items.end(), threads.items.begin(), threads.items.end());
  picture.place(land, sight.map(), std::move(clip));
  picture.stroke(rectangle(x0, y0, wide, tall), {kInk, 0.25, {}, false});
  draw_bill_arrow(picture, sheet, sight);
  draw_measures(picture, sight, start);
  const Point at = sight(start);
  picture.add(Disc{at, 2.7, with_opacity(kWhite, 0.85), {}});
  Path cross;
  for (const Point d : {Point{1, 0}, Point{-1, 0}, Point{0, 1}, Point{0, -1}})
    cross.segment(at + d * 0.9, at + d * 4.6);
  picture.stroke(cross, {kWhite, 1.4, {}, false});
  picture.stroke(std::move(cross), {kInk, 0.65, {}, false});
  picture.add(Disc{at, 2.3, {}, Pen{kInk, 0.65, {}, true}});
}

}  // namespace buckram::report
