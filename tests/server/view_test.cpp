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
