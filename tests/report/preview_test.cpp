// The preview, read back by cairo.
#include "report/crest.h"

#include "report/report.h"

#include <cairo.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace buckram::report_tests {
namespace {

struct Bytes {
  const std::string* all;
  std::size_t at = 0;
};

cairo_status_t feed(void* closure, unsigned char* data, unsigned int length) {
  auto& bytes = *static_cast<Bytes*>(closure);
  if (bytes.at + length > bytes.all->size()) return CAIRO_STATUS_READ_ERROR;
  bytes.all->copy(reinterpret_cast<char*>(data), length, bytes.at);
  bytes.at += length;
  return CAIRO_STATUS_SUCCESS;
}

struct Image {
  int width = 0, height = 0;
  std::vector<std::uint32_t> argb;
  std::uint32_t at(int x, int y) const {
    return argb[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                static_cast<std::size_t>(x)];
  }
};

Image preview_of(const Crest& crest, int width) {
  const std::string png = report::preview_png(crest.subject(), width);
  Bytes bytes{&png};
  cairo_surface_t* surface = cairo_image_surface_create_from_png_stream(feed, &bytes);
  Image image;
  if (cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS) {
    image.width = cairo_image_surface_get_width(surface);
    image.height = cairo_image_surface_get_height(surface);
    const auto* data = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < image.height; ++y) {
      const auto* row = reinterpret_cast<const std::uint32_t*>(data + std::ptrdiff_t(y) * stride);
      image.argb.insert(image.argb.end(), row, row + image.width);
    }
  }
  cairo_surface_destroy(surface);
  return image;
}

constexpr geometry::Box kSquare{-25, 14, 25, 64};

// A square of red thread on a dark cap: two upright columns and two lying ones, `wide_mm` wide,
// their outer edges on the square's sides.
Crest red_square(double wide_mm) {
  Crest crest = make_crest();
  crest.setup.cap.cloth_rgb = "#101010";
  std::vector<stitch::PlanThread> threads = crest.plan.threads;
  threads[0].rgb = "#ff0000";
  stitch::PlanObject object = crest.plan.objects[0];
  object.thread = 0;
  CrestBuilder builder({}, threads, {object});
  const geometry::Box& b = kSquare;
  const double half = wide_mm / 2;
  for (const double x : {b.x0 + half, b.x1 - half})
    builder.column(object.id, {{x, b.y0}, {x, b.y1}}, wide_mm);
  for (const double y : {b.y0 + half, b.y1 - half})
    builder.column(object.id, {{b.x0, y}, {b.x1, y}}, wide_mm);
  crest.plan = builder.finish();
  crest.box = b;
  crest.verdict.forecast.reset();
  return crest;
}

bool is_red(std::uint32_t c) {
  const int red = c >> 16 & 255, green = c >> 8 & 255;
  return red >= 90 && green <= red / 2;
}

struct PixelBox {
  int x0 = 1 << 30, y0 = 0, x1 = -1, y1 = -1;
  int width() const { return x1 - x0 + 1; }
  int height() const { return y1 - y0 + 1; }
};

// Where red thread lies in the close-up, which is the lower picture.
PixelBox close_up_of(const Image& image) {
  PixelBox box;
  for (int y = image.height - 1; y >= 0; --y) {
    int n_red = 0;
    for (int x = 0; x < image.width; ++x)
      if (is_red(image.at(x, y)))
        ++n_red, box.x0 = std::min(box.x0, x), box.x1 = std::max(box.x1, x);
    if (n_red == 0 && box.y1 >= 0) break;  // above the close-up
    if (n_red > 0) box.y0 = y, box.y1 = std::max(box.y1, y);
  }
  return box;
}

// The rule is the square itself: 50 mm of chart both ways, on a round crown.
TEST(Preview, DrawsASquareOfStitchesAsASquareInTheCloseUp) {
  const PixelBox box = close_up_of(preview_of(red_square(2), 1000));
  ASSERT_GT(box.width(), 300);
  EXPECT_NEAR(double(box.width()) / box.height(), 1, 0.02);
}

// Mean red of what thread covers between shares of the close-up's box.
double mean_red(const Image& image, const PixelBox& box, double u0, double v0, double u1,
                double v1) {
  double sum = 0;
  int n = 0;
  for (int y = box.y0 + int(v0 * box.height()); y < box.y0 + int(v1 * box.height()); ++y)
    for (int x = box.x0 + int(u0 * box.width()); x < box.x0 + int(u1 * box.width()); ++x)
      if (is_red(image.at(x, y))) sum += image.at(x, y) >> 16 & 255u, ++n;
  EXPECT_GT(n, 2000);
  return sum / n;
}

// One thread, four ways to run: the stitches of lying columns go up and down, those of upright ones
// to and fro; left and right the crown turns away. People take two shades for two threads. A
// twelfth of the scale is what the eye lets pass between areas that do not touch (estimate, by
// eye).
TEST(Preview, OneThreadHasOneColourInTheCloseUpWhicheverWayItRuns) {
  const Image image = preview_of(red_square(6), 1000);
  const PixelBox box = close_up_of(image);
  ASSERT_GT(box.width(), 300);
  const double left = mean_red(image, box, 0.01, 0.2, 0.11, 0.8),
               right = mean_red(image, box, 0.89, 0.2, 0.99, 0.8),
               top = mean_red(image, box, 0.2, 0.01, 0.8, 0.11),
               bottom = mean_red(image, box, 0.2, 0.89, 0.8, 0.99);
  EXPECT_LT(std::abs(left - right), 6);
  EXPECT_LT(std::abs(top - bottom), 6);
  EXPECT_LT(std::abs(left - top), 20);
  EXPECT_GT(std::min({left, right, top, bottom}), 190)
      << "and that is the thread's own, not a grey";
}

TEST(Preview, IsAPictureOfTheSizeAskedThatShowsTheThread) {
  const Crest crest = make_crest();
  EXPECT_EQ(report::preview_png(crest.subject(), 800), report::preview_png(crest.subject(), 800));
  const Image image = preview_of(crest, 800);
  EXPECT_EQ(image.width, 800);
  // The cap from the front alone is about square; the close-up below it needs more.
  EXPECT_GT(image.height, 1000);
  int n_colours = 0;
  for (int y = 0; y < image.height; y += 3)
    for (int x = 0; x + 1 < image.width; x += 3) n_colours += image.at(x, y) != image.at(x + 1, y);
  EXPECT_GT(n_colours, 2000) << "threads, cloth and seams make edges everywhere";
}

}  // namespace
}  // namespace buckram::report_tests
