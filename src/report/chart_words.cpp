#include "report/chart_words.h"
#include "report/words.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::report {
namespace {

using geometry::Box;
using geometry::Point;

Type place_type(const Look& look, double px) {
  return {Face::serif, px * look.px_mm, 400, true, kInk2, 0};
}

constexpr double kReading_px = 7.5;  // of its triangle

bool is_shown(const cap::GapReading& reading, const Box& window) {
  return reading.x_mm >= window.x0 && reading.x_mm <= window.x1 && reading.y_mm >= window.y0 &&
         reading.y_mm <= window.y1;
}

// Puts the name down when there is room.
void put_name(Picture& picture, Text name, const Look& look, const Box& window, Occupied& taken) {
  const Box box = text_box(name, *look.rule);
  const Box inside{window.x0, -window.y1, window.x1, -window.y0};
  if (box.x0 < inside.x0 || box.x1 > inside.x1 || box.y0 < inside.y0 || box.y1 > inside.y1) return;
  if (!taken.take(box, 5 * look.px_mm)) return;
  // Lines of the ground are cleared away under the words.
  const double room = 2 * look.px_mm;
  picture.fill(rectangle(box.x0 - room, box.y0, box.width() + 2 * room, box.height()),
               with_opacity(name.halo, 0.85));
  picture.add(std::move(name));
}

void name_sea(Picture& picture, const Terrain& terrain, const Box& window, const Look& look,
              Occupied& taken) {
  const double shore = terrain.reach.empty() ? window.y0 : geometry::bounds(terrain.reach).y1;
  const double room = window.y1 - shore;
  Type type = place_type(look, 14);
  type.tracking_em = 0.32;
  if (room < 2.2 * type.size_mm) return;
  put_name(picture,
           {{0, -shore - room / 2 + 0.3 * type.size_mm},
            "beyond the frame’s field",
            type,
            Anchor::middle,
            0,
            4 * look.px_mm,
            look.sea},
           look, window, taken);
}

// On a line across the chart: at its left end, or at its right where that is taken.
void name_line(Picture& picture, double y, const std::string& words, const Box& window,
               const Look& look, Occupied& taken) {
  const std::size_t before = taken.boxes.size();
  for (const double side : {-1.0, 1.0}) {
    const double x = side < 0 ? window.x0 + 6 * look.px_mm : window.x1 - 6 * look.px_mm;
    for (const double lift : {5.0, -15.0}) {
      put_name(picture,
               {{x, -y - lift * look.px_mm},
                words,
                place_type(look, 12.5),
                side < 0 ? Anchor::start : Anchor::end,
                0,
                4 * look.px_mm,
                look.land},
               look, window, taken);
      if (taken.boxes.size() > before) return;
    }
  }
}

void name_eyelets(Picture& picture, const cap::Setup& setup, const Box& window, const Look& look,
                  Occupied& taken) {
  for (const cap::Eyelet& eyelet : setup.cap.eyelets) {
    const double side = eyelet.at.x < 0 ? -1 : 1, away = eyelet.radius_mm + 10 * look.px_mm;
    put_name(picture,
             {on_picture({eyelet.at.x + side * away, eyelet.at.y - 4 * look.px_mm}), "eyelet",
              place_type(look, 12.5), side < 0 ? Anchor::end : Anchor::start, 0, 4 * look.px_mm,
              look.sea},
             look, window, taken);
  }
}

// A figure's place on one line: the point of the visible, free land nearest to `x_wanted`.
struct Spot {
  Point at;
  double turn_deg = 0;
  double miss = 1e9;
};

Spot best_spot(const Contour& line, const Terrain& terrain, const Box& window, double x_wanted,
               double clear_mm) {
  Spot best;
  for (std::size_t k = 1; k < line.points.size(); ++k) {
    const Point a = line.points[k - 1], b = line.points[k];
    const int n = std::max(1, static_cast<int>(geometry::distance(a, b) / 2));
    for (int i = 0; i < n; ++i) {
      const Point p = geometry::mix(a, b, (i + 0.5) / n);
      const double miss = std::abs(p.x - x_wanted);
      const bool is_seen = p.x > window.x0 + clear_mm && p.x < window.x1 - clear_mm &&
                           p.y > window.y0 + 0.5 && p.y < window.y1 - clear_mm;
      if (miss >= best.miss || !is_seen) continue;
      const bool is_land =
          geometry::contains(terrain.reach, p) || (terrain.has_bill_strip && p.y < 4 && p.y > 0.8);
      if (!is_land) continue;
      const double turn = -base::degrees(std::atan2(b.y - a.y, b.x - a.x));
      best = {p, std::fmod(turn + 90 + 360, 180) - 90, miss};
    }
  }
  return best;
}

}  // namespace

bool Occupied::is_free(const Box& box, double margin_mm) const {
  return std::none_of(boxes.begin(), boxes.end(),
                      [&](const Box& other) { return other.meets(box, margin_mm); });
}

bool Occupied::take(const Box& box, double margin_mm) {
  if (!is_free(box, margin_mm)) return false;
  boxes.push_back(box);
  return true;
}

Box text_box(const Text& text, const TypeRule& rule) {
  const double width = rule.width_mm(text.words, text.type), size = text.type.size_mm;
  const double back = text.anchor == Anchor::start ? 0 : text.anchor == Anchor::middle ? 0.5 : 1;
  const double turn = base::radians(text.turn_deg);
  Box box;
  for (const double x : {-back * width, (1 - back) * width})
    for (const double y : {-0.75 * size, 0.22 * size})
      box.add(text.at + Point{x * std::cos(turn) - y * std::sin(turn),
                              x * std::sin(turn) + y * std::cos(turn)});
  return box;
}

void draw_names(Picture& picture, const Subject& subject, const Terrain& terrain, const Box& window,
                const Look& look, Occupied& taken) {
  const cap::Setup& setup = subject.setup;
  const Type small = place_type(look, 12.5);
  const double halo = 4 * look.px_mm;
  name_sea(picture, terrain, window, look, taken);
  if (terrain.has_bill_strip) {
    Type spaced = small;
    spaced.tracking_em = 0.14;
    const double keep = setup.cap.bill.keep_off_mm;
    const Text name{{0, -keep / 2 + 0.3 * small.size_mm},
                    "the foot cannot reach · " + millimetres(keep) + " beside the bill seam",
                    spaced,
                    Anchor::middle,
                    0,
                    halo,
                    look.land};
    const Box box = text_box(name, *look.rule);  // clears the dots away under the words
    picture.fill(rectangle(box.x0 - halo, box.y0, box.width() + 2 * halo, box.height()),
                 with_opacity(look.land, 0.85));
    put_name(picture, name, look, window, taken);
    name_line(picture, kUsualLowest_mm, "lowest stitch usually here or above, 12.7 mm", window,
              look, taken);
  }
  if (const std::optional<double> top = usual_top_mm(subject))
    name_line(picture, *top, "usual top: 50.8 mm above the design’s lower edge", window, look,
              taken);
  if (terrain.has_seam && !terrain.reach.empty()) {
    const double top = std::min(window.y1, geometry::bounds(terrain.reach).y1);
    put_name(picture,
             {{9 * look.px_mm, -top + 20 * look.px_mm},
              "centre seam",
              small,
              Anchor::start,
              0,
              halo,
              look.land},
             look, window, taken);
  }
  name_eyelets(picture, setup, window, look, taken);
}

void draw_level_figures(Picture& picture, const Terrain& terrain, const Box& window,
                        const Look& look, Occupied& taken) {
  const Type type{Face::sans, 10.5 * look.px_mm, 400, false, kInk2, 0};
  int row = 0;
  for (auto level = terrain.levels.rbegin(); level != terrain.levels.rend(); ++level) {
    if (level->level_mm < 0.3) continue;
    // Figures step inwards from line to line, so that they do not stand in one column.
    const double in = (26 + 30 * (row++ % 5)) * look.px_mm;
    for (const double wanted : {window.x0 + in, window.x1 - in}) {
      Spot best;
      for (const Contour& line : level->lines) {
        const Spot spot = best_spot(line, terrain, window, wanted, 14 * look.px_mm);
        if (spot.miss < best.miss) best = spot;
      }
      if (best.miss > 25) continue;
      Text text{on_picture(best.at),
                fixed(level->level_mm, 1),
                type,
                Anchor::middle,
                best.turn_deg,
                4 * look.px_mm,
                look.land};
      // On the line: the middle of the figures, not their base, lies on it.
      const double turn = base::radians(best.turn_deg), drop = 0.34 * type.size_mm;
      text.at = text.at + Point{-std::sin(turn) * drop, std::cos(turn) * drop};
      if (taken.take(text_box(text, *look.rule), 3 * look.px_mm)) picture.add(std::move(text));
    }
  }
}

void draw_readings(Picture& picture, const cap::Setup& setup, const Box& window, const Look& look,
                   Occupied& taken) {
  const double r = kReading_px * look.px_mm;
  for (const cap::GapReading& reading : setup.readings) {
    if (!is_shown(reading, window)) continue;
    const Point at{reading.x_mm, -reading.y_mm};
    Path triangle;
    triangle.add(
        {{at.x, at.y - r}, {at.x + 0.92 * r, at.y + 0.6 * r}, {at.x - 0.92 * r, at.y + 0.6 * r}},
        true);
    picture.draw(std::move(triangle), look.paper, {kInk, 1.3 * look.px_mm, {}, true});
    taken.boxes.push_back({at.x - r, at.y - r, at.x + r, at.y + r});
  }
}

void draw_reading_figures(Picture& picture, const cap::Setup& setup, const Box& window,
                          const Look& look, Occupied& taken) {
  const Type type{Face::sans, 11.5 * look.px_mm, 600, false, kInk, 0};
  const double r = kReading_px * look.px_mm, halo = 3.5 * look.px_mm, drop = 0.36 * type.size_mm;
  char name = 'A';
  for (const cap::GapReading& reading : setup.readings) {
    const std::string label = std::string(1, name) + " " + fixed(reading.gap_mm, 1);
    name = name == 'Z' ? 'A' : static_cast<char>(name + 1);
    if (!is_shown(reading, window)) continue;
    const Point at{reading.x_mm, -reading.y_mm};
    const Text right{{at.x + 1.6 * r, at.y + drop}, label, type, Anchor::start, 0, halo, look.land};
    const Text left{{at.x - 1.6 * r, at.y + drop}, label, type, Anchor::end, 0, halo, look.land};
    const Text below{
        {at.x, at.y + 1.4 * r + 2 * drop}, label, type, Anchor::middle, 0, halo, look.land};
    const Text above{{at.x, at.y - 1.4 * r}, label, type, Anchor::middle, 0, halo, look.land};
    std::vector<Text> places{right, left, below, above};
    if (reading.x_mm < 0) std::swap(places[0], places[1]);
    const auto is_free = [&](const Text& text) {
      return taken.is_free(text_box(text, *look.rule), 0);
    };
    const auto best = std::find_if(places.begin(), places.end(), is_free);
    const Text& text = best == places.end() ? places[0] : *best;
    taken.boxes.push_back(text_box(text, *look.rule));
    picture.add(text);
  }
}

}  // namespace buckram::report
