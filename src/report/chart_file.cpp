// chart.svg: the chart in thread colours, and below it the same land shaded by hazard.
#include "report/chart.h"
#include "report/svg.h"
#include "report/words.h"

namespace buckram::report {
namespace {

constexpr double kPx_mm = 0.16;

void head(Picture& picture, double x, double y, const std::string& words, const std::string& note,
          double width, const Look& look) {
  picture.stroke(line_between({x, y}, {x + width, y}), {kInk, 2 * look.px_mm, {}, false});
  const Type type{Face::sans, 12 * look.px_mm, 600, false, kInk, 0.09};
  const Type small{Face::sans, 12 * look.px_mm, 400, false, kInk2, 0};
  picture.add(Text{{x, y + 17 * look.px_mm}, words, type});
  const double room = width - look.rule->width_mm(words, type) - 20 * look.px_mm;
  picture.add(Text{
      {x + width, y + 17 * look.px_mm}, look.rule->fitted(note, small, room), small, Anchor::end});
}

}  // namespace

std::string chart_svg(const Subject& subject) {
  const TypeRule rule;
  const Terrain terrain = survey(subject);
  Look look = screen_look(rule, kPx_mm);
  look.land = land_colour(subject, look.paper);
  const ChartPicture threads = draw_chart(subject, terrain, look, {}, terrain.window);
  const geometry::Box& e = threads.extent;
  const double head_tall = 28 * look.px_mm, gap = 22 * look.px_mm;

  Picture body;
  double y = e.y1 + 8 * look.px_mm, key_tall = 0;
  const Picture key = draw_key(subject, terrain, look, e.width() - 2 * gap, key_tall);
  body.items = {Open{{}, {}, 1, "threads"}};
  body.items.insert(body.items.end(), threads.picture.items.begin(), threads.picture.items.end());
  body.place(key, shift(e.x0 + gap, y));
  body.add(Close{});
  y += key_tall + gap;
  if (subject.verdict.forecast) {
    ChartParts parts;
    parts.shading = Shading::hazard;
    parts.has_callouts = false;
    const ChartPicture hazard = draw_chart(subject, terrain, look, parts, terrain.window);
    head(body, e.x0, y, "SHADED BY HAZARD", "chance that a needle breaks, each stitch", e.width(),
         look);
    body.items.push_back(Open{shift(0, y + head_tall - e.y0), {}, 1, "hazard"});
    body.items.insert(body.items.end(), hazard.picture.items.begin(), hazard.picture.items.end());
    body.add(Close{});
    y += head_tall + e.height() + 8 * look.px_mm;
    body.place(draw_ramp(look, e.width() / 2), shift(e.x0 + gap, y));
    y += 38 * look.px_mm;
  }
  Picture picture;
  const geometry::Box view{e.x0 - gap, e.y0 - head_tall - gap, e.x1 + gap, y};
  picture.fill(rectangle(view.x0, view.y0, view.width(), view.height()), look.paper);
  head(picture, e.x0, e.y0 - head_tall, "CROWN CHART",
       subject.title.empty() ? subject.artwork : subject.title, e.width(), look);
  picture.items.insert(picture.items.end(), body.items.begin(), body.items.end());
  return write_svg(picture,
                   {view, "Crown chart: " + subject.title,
                    "Gap contours, seam, bill strip, field and stitches; one unit is 1 mm."});
}

}  // namespace buckram::report
