// Lettering typed in. Letter shapes and advances come from the font; librsvg, which sets text with
// another shaper's help, draws the same line of the same font (SvgFeature, text_...).
#include "artwork/lettering.h"

#include "artwork/artwork.h"
#include "base/base.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace buckram::artwork {
namespace {

using geometry::Box;
using geometry::Point;

Drawing set(const std::string& text, double arc_deg = 0, double spacing_em = 0,
            const std::string& font = "DejaVu Sans:bold") {
  return read_lettering({text, font, {}, arc_deg, spacing_em});
}

// Middles of the letters' boxes, from left to right of what is drawn.
std::vector<Box> boxes(const Drawing& drawing) {
  std::vector<Box> all;
  for (const Shape& shape : drawing.shapes) {
    for (const geometry::Polygon& part : shape.area) all.push_back(geometry::bounds({part}));
  }
  std::sort(all.begin(), all.end(), [](const Box& a, const Box& b) { return a.x0 < b.x0; });
  return all;
}

Point middle(const Box& box) {
  return {(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2};
}

// The same text as an SVG file's text element in the same font.
TEST(Lettering, IsWhatATextElementOfTheSameFontPaints) {
  const Drawing typed = set("Keld Av");
  const Drawing drawn = read_svg(
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 90 40'><text x='0' y='20' "
      "font-size='10' font-weight='bold' font-family='DejaVu Sans'>Keld Av</text></svg>",
      "t");
  EXPECT_NEAR(typed.painted.width(), drawn.painted.width(), 0.01);
  EXPECT_NEAR(typed.painted.y0 + 20, drawn.painted.y0, 0.01);
  ASSERT_EQ(typed.shapes.size(), 1u);
  EXPECT_NEAR(geometry::area(typed.shapes[0].area), geometry::area(drawn.shapes[0].area), 0.05);
  EXPECT_EQ(typed.shapes[0].source, "Keld Av");
}

// Advance of H in DejaVu Sans Bold: 1714 of 2048 units (its hmtx table).
TEST(Lettering, SpacingAddsBetweenLettersOnly) {
  const double plain = set("HHHH").painted.width();
  const double wide = set("HHHH", 0, 0.3).painted.width();
  EXPECT_NEAR(wide - plain, 3 * 0.3 * 10, 1e-2);
  const auto letters = boxes(set("HHHH"));
  ASSERT_EQ(letters.size(), 4u);
  for (std::size_t i = 1; i < 4; ++i) {
    EXPECT_NEAR(letters[i].x0 - letters[i - 1].x0, 10 * 1714.0 / 2048, 5e-3);
  }
}

// On an arc of a given angle the middles of equal letters lie on one circle, equally far apart, and
// the ends of the line turn by that angle.
TEST(Lettering, StandsOnACircle) {
  for (const double arc : {60.0, 180.0, 300.0, -60.0, -90.0}) {
    SCOPED_TRACE(arc);
    const auto flat = boxes(set("lllllll", 0, 0.5));
    ASSERT_EQ(flat.size(), 7u);
    const double step = flat[1].x0 - flat[0].x0, length = 7 * step - 5;
    const double radius = length / (arc * base::kPi / 180);
    // "l" is a plain bar on the base line: its middle stands half its height off the circle.
    const double off = std::abs(radius + flat[0].height() / 2);
    const double left = flat[0].x0 - (step - 5 - flat[0].width()) / 2;
    const Point centre{left + length / 2, radius};
    const auto bent = boxes(set("lllllll", arc, 0.5));
    ASSERT_EQ(bent.size(), 7u);
    for (const Box& box : bent) {
      EXPECT_NEAR(geometry::distance(middle(box), centre), off, 0.02 * off);
    }
    // The fourth stands upright where it was.
    const bool is_there = std::any_of(bent.begin(), bent.end(), [&](const Box& box) {
      return geometry::distance(middle(box), middle(flat[3])) < 0.01;
    });
    EXPECT_TRUE(is_there);
  }
}

TEST(Lettering, LinesAreCentredBelowEachOther) {
  const Drawing drawing = set("HHHH\nHH");
  ASSERT_EQ(drawing.shapes.size(), 2u);
  const Box first = geometry::bounds(drawing.shapes[0].area);
  const Box second = geometry::bounds(drawing.shapes[1].area);
  EXPECT_NEAR(middle(first).x, middle(second).x, 0.01);
  EXPECT_NEAR(second.y1 - first.y1, 12, 0.01);  // y points down; lines stand 1.2 em apart
}

// librsvg 2.54 passes over a place for each letter and over text along a path; these follow from
// SVG 1.1, 10.4 and 10.13.
TEST(SvgText, LettersStandWhereTheListsPutThem) {
  const auto letters = boxes(read_svg(
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'><text x='5 30 70' y='40 60 "
      "80' dx='0 0 2' font-size='20' font-family='DejaVu Sans'>llll</text></svg>",
      "t"));
  ASSERT_EQ(letters.size(), 4u);
  EXPECT_NEAR(letters[1].x0 - letters[0].x0, 25, 0.02);
  EXPECT_NEAR(letters[2].x0 - letters[1].x0, 42, 0.02);
  EXPECT_NEAR(letters[1].y1 - letters[0].y1, 20, 0.02);
  EXPECT_NEAR(letters[3].y1, letters[2].y1, 0.02);  // the last goes on from the one before
  EXPECT_NEAR(letters[3].x0 - letters[2].x0, 20 * 569.0 / 2048, 0.02);  // advance of l: hmtx
}

TEST(SvgText, FollowsAPathAndItsOffset) {
  const std::string head =
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 200 200'><path id='p' transform='"
      "translate(0 10)' fill='none' d='M20 100H180V20'/><text font-size='20' "
      "font-family='DejaVu Sans'>";
  const auto along = [&](const std::string& attributes) {
    return boxes(
        read_svg(head + "<textPath href='#p' " + attributes + ">l</textPath></text></svg>", "t"));
  };
  const auto half = along("startOffset='80' text-anchor='middle'");
  ASSERT_EQ(half.size(), 1u);
  EXPECT_NEAR(middle(half[0]).x, 100, 0.1);
  EXPECT_NEAR(half[0].y1, 110, 0.02);
  // Up the second leg the letter lies on its side, its foot on the path.
  const auto up = along("startOffset='85%' text-anchor='middle'");
  ASSERT_EQ(up.size(), 1u);
  EXPECT_NEAR(up[0].x1, 180, 0.02);
  EXPECT_NEAR(middle(up[0]).y, 110 - (0.85 * 240 - 160), 0.1);
  EXPECT_GT(up[0].width(), 3 * up[0].height());
}

// A closed path has its last side too; a place along the path (SVG 2, 11.8.3: x) counts from its
// start; what stands on `text` itself is of the lines, not of the path.
TEST(SvgText, RunsRoundAClosedPathAndFromPlaces) {
  const auto set_on = [](const std::string& inside) {
    return read_svg(
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 200 200'><path id='p' fill='none' "
        "d='M50 50H150V150H50Z'/><text x='77' font-size='20' font-family='DejaVu Sans'><textPath "
        "href='#p' " +
            inside + "</textPath></text></svg>",
        "t");
  };
  const Drawing last = set_on("startOffset='350'>l");  // the middle of the last side
  EXPECT_TRUE(last.notes.empty());
  ASSERT_EQ(boxes(last).size(), 1u);
  EXPECT_NEAR(boxes(last)[0].x1, 50, 0.02);
  const auto placed = boxes(set_on("><tspan x='10 40 80'>lll</tspan>"));
  ASSERT_EQ(placed.size(), 3u);
  EXPECT_NEAR(placed[1].x0 - placed[0].x0, 30, 0.02);
  EXPECT_NEAR(placed[2].x0 - placed[1].x0, 40, 0.02);
  EXPECT_LT(placed[0].x0, 65);  // 50 + 10, and the letter's own edge
}

// On an arc a mark stands on its letter: x with a diaeresis is as wide as x, not more.
TEST(Lettering, MarksStayOnTheirLetters) {
  const double bare = set("xx", 120, 0.5).painted.width();
  EXPECT_NEAR(set("x\xCC\x88x\xCC\x88", 120, 0.5).painted.width(), bare, 0.1 * bare);
  EXPECT_GE(boxes(set("x\xCC\x88", 0)).size(), 3u);  // the letter and two dots
}

TEST(Lettering, RefusesWhatCannotBeSet) {
  const auto message = [](const std::string& text, const std::string& font) {
    try {
      set(text, 0, 0, font);
    } catch (const base::Error& error) {
      EXPECT_FALSE(error.hint.empty());
      return base::message(error);
    }
    return std::string();
  };
  EXPECT_NE(message(" \n ", "DejaVu Sans").find("no letters"), std::string::npos);
  EXPECT_NE(message("K", "No Such Face").find("not installed"), std::string::npos);
  EXPECT_NE(message("K", "DejaVu Sanz").find("DejaVu Sans"), std::string::npos);
  EXPECT_NE(message("K", "missing.ttf").find("no such file"), std::string::npos);
  EXPECT_NE(message("\xF3\xB0\x80\x80", "DejaVu Sans").find("no letter"), std::string::npos);
  EXPECT_NE(message(std::string(3000, 'a'), "DejaVu Sans").find("3000"), std::string::npos);
}

}  // namespace
}  // namespace buckram::artwork
