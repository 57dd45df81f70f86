// Stitches as CSV and as a drawing.
#include "machine/sample.h"

#include "base/base.h"

#include <gtest/gtest.h>

#include <librsvg/rsvg.h>

#include <string>

namespace buckram::machine {
namespace {

TEST(Csv, ReadBackGivesTheSameStitchesAndBlocks) {
  const stitch::Plan plan = sample_plan();
  const stitch::Plan back = read_csv(write_csv(plan, {}), "t");
  EXPECT_EQ(back.x, plan.x);
  EXPECT_EQ(back.y, plan.y);
  EXPECT_EQ(back.op, plan.op);
  ASSERT_EQ(back.blocks.size(), plan.blocks.size());
  for (std::size_t i = 0; i < plan.blocks.size(); ++i) {
    EXPECT_EQ(back.blocks[i].object, plan.blocks[i].object);
    EXPECT_EQ(back.blocks[i].layer, plan.blocks[i].layer);
    EXPECT_EQ(back.blocks[i].count, plan.blocks[i].count);
  }
  EXPECT_EQ(write_csv(back, {}), write_csv(plan, {}));
}

TEST(Csv, HeaderAndRowAreTheContract) {
  const stitch::Plan plan = sample_plan();
  std::vector<double> hazard(plan.op.size(), 0.0);
  hazard[1] = 1.23456e-5;
  const std::string text = write_csv(plan, hazard);
  EXPECT_TRUE(
      text.starts_with("index,x_mm,y_mm,op,thread,object,layer,hazard\n"
                       "0,-20.000,20.000,m,0,4,under,0\n"
                       "1,-20.000,20.000,s,0,4,under,1.235e-05\n"));
}

TEST(Csv, FewerColumnsInAnyOrderAreEnough) {
  const stitch::Plan plan =
      read_csv("op,y_mm,x_mm\r\ns,1,2\r\nt,1,2\r\nm,9,9\r\ns,3,4\r\ne,3,4\r\n", "t");
  ASSERT_EQ(plan.size(), 5);
  EXPECT_EQ(plan.x[3], 4);
  EXPECT_EQ(plan.blocks.size(), 1U);
}

TEST(Csv, BadInputIsRefusedWithItsLine) {
  const std::string head = "index,x_mm,y_mm,op\n";
  const struct {
    std::string text;
    const char* what;
    const char* where;
  } cases[] = {
      {"", "is empty", "t: line 0"},
      {"x_mm,op\n", "no column y_mm", "t: line 1"},
      {head, "not an end", "t: line 1"},
      {head + "0,1,2,s\n", "not an end", "t: line 2"},
      {head + "0,1,2,s\n1,1,2\n", "has 3 fields", "t: line 3"},
      {head + "0,nan,2,s\n", "x_mm is nan", "t: line 2"},
      {head + "0,1e300,2,s\n", "x_mm is 1e300", "t: line 2"},
      {head + "0,,2,s\n", "x_mm is empty", "t: line 2"},
      {head + "0,1,2,q\n", "op is q", "t: line 2"},
      {head + "1,1,2,s\n", "index is 1, wanted 0", "t: line 2"},
      {head + "0,1,2,s\n1,1,2,e\n2,1,2,s\n", "follows the end", "t: line 4"},
      {head + "0,1,2,m\n1,1,2,e\n", "no stitches", "t"},
      {"x_mm,y_mm,op,layer\n1,2,s,wool\n", "layer is wool", "t: line 2"},
  };
  for (const auto& each : cases) {
    try {
      read_csv(each.text, "t");
      ADD_FAILURE() << each.text;
    } catch (const base::Error& error) {
      EXPECT_NE(error.what.find(each.what), std::string::npos) << error.what;
      EXPECT_EQ(error.where, each.where) << error.what;
    }
  }
}

// Oracle: librsvg accepts the drawing and measures it; y is up, so the stem's foot is low.
TEST(Svg, IsDrawnUprightAtTrueSize) {
  const std::string text = write_svg(sample_plan());
  GError* trouble = nullptr;
  RsvgHandle* handle = rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(text.data()),
                                                 text.size(), &trouble);
  ASSERT_NE(handle, nullptr);
  rsvg_handle_set_dpi(handle, 96);  // CSS: 96 px an inch
  RsvgRectangle box{};
  ASSERT_TRUE(rsvg_handle_get_intrinsic_size_in_pixels(handle, &box.width, &box.height));
  EXPECT_NEAR(box.width, (30 + 4) / 25.4 * 96, 0.1);
  EXPECT_NEAR(box.height, (40 + 4) / 25.4 * 96, 0.1);
  g_object_unref(handle);
  EXPECT_NE(text.find("stroke=\"#b4432f\""), std::string::npos);
  EXPECT_NE(text.find("viewBox=\"-22.000 -62.000"), std::string::npos);
}

}  // namespace
}  // namespace buckram::machine
