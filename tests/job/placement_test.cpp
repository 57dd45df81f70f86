#include "job/placement.h"

#include <gtest/gtest.h>

namespace buckram::job {
namespace {

// A rectangle of 100 by 50 user units whose painted box does not start at the origin.
artwork::Drawing block() {
  artwork::Drawing drawing;
  artwork::Shape shape;
  shape.area = {{{{20, 30}, {120, 30}, {120, 80}, {20, 80}}, {}}};
  drawing.shapes = {shape};
  drawing.painted = {20, 30, 120, 80};
  return drawing;
}

// A flat mount's field is its reach but for what the cap forbids.
cap::Setup flat_setup() {
  cap::Setup setup;
  setup.mount.kind = cap::MountKind::flat;
  setup.mount.field = {-60, 6, 60, 90};
  setup.mount.bill_is_on = false;
  setup.mount.is_front_flat = true;
  return setup;
}

Fit placed(const Job& job, const cap::Setup& setup = flat_setup()) {
  const artwork::Drawing drawing = block();
  return place(job, setup, digitise::Recipe{}, drawing, silhouette(drawing));
}

TEST(Placement, SilhouetteHasTheArtworksArea) {
  const double area = geometry::area(silhouette(block()));
  EXPECT_GE(area, 100 * 50);
  EXPECT_LE(area, 100.5 * 50.5);
}

// Thinner than the thinning: it still has to fit.
TEST(Placement, AThinBarIsNotForgotten) {
  artwork::Drawing drawing;
  artwork::Shape bar;
  bar.area = {{{{0, 0}, {0.37, 0}, {0.37, 390}, {0, 390}}, {}}};
  drawing.shapes = {bar};
  drawing.painted = {0, 0, 0.37, 390};
  EXPECT_GE(geometry::area(silhouette(drawing)), 0.37 * 390);
  Job job;
  job.height_mm = 390;
  job.at_mm = geometry::Point{0, 195};
  EXPECT_FALSE(place(job, flat_setup(), digitise::Recipe{}, drawing, silhouette(drawing)).fits);
}

TEST(Placement, HeightMeasuresThePaintedBox) {
  Job job;
  job.height_mm = 20;
  const Fit fit = placed(job);
  EXPECT_TRUE(fit.fits);
  EXPECT_NEAR(fit.scale, 20.0 / 50, 1e-12);
  EXPECT_NEAR(fit.middle.x, 0, 1e-12);
  EXPECT_NEAR(fit.middle.y, kDefaultLowEdgeMm + 10, 1e-12);
}

TEST(Placement, WithBothItFitsInsideBoth) {
  Job job;
  job.height_mm = 40, job.width_mm = 30;
  EXPECT_NEAR(placed(job).scale, 30.0 / 100, 1e-12);
  job.width_mm = 200;
  EXPECT_NEAR(placed(job).scale, 40.0 / 50, 1e-12);
}

TEST(Placement, AtIsTheMiddleOfThePaintedBox) {
  Job job;
  job.height_mm = 10;
  job.at_mm = geometry::Point{7, 40};
  const Fit fit = placed(job);
  EXPECT_EQ(fit.middle, (geometry::Point{7, 40}));
  const geometry::Affine map = artwork::placement_matrix(block(), {fit.middle, fit.scale});
  // User y points down, chart y up: the box's top left corner comes to lie upper left.
  const geometry::Point corner = map({20, 30});
  EXPECT_NEAR(corner.x, 7 - 10, 1e-9);
  EXPECT_NEAR(corner.y, 40 + 5, 1e-9);
}

// The field ends at x = 60 mm: twice the room on that side, less the margin, is the width.
TEST(Placement, AtWithoutASizeIsTheLargestThatFitsThere) {
  Job job;
  const double margin = margin_mm(digitise::Recipe{});
  for (const double x : {40.0, 45.0, 50.0}) {
    job.at_mm = geometry::Point{x, 48};
    const Fit fit = placed(job);
    EXPECT_TRUE(fit.fits);
    EXPECT_NEAR(fit.scale * 100, 2 * (60 - x - margin), 0.25) << x;
  }
}

TEST(Placement, DefaultIsTheLargestHeightUpToFiftyThatFits) {
  // 120 mm of field, less the margin on both sides: twice as wide as tall.
  const Fit fit = placed(Job{});
  EXPECT_TRUE(fit.fits);
  const double room = 120 - 2 * margin_mm(digitise::Recipe{});
  EXPECT_NEAR(fit.scale * 100, std::min(room, 100.0), 0.5);
  EXPECT_LE(fit.scale * 50, kDefaultTallestMm + 1e-9);
}

TEST(Placement, TooTallIsNotFittedAndSaysWhy) {
  Job job;
  job.height_mm = 100;
  const Fit fit = placed(job);
  EXPECT_FALSE(fit.fits);
  EXPECT_FALSE(fit.obstacle.empty());
}

}  // namespace
}  // namespace buckram::job
