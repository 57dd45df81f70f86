// The view against the plan it was made from, read by a JSON library of its own.
#include "server/ground.h"
#include "server/program.h"
#include "server/view.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <cmath>

namespace buckram::server {
namespace {

using Json = nlohmann::json;

job::Resolved crest(const std::vector<std::string>& more = {}) {
  std::vector<std::string> sets{"artwork.height_mm=20"};
  sets.insert(sets.end(), more.begin(), more.end());
  job::Job job = job::read_job("", "", "", sets);
  job.artwork_file = BUCKRAM_ROOT "/examples/keld-harbour-crest.svg";
  return job::resolve(job, {BUCKRAM_ROOT "/data"});
}

std::string reading_of(double mm) {
  return "gap=[{x_mm=0,y_mm=20,gap_mm=" + std::to_string(mm) + "}]";
}

TEST(View, HoldsEveryEntryAsPlanned) {
  const job::Resolved job = crest();
  const artwork::Drawing drawing = job::read_artwork(job.job);
  const job::Planned planned = job::plan_stitches(job, drawing);
  ASSERT_TRUE(planned.plan);
  const stitch::Plan& plan = *planned.plan;
  const advise::Verdict verdict = job::plan_job(job, drawing, planned);
  const Json view = Json::parse(view_json(3, job, plan, verdict, job::told(job, plan, verdict)));
  const Json& e = view["entries"];
  ASSERT_EQ(e["x"].size(), plan.op.size());
  const std::string ops = e["op"];
  double hazard = 0, last = 0;
  for (std::size_t i = 0; i < plan.op.size(); ++i) {
    EXPECT_NEAR(e["x"][i].get<double>(), plan.x[i], 0.00501);
    EXPECT_NEAR(e["y"][i].get<double>(), plan.y[i], 0.00501);
    EXPECT_EQ(ops[i], static_cast<char>(plan.op[i]));
    hazard += e["hazard"][i].get<double>();
    EXPECT_GE(e["time_s"][i].get<double>(), last);
    last = e["time_s"][i].get<double>();
  }
  EXPECT_NEAR(hazard / verdict.forecast->breaks_per_cap, 1, 1e-3);
  EXPECT_EQ(view["revision"], 3);
  EXPECT_EQ(view["objects"].size(), plan.objects.size());
  int covered = 0;
  for (const Json& block : view["blocks"]) {
    EXPECT_EQ(block["first"], covered);
    covered += block["count"].get<int>();
    EXPECT_GT(block["speed_spm"].get<double>(), 0);
  }
  EXPECT_EQ(covered, plan.size());
  ASSERT_FALSE(view["worst"].empty());
  for (const Json& place : view["worst"]) {
    const auto entry = place["entry"].get<std::size_t>();
    EXPECT_NEAR(place["x_mm"].get<double>(), plan.x[entry], 0.01);
    EXPECT_NE(place["why"], "");
    EXPECT_NE(place["part"], "");
  }
}

// The gap at a reading is drawn to it; the same field as the forecast's.
TEST(Ground, GapGridIsTheFieldsOwn) {
  const job::Resolved job = crest({"gap=[{x_mm=0,y_mm=20,gap_mm=3.5}]"});
  const Json ground = Json::parse(ground_json(job.setup, {}, std::nullopt));
  const Json& gap = ground["gap"];
  const int nx = gap["nx"], ny = gap["ny"];
  ASSERT_EQ(gap["mm"].size(), static_cast<std::size_t>(nx * ny));
  const cap::GapField field(job.setup);
  int n = 0;
  for (int j = 0; j < ny; j += 7) {
    for (int i = 0; i < nx; i += 5, ++n) {
      const double x = gap["x0"].get<double>() + i * gap["step_mm"].get<double>();
      const double y = gap["y0"].get<double>() + j * gap["step_mm"].get<double>();
      const double mm = field.at({x, y}).gap_mm;
      EXPECT_NEAR(gap["mm"][static_cast<std::size_t>(j * nx + i)].get<double>(), mm,
                  0.005 * mm + 0.001);
    }
  }
  EXPECT_GT(n, 100);
}

// Written by whole figures, every gap reads back to three digits.
TEST(Ground, GapsAreWrittenToThreeDigits) {
  int n = 0;
  for (const double typed : {0.0, 0.4, 0.9994, 2.5, 9.994, 9.996, 14.0}) {
    const job::Resolved job = crest({reading_of(typed)});
    const Json ground = Json::parse(ground_json(job.setup, {}, std::nullopt));
    const cap::GapField field(job.setup);
    const Json& gap = ground["gap"];
    const int nx = gap["nx"];
    for (std::size_t k = 0; k < gap["mm"].size(); k += 11, ++n) {
      const int i = static_cast<int>(k) % nx, j = static_cast<int>(k) / nx;
      const double mm = field
                            .at({gap["x0"].get<double>() + i * gap["step_mm"].get<double>(),
                                 gap["y0"].get<double>() + j * gap["step_mm"].get<double>()})
                            .gap_mm;
      EXPECT_NEAR(gap["mm"][k].get<double>(), mm, std::max(0.0005, 0.005 * mm) + 1e-9) << typed;
    }
  }
  EXPECT_GT(n, 5000);
}

// What is outside is the part of the artwork, as wide as it is sewn, that the reach lacks.
TEST(Unfit, OutsideIsWhatTheReachLacks) {
  const job::Resolved job = crest({"artwork.height_mm=120"});
  const artwork::Drawing drawing = job::read_artwork(job.job);
  const job::Planned planned = job::plan_stitches(job, drawing);
  ASSERT_FALSE(planned.plan);
  const Unfit unfit = unfit_of(job, drawing, planned.placement);
  EXPECT_NEAR(geometry::bounds(unfit.outline).height(), 120, 0.5);
  const double whole = geometry::area(unfit.outline), outside = geometry::area(unfit.outside);
  EXPECT_GT(outside, 0.1 * whole);
  EXPECT_LT(outside, whole);
  EXPECT_NEAR(geometry::area(geometry::subtract(unfit.outside, cap::reach(job.setup))), outside,
              1e-6 * outside);
  const Json view = Json::parse(bare_view_json(3, job, unfit));
  EXPECT_FALSE(view["unfit"]["outline"].empty());
  EXPECT_FALSE(view["unfit"]["outside"].empty());
  EXPECT_GE(view["ground"]["window"][3].get<double>(), 80);
}

// Of a rework: what is left where the changes are made.
TEST(View, HoldsTheHazardWithTheBestChanges) {
  const job::Resolved job =
      crest({"artwork.height_mm=46", "bench.speed_spm=1000", "bench.foot_mm=5"});
  const artwork::Drawing drawing = job::read_artwork(job.job);
  const job::Planned planned = job::plan_stitches(job, drawing);
  const advise::Verdict verdict = job::plan_job(job, drawing, planned);
  ASSERT_TRUE(verdict.as_set_up) << verdict.sentence;
  const stitch::Plan& plan = *planned.plan;
  const Json view = Json::parse(view_json(3, job, plan, verdict, job::told(job, plan, verdict)));
  double left = 0;
  for (const Json& each : view["best_hazard"]) left += each.get<double>();
  EXPECT_EQ(view["best_hazard"].size(), plan.op.size());
  EXPECT_NEAR(100 * left / verdict.best->mean, 1, 0.01);
  EXPECT_LT(100 * left, 100 * verdict.forecast->breaks_per_cap);
}

// A circle's worth of closed forms: at the bill seam the radius is the head's, and the profile's
// rows lie as far apart as their arcs say.
TEST(Ground, ProfileIsAsLongAsItsArcs) {
  const job::Resolved job = crest();
  const Json profile = Json::parse(ground_json(job.setup, {}, std::nullopt))["cap"]["profile"];
  EXPECT_NEAR(profile[0][1].get<double>(), job.setup.cap.crown.r0_mm, 1e-3);
  for (std::size_t k = 1; k < profile.size(); ++k) {
    const double arc = profile[k][0].get<double>() - profile[k - 1][0].get<double>();
    const double chord = std::hypot(profile[k][1].get<double>() - profile[k - 1][1].get<double>(),
                                    profile[k][2].get<double>() - profile[k - 1][2].get<double>());
    EXPECT_LE(chord, arc + 2e-3);
    EXPECT_GT(chord, 0.99 * arc);
  }
}

// Field less keep-outs is the reach, by area.
TEST(Ground, FieldLessKeepOutsIsTheReach) {
  for (const char* mount : {"rotary", "flat-cap-hoop", "loose-panels"}) {
    const job::Resolved job = crest({std::string("bench.mount=") + mount});
    const Json ground = Json::parse(ground_json(job.setup, {}, std::nullopt));
    const auto ring_of = [](const Json& json) {
      geometry::Ring ring;
      for (const Json& p : json) ring.push_back({p[0].get<double>(), p[1].get<double>()});
      return ring;
    };
    double mm2 = std::abs(geometry::area(ring_of(ground["field"])));
    for (const Json& each : ground["keep_outs"]) mm2 -= std::abs(geometry::area(ring_of(each)));
    EXPECT_NEAR(mm2 / geometry::area(cap::reach(job.setup)), 1, 0.01) << mount;
  }
}

}  // namespace
}  // namespace buckram::server
