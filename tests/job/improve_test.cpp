// --auto on a job that starts careless: what it promises is what planning again gives.
#include "job/job.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace buckram::job {
namespace {

const DataFolder kData{BUCKRAM_ROOT "/data"};

// The wordmark as a hurried shop would sew it.
std::vector<std::string> careless(std::vector<std::string> more = {}) {
  std::vector<std::string> sets{"artwork.file=" BUCKRAM_ROOT "/examples/tern-and-tide-wordmark.svg",
                                "artwork.width_mm=95",
                                "artwork.at_mm=[0,26]",
                                "order.caps=48",
                                "bench.speed_spm=950",
                                "bench.tautness=0.4",
                                "bench.needle=80:ball",
                                "stitch.style=flat",
                                "stitch.row_spacing_mm=0.32",
                                "stitch.column_spacing_mm=0.32"};
  sets.insert(sets.end(), more.begin(), more.end());
  return sets;
}

struct Start {
  Resolved job;
  artwork::Drawing drawing;
  Planned planned;

  explicit Start(const std::vector<std::string>& sets)
      : job(resolve(read_job("", "careless", "", sets), kData)),
        drawing(read_artwork(job.job)),
        planned(plan_stitches(job, drawing)) {}
};

// Once for all tests that look at it.
const Start& start_of_all() {
  static const Start start(careless());
  return start;
}
const Improved& improved_of_all() {
  static const Improved improved =
      improve_job(start_of_all().job, start_of_all().drawing, start_of_all().planned);
  return improved;
}

double breaks_per_100(const Resolved& job, const stitch::Plan& plan) {
  needle::ForecastOptions options;
  options.with_drivers = options.with_interval = options.with_words = false;
  return 100 * needle::forecast(plan, job.setup, *job.mechanics, options).breaks_per_cap;
}

std::vector<std::string> chosen(const advise::Verdict& verdict) {
  std::vector<std::string> ids;
  for (const advise::Change& change : verdict.applied->changes) {
    if (change.chosen) ids.push_back(change.id);
  }
  return ids;
}

TEST(Improve, CutsTheBreaksOfACarelessJobTenfoldInNoMoreTimeAndLosesNoArtwork) {
  const Start& start = start_of_all();
  ASSERT_TRUE(start.planned.plan.has_value());
  const advise::Verdict before = plan_job(start.job, start.drawing, start.planned);
  const Improved& improved = improved_of_all();
  const advise::Verdict& after = improved.verdict;
  EXPECT_EQ(after.answer, advise::Answer::run);
  EXPECT_LT(after.forecast->breaks_per_cap, before.forecast->breaks_per_cap / 10);
  EXPECT_LT(after.per_cap->time.total_s(), 1.1 * before.per_cap->time.total_s());
  EXPECT_LE(after.coverage->missed + after.coverage->left_out,
            before.coverage->missed + before.coverage->left_out + advise::kMostLost);
  EXPECT_NEAR(after.applied->before.mean, 100 * before.forecast->breaks_per_cap, 1e-9);
}

// The set that is told, laid over the job as anybody could with --set, gives the same stitches.
TEST(Improve, TheSetItTellsGivesThePlanItWrites) {
  const Improved& improved = improved_of_all();
  const std::vector<std::string> ids = chosen(improved.verdict);
  ASSERT_FALSE(ids.empty());
  const Start again(careless(ids));
  EXPECT_EQ(again.planned.plan->x, improved.planned.plan->x);
  EXPECT_EQ(again.planned.plan->y, improved.planned.plan->y);
  EXPECT_NEAR(breaks_per_100(again.job, *again.planned.plan),
              100 * improved.verdict.forecast->breaks_per_cap, 1e-9);
}

// Effects below a twentieth of the breaks are not worth the comparison.
TEST(Improve, EachChangeDoesAloneWhatIsSaidWithinATenth) {
  const Improved& improved = improved_of_all();
  const double before = improved.verdict.applied->before.mean;
  int n_compared = 0;
  for (const advise::Change& change : improved.verdict.applied->changes) {
    const Start one(careless({change.id}));
    ASSERT_TRUE(one.planned.plan.has_value()) << change.id;
    const double effect = breaks_per_100(one.job, *one.planned.plan) - before;
    if (std::abs(effect) < 0.05 * before) continue;
    EXPECT_NEAR(change.breaks, effect, 0.1 * std::abs(effect)) << change.id;
    ++n_compared;
  }
  EXPECT_GE(n_compared, 4);
}

TEST(Improve, NothingLockedIsChanged) {
  const Start start(careless({R"(limit.locked=["bench.needle","stitch.style","artwork.at_mm"])"}));
  const Improved improved = improve_job(start.job, start.drawing, start.planned);
  for (const advise::Change& change : improved.verdict.applied->changes) {
    EXPECT_FALSE(change.id.starts_with("bench.needle") || change.id.starts_with("stitch.style") ||
                 change.id.starts_with("artwork.at_mm"))
        << change.id;
  }
}

// Holes of one object's own layers.
std::vector<std::pair<double, double>> holes(const stitch::Plan& plan, int object) {
  std::vector<std::pair<double, double>> all;
  for (const stitch::Block& block : plan.blocks) {
    const bool is_own = block.layer == stitch::Layer::top || block.layer == stitch::Layer::under;
    if (block.object != object || !is_own) continue;
    for (int i = block.first; i < block.first + block.count; ++i)
      all.emplace_back(plan.at(i).x, plan.at(i).y);
  }
  return all;
}

// What touches it stays: changes of the whole design, and its own. Others may be changed.
TEST(Improve, ALockedObjectKeepsItsStitchesAndOthersMayChange) {
  const Start start(careless({"limit.locked=[1]"}));
  const Improved improved = improve_job(start.job, start.drawing, start.planned);
  EXPECT_FALSE(holes(*start.planned.plan, 1).empty());
  EXPECT_EQ(holes(*improved.planned.plan, 1), holes(*start.planned.plan, 1));
  int n_of_objects = 0;
  for (const advise::Change& change : improved.verdict.applied->changes) {
    EXPECT_FALSE(change.id.starts_with("stitch.") || change.id.starts_with("artwork.") ||
                 change.id.starts_with("object.1."))
        << change.id;
    n_of_objects += change.id.starts_with("object.");
  }
  EXPECT_GT(n_of_objects, 0);
  EXPECT_LT(improved.verdict.forecast->breaks_per_cap, improved.verdict.applied->before.mean / 100);
}

// Stopped at every stage that the search reports: nothing is kept unless that is asked for; if it
// is, a whole plan comes, never worse than the job as it stood.
TEST(Improve, StoppedItKeepsTheBestSoFarWhereAsked) {
  const Start& start = start_of_all();
  const double before = breaks_per_100(start.job, *start.planned.plan);
  double at_last = before;
  for (const int n_reports : {1, 12, 24}) {
    base::StopFlag stop{false};
    int n = 0;
    const base::Watch watch{[&](std::string_view, double) {
                              if (++n == n_reports) stop.store(true);
                            },
                            &stop};
    const Improved improved = improve_job(start.job, start.drawing, start.planned, watch, {[&] {
                                            stop.store(false);
                                            return true;
                                          }});
    EXPECT_TRUE(improved.is_stopped) << n_reports;
    ASSERT_TRUE(improved.planned.plan.has_value());
    at_last = breaks_per_100(improved.job, *improved.planned.plan);
    EXPECT_LE(at_last, before * (1 + 1e-9)) << n_reports;
    EXPECT_NEAR(at_last, 100 * improved.verdict.forecast->breaks_per_cap, 1e-9);
    ASSERT_FALSE(improved.verdict.notes.empty());
    EXPECT_EQ(improved.verdict.notes.front().kind, "stopped");
  }
  EXPECT_LT(at_last, before / 2) << "a better bench had been found by then";
}

TEST(Improve, StoppedWithoutBeingAskedToGoOnItGivesNothing) {
  const Start& start = start_of_all();
  base::StopFlag stop{true};
  for (const bool asked : {false, true}) {
    ImproveOptions options;
    if (asked) options.keeps_best = [] { return false; };
    try {
      improve_job(start.job, start.drawing, start.planned, {{}, &stop}, options);
      ADD_FAILURE();
    } catch (const base::Error& error) {
      EXPECT_EQ(error.code, base::ErrorCode::cancelled);
    }
  }
}

TEST(Improve, TheTradeOffFallsAsItTakesLongerAndHoldsTheStandingPlanOrBetter) {
  const Improved& improved = improved_of_all();
  const auto& curve = improved.verdict.trade_off;
  ASSERT_GE(curve.size(), 2u);
  for (std::size_t i = 1; i < curve.size(); ++i) {
    EXPECT_GT(curve[i].time_s, curve[i - 1].time_s);
    EXPECT_LT(curve[i].breaks_per_100, curve[i - 1].breaks_per_100);
  }
  EXPECT_LE(curve.front().time_s, 1e-9);
}

// Five places, as the gap card names them, on the careless bench as it stands.
constexpr const char* kFiveGaps =
    "gap=[{x_mm=0,y_mm=18,gap_mm=3.4},{x_mm=-20,y_mm=18,gap_mm=2.6},{x_mm=20,y_mm=18,gap_mm=2.9},"
    "{x_mm=0,y_mm=28,gap_mm=2.2},{x_mm=0,y_mm=38,gap_mm=1.6}]";

TEST(Improve, MeasuredGapsNeverMakeItWorse) {
  const Start start(careless({kFiveGaps}));
  const double before = breaks_per_100(start.job, *start.planned.plan);
  const Improved improved = improve_job(start.job, start.drawing, start.planned);
  EXPECT_LT(breaks_per_100(improved.job, *improved.planned.plan), before);
  ASSERT_TRUE(improved.job.setup.read_with.has_value());
  EXPECT_EQ(improved.job.setup.read_with->raise_mm, start.job.setup.bench.raise_mm);
}

// Each bench change that is listed for a plan with measured gaps, made on that plan.
TEST(Improve, WithMeasuredGapsAChangeOnThePlanDoesWhatIsListed) {
  const Start start(careless({kFiveGaps}));
  const advise::Verdict verdict = plan_job(start.job, start.drawing, start.planned);
  const double before = 100 * verdict.forecast->breaks_per_cap;
  int n_compared = 0;
  for (const advise::Change& change : verdict.changes) {
    if (change.id.starts_with("bench.slowest_spm")) continue;  // sets the plan's own speeds
    const Resolved changed = resolve(read_plan_job(start.planned.plan->job, {change.id}), kData);
    const double effect = breaks_per_100(changed, *start.planned.plan) - before;
    EXPECT_NEAR(change.breaks, effect, 0.1 * std::abs(effect)) << change.id;
    n_compared += change.id.starts_with("bench.raise_mm") || change.id.starts_with("bench.clips") ||
                  change.id.starts_with("bench.pressed") || change.id.starts_with("bench.packing");
  }
  EXPECT_GE(n_compared, 3) << "of those that close the gap";
}

}  // namespace
}  // namespace buckram::job
