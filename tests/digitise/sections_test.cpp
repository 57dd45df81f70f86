// Rows, sections, their order, and travel between them.
#include "base/base.h"
#include "digitise/fill_order.h"
#include "digitise/fill_shapes.h"
#include "digitise/fill_travel.h"
#include "digitise/sections.h"

#include <gtest/gtest.h>

#include <set>

namespace buckram::digitise {
namespace {

using geometry::Point;

// Oracle: geometry::hatch clips whole lines and knows nothing of chains or sections.
TEST(Rows, AgreeWithHatchedLines) {
  int spans = 0;
  for (const shapes::Shape& shape : shapes::all())
    for (const double angle : {0.0, 0.3, 1.2, 2.9}) {
      const Rows rows = make_rows(shape.area, angle, 0.4);
      const std::vector<geometry::Row> lines =
          geometry::hatch(shape.area, angle, rows.spacing_mm, rows.first_mm);
      std::size_t at = 0;
      for (const geometry::Row& line : lines) {
        if (line.offset < rows.first_mm - 0.1 || line.offset > rows.y(rows.n_rows - 1) + 0.1)
          continue;
        for (const geometry::Span& span : line.spans) {
          ASSERT_LT(at, rows.spans.size()) << shape.name;
          EXPECT_NEAR(rows.spans[at].x0, span.from, 1e-6) << shape.name;
          EXPECT_NEAR(rows.spans[at].x1, span.to, 1e-6) << shape.name;
          ++at, ++spans;
        }
      }
      EXPECT_EQ(at, rows.spans.size()) << shape.name << " at " << angle;
    }
  EXPECT_GT(spans, 10000);
}

TEST(Rows, ChainsLinkNeighbouringRowsAlongTheOutline) {
  for (const shapes::Shape& shape : shapes::all()) {
    const Rows rows = make_rows(shape.area, 0.4, 0.4);
    for (std::size_t c = 0; c < rows.crossings.size(); ++c) {
      const Crossing &a = rows.crossings[c], &b = rows.crossings[a.next];
      EXPECT_LE(std::abs(a.row - b.row), 1) << shape.name;
      const double low = rows.y(std::min(a.row, b.row)) - rows.spacing_mm - 1e-9;
      const double high = rows.y(std::max(a.row, b.row)) + rows.spacing_mm + 1e-9;
      for (Point p : chain(rows, static_cast<int>(c))) {
        EXPECT_GE(p.y, low) << shape.name;
        EXPECT_LE(p.y, high) << shape.name;
      }
    }
  }
}

TEST(Sections, CountsOfKnownShapes) {
  const auto count = [](const geometry::Polygons& area, double angle) {
    return make_sections(make_rows(area, angle, 0.4)).list.size();
  };
  EXPECT_EQ(count(shapes::joined({shapes::rect(0, 0, 40, 25)}), 0.5), 1u);
  EXPECT_EQ(count(shapes::ring(), 0.7), 4u);                // below, two sides, above
  EXPECT_EQ(count(shapes::comb(), 0.0), 1u + 8u);           // the back and eight teeth
  EXPECT_EQ(count(shapes::letter_e(), base::kPi / 2), 4u);  // the stem and three arms
}

TEST(Sections, EverySpanOnceAndAllHangTogether) {
  for (const shapes::Shape& shape : shapes::all())
    for (const double angle : {0.0, 0.6, 1.7, 2.4}) {
      const Rows rows = make_rows(shape.area, angle, 0.4);
      const Sections sections = make_sections(rows);
      std::vector<int> seen(rows.spans.size(), 0);
      for (const Section& section : sections.list)
        for (int s : section.spans) ++seen[s];
      for (int n : seen) ASSERT_EQ(n, 1) << shape.name;
      EXPECT_EQ(sewing_order(sections, 0, true, 0).size(), sections.list.size())
          << shape.name << " at " << angle;
    }
}

// Law of fill_order.h: what is not yet sewn hangs together, and the section just sewn ends next to
// it.
TEST(SewingOrder, LeavesTheRestInOnePieceBesideTheLastRow) {
  int steps = 0;
  for (const shapes::Shape& shape : shapes::all()) {
    const Rows rows = make_rows(shape.area, 0.6, 0.4);
    const Sections sections = make_sections(rows);
    const int n = static_cast<int>(sections.list.size());
    for (int last = 0; last < n; last += 1 + n / 7) {
      const std::vector<Visit> order = sewing_order(sections, last, last % 2 == 0, (last * 7) % n);
      ASSERT_EQ(order.back().section, last);
      EXPECT_EQ(order.back().upward, last % 2 == 0);
      std::set<int> left;
      for (const Visit& v : order) left.insert(v.section);
      for (std::size_t i = 0; i + 1 < order.size(); ++i, ++steps) {
        left.erase(order[i].section);
        bool beside = false;
        for (const Join& j : sections.list[order[i].section].joins)
          beside |= j.own_top == order[i].upward && left.count(j.section) > 0;
        EXPECT_TRUE(beside) << shape.name;
        std::set<int> reached{*left.begin()};
        std::vector<int> queue{*left.begin()};
        while (!queue.empty()) {
          const int s = queue.back();
          queue.pop_back();
          for (const Join& j : sections.list[s].joins)
            if (left.count(j.section) > 0 && reached.insert(j.section).second)
              queue.push_back(j.section);
        }
        ASSERT_EQ(reached.size(), left.size()) << shape.name;
      }
    }
  }
  EXPECT_GT(steps, 100);
}

TEST(Travel, StaysInsideAndIsShort) {
  base::Random random(3);
  int long_ways = 0;
  for (const shapes::Shape& shape : shapes::all()) {
    const Rows rows = make_rows(shape.area, 0, 0.4);
    const Sections sections = make_sections(rows);
    const geometry::Polygons room = geometry::offset(shape.area, 0.02);
    for (int i = 0; i < 30; ++i) {
      const int n = static_cast<int>(rows.spans.size());
      const int from = random.below(n);
      const int to = random.below(n);
      const RowSpan &a = rows.spans[from], &b = rows.spans[to];
      const Point start{(a.x0 + a.x1) / 2, rows.y(a.row)}, end{(b.x0 + b.x1) / 2, rows.y(b.row)};
      const geometry::Polyline path =
          taut_path(rows, span_route(rows, sections, from, to), start, end, 0.3);
      ASSERT_GE(path.size(), from == to ? 1u : 2u);
      EXPECT_EQ(path.front(), start);
      EXPECT_EQ(path.back(), end);
      for (std::size_t k = 0; k + 1 < path.size(); ++k)
        EXPECT_TRUE(geometry::inside(path[k], path[k + 1], room))
            << shape.name << " from " << from << " to " << to;
      if (geometry::inside(start, end, shape.area) && from != to) {
        // rows that do not bend the way: nothing shorter than the straight line, and not much
        // longer
        EXPECT_LE(geometry::length(path), 1.5 * geometry::distance(start, end) + 3) << shape.name;
      } else {
        ++long_ways;
      }
    }
  }
  EXPECT_GT(long_ways, 50);
}

TEST(Travel, StitchesKeepTheirLengths) {
  base::Random random(9);
  for (int i = 0; i < 300; ++i) {
    geometry::Polyline path{{0, 0}};
    const int n = 1 + random.below(12);
    for (int k = 0; k < n; ++k) {
      const double x = random.uniform(-4, 4);
      const double y = random.uniform(-4, 4);
      path.push_back(path.back() + Point{x, y} * random.uniform());
    }
    const geometry::Polyline stitches = travel_stitches(path, 2.2, 0.8);
    Point last = path.front();
    for (Point p : stitches) {
      EXPECT_LE(geometry::distance(last, p), 2.2 + 0.8 + 1e-9) << "case " << i;
      last = p;
    }
    if (!stitches.empty()) {
      EXPECT_EQ(stitches.back(), path.back());
    }
  }
}

}  // namespace
}  // namespace buckram::digitise
