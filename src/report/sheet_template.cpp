// Page 3: the placement template, exactly 1:1 on the crown chart.
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

constexpr double kMargin_mm = 12;  // of paper round the artwork
constexpr double kRuler_mm = 50;

struct Layout {
  Box art, cut;              // chart mm
  Point origin;              // paper: where chart (0, 0) lies; 1 mm of chart is 1 mm of paper
  bool is_sideways = false;  // turned a quarter, so that a wide template fits
  bool fits = true;
  Point operator()(Point chart) const {
    return is_sideways ? origin + Point{chart.y, chart.x} : origin + Point{chart.x, -chart.y};
  }
};

Layout lay_out(const Sheet& sheet, double top, double bottom) {
  Layout l;
  l.art = sheet.subject.artwork_box;
  for (int i = 0; i < sheet.subject.plan.size(); ++i) l.art.add(sheet.subject.plan.at(i));
  if (l.art.empty()) l.art = {-20, 16, 20, 60};
  // The centre line runs through the middle of the template when it can.
  const double half = std::max({std::abs(l.art.x0), std::abs(l.art.x1), 18.0}) + kMargin_mm;
  l.cut = {-half, std::min(0.0, l.art.y0 - kMargin_mm), half, l.art.y1 + kMargin_mm};
  const double wide = sheet.inner(), tall = bottom - top;
  const double extra = 9;  // for words beyond the cut line
  l.is_sideways =
      l.cut.width() > wide && l.cut.width() <= tall - extra && l.cut.height() <= wide - extra;
  l.fits = l.is_sideways || (l.cut.width() <= wide && l.cut.height() + extra <= tall);
  const Point middle{sheet.width_mm / 2, (top + bottom) / 2};
  const Point m = l.cut.middle();
  l.origin = l.is_sideways ? middle - Point{m.y, m.x} : middle - Point{m.x, -m.y};
  return l;
}

void stroke_chart(Picture& picture, const Layout& l, std::initializer_list<Point> chain, Pen pen,
                  bool closed = false) {
  geometry::Polyline points;
  for (const Point p : chain) points.push_back(l(p));
  Path path;
  path.add(points, closed);
  picture.stroke(std::move(path), std::move(pen));
}

void words_at(Picture& picture, const Layout& l, Point chart, const std::string& words,
              Anchor anchor, double turn_deg) {
  Text text{l(chart), words, serif(3.0, kInk2), anchor, turn_deg, 1.2, kWhite};
  text.type.italic = true;
  picture.add(std::move(text));
}

// Corners rounded by 8 mm above, square at the bill.
Path cut_path(const Layout& l) {
  constexpr double kRound_mm = 8;
  Path path;
  geometry::Polyline points{l({l.cut.x0, l.cut.y0}), l({l.cut.x1, l.cut.y0})};
  const auto corner = [&](Point middle, double from) {
    for (int k = 0; k <= 12; ++k) {
      const double t = (from + 90.0 * k / 12) * 3.14159265358979 / 180;
      points.push_back(l(middle + Point{std::cos(t), std::sin(t)} * kRound_mm));
    }
  };
  corner({l.cut.x1 - kRound_mm, l.cut.y1 - kRound_mm}, 0);
  corner({l.cut.x0 + kRound_mm, l.cut.y1 - kRound_mm}, 90);
  path.add(points, true);
  return path;
}

void draw_lines(Picture& picture, const Sheet& sheet, const Layout& l) {
  const Pen dashed{kInk, 0.25, {2.2, 1.2}, false};
  picture.stroke(cut_path(l), {kInk, 0.35, {4, 1.6}, false});
  stroke_chart(picture, l, {{l.cut.x0, 0}, {l.cut.x1, 0}}, {kInk, 0.7, {}, false});
  stroke_chart(picture, l, {{0, l.cut.y0}, {0, l.cut.y1}}, {kInk, 0.3, {5, 1.2, 1, 1.2}, false});
  const Box& a = sheet.subject.artwork_box;
  if (!a.empty()) {
    stroke_chart(picture, l, {{a.x0, a.y0}, {a.x1, a.y0}, {a.x1, a.y1}, {a.x0, a.y1}}, dashed,
                 true);
    const double x = a.middle().x, y = a.middle().y;
    for (const double side : {-1.0, 1.0}) {  // ticks at the middles of the sides
      const double sx = side < 0 ? a.x0 : a.x1, sy = side < 0 ? a.y0 : a.y1;
      stroke_chart(picture, l, {{sx, y}, {sx + side * 3, y}}, {kInk, 0.35, {}, false});
      stroke_chart(picture, l, {{x, sy}, {x, sy + side * 3}}, {kInk, 0.35, {}, false});
    }
  }
}

void draw_words(Picture& picture, const Sheet& sheet, const Layout& l) {
  const Box& a = sheet.subject.artwork_box;
  const std::string centre =
      sheet.terrain.has_seam ? "centre line: on the seam" : "centre line: on the cap’s middle";
  const double turn = l.is_sideways ? 90 : 0;
  words_at(picture, l, {0, l.cut.y0 - 5}, "bill line: on the bill seam", Anchor::middle, turn);
  words_at(picture, l, {0, l.cut.y1 + 2}, centre, Anchor::middle, turn);
  words_at(picture, l, {l.cut.x1 + 2, l.cut.y1 - 4}, "cut", Anchor::start, turn);
  if (a.empty()) return;
  const std::string low = millimetres(a.y0) + " from the bill seam";
  words_at(picture, l, {a.x0, a.y0 - 4.4}, low, Anchor::start, turn);
}

// Large marks that say which way round it lies.
void draw_marks(Picture& picture, const Layout& l) {
  Type big = sans(4.2, kInk, 700);
  big.tracking_em = 0.14;
  const double turn = l.is_sideways ? 90 : 0;
  const double x = l.cut.x0 + 10;
  const auto mark = [&](double y, const char* words) {
    picture.add(Text{l({x, y}), words, big, Anchor::start, turn, 1.4, kWhite});
  };
  mark(l.cut.y1 - 7.4, "TOP ↑");
  mark(2.6, "BILL ↓");
}

// A ruler of `parts` parts of `part_mm`, figures at every `per_figure` of them.
void draw_ruler(Picture& picture, Point at, int parts, double part_mm, int per_figure,
                const std::string& unit) {
  Path ticks;
  ticks.segment(at, at + Point{parts * part_mm, 0});
  for (int k = 0; k <= parts; ++k) {
    const bool is_half = per_figure % 2 == 0 && k % (per_figure / 2) == 0;
    const double tall = k % per_figure == 0 ? 4 : is_half ? 3 : 1.8;
    ticks.segment({at.x + k * part_mm, at.y}, {at.x + k * part_mm, at.y - tall});
  }
  picture.stroke(std::move(ticks), {kBlack, 0.2, {}, false});
  const int per_unit = unit == "mm" ? 1 : per_figure;
  for (int k = 0; k <= parts; k += per_figure)
    picture.add(Text{{at.x + k * part_mm, at.y + 3.4},
                     std::to_string(k / per_unit) + (k == parts ? " " + unit : ""),
                     sans(kNote_mm),
                     k == parts ? Anchor::start : Anchor::middle});
}

}  // namespace

Picture template_page(const Sheet& sheet) {
  Picture picture;
  const Subject& s = sheet.subject;
  const double y = draw_sheet_head(picture, sheet, s.title.empty() ? s.artwork : s.title, 3);
  const double foot =
      draw_sheet_foot(picture, sheet, "page 1: set-up · page 2: chart and worst places");
  double top =
      draw_part_head(picture, sheet, sheet.left(), y, sheet.inner(), "PLACEMENT TEMPLATE, 1 : 1",
                     "print at 100 %, never fitted to the page");
  const double ruler = foot - 8;
  draw_ruler(picture, {sheet.left() + 2, ruler}, static_cast<int>(kRuler_mm), 1, 10, "mm");
  draw_ruler(picture, {sheet.left() + 2, ruler - 10.5}, 32, base::kMmPerInch / 16, 16, "in");
  const double x = sheet.left() + kRuler_mm + 16;
  draw_paragraph(picture, x, ruler - 11,
                 {{"Check: the rulers must measure 50 mm and 2 inches. Cut along the broken line, "
                   "lay the bill line on the "
                   "bill seam and the centre line on the cap’s middle, smooth it round the front.",
                   sans(kNote_mm, kInk2)}},
                 {sheet.right() - x, 1.34, 3}, sheet.rule);
  const double bottom = ruler - 18;
  const Layout l = lay_out(sheet, top + 2, bottom);
  if (!l.fits) {
    draw_paragraph(picture, sheet.left(), top,
                   {{"The artwork is larger than this paper: the template shows its middle. Print "
                     "on larger paper to see it whole.",
                     serif(3.4)}},
                   {sheet.inner(), 1.3, 2}, sheet.rule);
    top += 6;
  }
  picture.add(Open{{}, rectangle(4, top, sheet.width_mm - 8, bottom - top + 2), 1, {}});
  const geometry::Affine map = l.is_sideways ? geometry::Affine{0, 1, -1, 0, l.origin.x, l.origin.y}
                                             : geometry::Affine{1, 0, 0, 1, l.origin.x, l.origin.y};
  picture.place(draw_outlines(s.plan, kWhite, {{105, 105, 105}, 0.22, {}, true}), map);
  draw_lines(picture, sheet, l);
  draw_words(picture, sheet, l);
  draw_marks(picture, l);
  picture.add(Close{});
  const Box& a = s.artwork_box;
  if (!a.empty()) {
    const Type note = sans(kNote_mm, kInk2);
    const std::string size = "artwork " + millimetres(a.width()) + " × " + millimetres(a.height()) +
                             " (" + inches(a.width()) + " × " + inches(a.height()) + ")";
    picture.add(
        Text{{sheet.left(), top + 2.6}, sheet.rule.fitted(size, note, sheet.inner()), note});
  }
  return picture;
}

}  // namespace buckram::report
