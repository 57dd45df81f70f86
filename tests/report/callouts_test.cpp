// Where the numbers of the worst places stand on the chart.
#include "report/crest.h"

#include "report/chart_words.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

namespace buckram::report_tests {
namespace {

using geometry::Point;

// Two rows of upright bars over 110 mm, as a wordmark of two words; the worst places lie in the
// lower row.
Crest make_wordmark() {
  Crest crest = make_crest();
  std::vector<stitch::PlanObject> objects;
  for (int k = 0; k < 46; ++k) objects.push_back({k + 1, stitch::Kind::column, 0, "", ""});
  CrestBuilder builder({}, crest.plan.threads, objects);
  int id = 0;
  for (const double low : {20.0, 44.0})
    for (double x = -55; x <= 55; x += 5) builder.column(++id, {{x, low}, {x, low + 16}}, 2.5);
  crest.plan = builder.finish();
  crest.box = {-56, 20, 56, 60};
  needle::Forecast& forecast = *crest.verdict.forecast;
  forecast.hazard.assign(static_cast<std::size_t>(crest.plan.size()), 1e-6);
  forecast.worst.clear();
  for (const Point wanted :
       {Point{0, 22}, Point{-15, 24}, Point{20, 21}, Point{-30, 34}, Point{5, 35}, Point{25, 26}}) {
    int nearest = 0;
    for (int i = 0; i < crest.plan.size(); ++i)
      if (geometry::distance(crest.plan.at(i), wanted) <
          geometry::distance(crest.plan.at(nearest), wanted))
        nearest = i;
    forecast.worst.push_back({nearest, crest.plan.at(nearest), 1e-4, needle::Mode::plate,
                              "The cloth stands off the plate here.", "Pack the plate up."});
  }
  return crest;
}

struct Drawn {
  std::vector<report::Disc> pins;                // numbered discs
  std::vector<std::pair<Point, Point>> leaders;  // from ring to disc
};

Drawn draw(const Crest& crest, bool has_words) {
  const report::TypeRule rule;
  const report::Look look = report::print_look(rule, 0.23);
  const report::Subject subject = crest.subject();
  const report::Terrain terrain = report::survey(subject);
  report::Picture picture;
  report::Occupied taken;
  report::draw_callouts(picture, report::callouts(subject, 6), crest.box, terrain.window, look,
                        report::SewnLand(crest.plan, terrain.window), has_words, taken);
  Drawn drawn;
  for (const report::Item& item : picture.items) {
    if (const auto* disc = std::get_if<report::Disc>(&item))
      if (disc->fill == report::kAccent) drawn.pins.push_back(*disc);
    if (const auto* shape = std::get_if<report::Shape>(&item))
      if (shape->path.points.size() == 2 && shape->pens[0].colour == report::kAccent)
        drawn.leaders.emplace_back(shape->path.points[0], shape->path.points[1]);
  }
  return drawn;
}

// Nearer than this to the thread's middle is on it.
bool is_on_thread(const Crest& crest, Point picture, double within_mm) {
  for (int i = 1; i < crest.plan.size(); ++i) {
    if (!stitch::has_thread(crest.plan, i)) continue;
    const Point a = crest.plan.at(i - 1), b = crest.plan.at(i), p{picture.x, -picture.y};
    const Point d = b - a;
    const double t = std::clamp(geometry::dot(p - a, d) / geometry::dot(d, d), 0.0, 1.0);
    if (geometry::distance(p, a + d * t) < within_mm) return true;
  }
  return false;
}

TEST(Callouts, NumbersStandClearOfTheStitchesAndOfEachOther) {
  for (const bool has_words : {true, false}) {
    const Crest crest = make_wordmark();
    const Drawn drawn = draw(crest, has_words);
    ASSERT_EQ(drawn.pins.size(), 6U);
    for (const report::Disc& pin : drawn.pins) {
      EXPECT_FALSE(is_on_thread(crest, pin.middle, pin.radius_mm)) << pin.middle.x;
      for (const report::Disc& other : drawn.pins) {
        const bool is_apart =
            geometry::distance(pin.middle, other.middle) > 2 * pin.radius_mm || &other == &pin;
        EXPECT_TRUE(is_apart) << pin.middle.x;
      }
    }
  }
}

// Leaders of a wordmark's lower word do not run over the upper one, nor along many letters.
TEST(Callouts, LeadersAcrossAWordmarkStayShort) {
  const Crest crest = make_wordmark();
  const Drawn drawn = draw(crest, true);
  ASSERT_EQ(drawn.leaders.size(), 6U);
  for (const auto& [a, b] : drawn.leaders) {
    int n_over = 0, n_upper = 0;
    for (int k = 0; k < 100; ++k) {
      const Point p = geometry::mix(a, b, (k + 0.5) / 100);
      if (!is_on_thread(crest, p, 0.4)) continue;
      ++n_over, n_upper += -p.y > 43;
    }
    EXPECT_LT(n_over * geometry::distance(a, b) / 100, 8) << a.x << ", " << a.y;
    EXPECT_EQ(n_upper, 0) << a.x << ", " << a.y;
  }
}

// A crest is narrow enough for words at its sides.
TEST(Callouts, ACrestKeepsItsWords) {
  const Crest crest = make_crest();
  const Drawn drawn = draw(crest, true);
  ASSERT_EQ(drawn.pins.size(), 6U);
  int n_beside = 0;
  for (const report::Disc& pin : drawn.pins) n_beside += std::abs(pin.middle.x) > 19;
  EXPECT_GE(n_beside, 5);
}

// Nothing is told twice: not the side, and beside a height neither the end nor the count of the way
// up.
TEST(Callouts, APartBesideItsPlaceSaysNothingTwice) {
  const auto beside = [](std::string part, std::string where) {
    report::Callout place;
    place.part = std::move(part), place.where = std::move(where);
    return report::part_beside(place);
  };
  EXPECT_EQ(beside("Navy column 4.7 mm wide, right", "right of the seam"),
            "Navy column 4.7 mm wide");
  EXPECT_EQ(beside("Green column 2.2 mm wide, bottom, 2nd of 2 from the top",
                   "on the seam, 18\u00a0mm up"),
            "Green column 2.2 mm wide");
  EXPECT_EQ(beside("Brass column 0.9 mm wide, round the edge", "left of the seam"),
            "Brass column 0.9 mm wide, round the edge");
  EXPECT_EQ(beside("Green column 2.2 mm wide, bottom", "on the seam"),
            "Green column 2.2 mm wide, bottom");
  EXPECT_EQ(beside("Right", "right of the seam"), "Right");
}

}  // namespace
}  // namespace buckram::report_tests
