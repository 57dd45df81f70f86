// The worst places in words: what is named as a cause matters there, what is offered helps there,
// and nothing is offered that mount, bench or shop rule out. Causes and helps are worked out anew
// here, on caps drawn at random where the forecast uses a few chosen ones.
#include "needle/words.h"

#include "needle/draws.h"
#include "needle/evaluate.h"
#include "needle/penetration.h"
#include "needle/synthetic.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <map>

namespace buckram::needle {
namespace {

using namespace testing;

struct Scene {
  stitch::Plan plan;
  cap::Setup setup;
};

std::vector<Scene> scenes() {
  std::vector<Scene> made;
  for (const auto& [cap, mount] : {std::pair{"six-panel-structured-mid", "rotary"},
                                   {"six-panel-structured-low", "rotary"},
                                   {"six-panel-structured-high", "rotary-raised"},
                                   {"five-panel-structured-mid", "rotary"},
                                   {"six-panel-soft-low", "rotary"},
                                   {"five-panel-foam-backed", "panel-clamp"},
                                   {"six-panel-structured-mid", "flat-cap-hoop"},
                                   {"six-panel-structured-mid", "flat-hoop"},
                                   {"five-panel-structured-mid", "loose-panels"}}) {
    made.push_back({block_logo(12.7, 73, 24), shipped_setup(cap, mount)});
    made.back().setup.bench.speed_spm = 850;
  }
  // A bench with everything wrong, close to the bill.
  made.push_back({block_logo(8, 46, 20), shipped_setup("six-panel-structured-mid", "rotary")});
  cap::Bench& bench = made.back().setup.bench;
  bench.needle = needle_named("75:ball");
  bench.tautness = 0.3;
  bench.backing.push_back(bench.backing[0]);
  return made;
}

// Chance at one entry, on caps of its own drawing.
double chance_at(const Scene& scene, const Mechanics& m, const std::vector<double>& layers,
                 int entry) {
  const Places places = places_of(scene.plan, scene.setup, m, layers, {entry});
  return evaluate(places, m, draw_caps(m, 512, 77)).hazard[0];
}

using Change = std::function<void(Scene&, std::vector<double>&)>;
Change of_bench(const std::function<void(cap::Setup&)>& change) {
  return [change](Scene& scene, std::vector<double>&) { change(scene.setup); };
}
Change of_heights(const std::function<double(double)>& height) {
  return [height](Scene& scene, std::vector<double>&) {
    for (double& y : scene.plan.y) y = height(y);
  };
}

// What each offer means, as a shop would carry it out.
const std::map<std::string, Change>& changes() {
  const Change raised = of_bench([](cap::Setup& s) { s.bench.raise_mm += 0.5; });
  const Change pressed = of_bench([](cap::Setup& s) { s.bench.is_pressed = true; });
  const Change lower = [](Scene& scene, std::vector<double>&) {  // the lowest stitches stay
    const double least = *std::min_element(scene.plan.y.begin(), scene.plan.y.end());
    for (double& y : scene.plan.y) y = least + 0.9 * (y - least);
  };
  static const std::map<std::string, Change> all{
      {"raise or pack the plate", raised},
      {"raise the plate", raised},
      {"pack the plate up", raised},
      {"clip the front's edges", of_bench([](cap::Setup& s) { s.bench.has_clips = true; })},
      {"press the seam and the bill edge", pressed},
      {"press the bill edge", pressed},
      {"lower the presser foot", of_bench([](cap::Setup& s) { s.bench.foot_mm -= 0.5; })},
      {"sew slower there", of_bench([](cap::Setup& s) { s.bench.speed_spm -= 100; })},
      {"take a needle with a sharp point",
       of_bench([](cap::Setup& s) { s.bench.needle.point = cap::NeedlePoint::sharp; })},
      {"take a thicker needle", of_bench([](cap::Setup& s) { s.bench.needle.d_mm += 0.05; })},
      {"mount it tauter", of_bench([](cap::Setup& s) { s.bench.tautness = s.mount.tautness; })},
      {"take out a layer of backing", of_bench([](cap::Setup& s) { s.bench.backing.pop_back(); })},
      {"move the artwork up", of_heights([](double y) { return y + 3; })},
      {"make the design less tall", lower},
      {"make the design less tall, or take a mount that holds the front flat", lower},
      {"lay less thread there, in wider rows or with less under-stitching",
       [](Scene&, std::vector<double>& layers) {
         for (double& each : layers) each *= 0.8;
       }}};
  return all;
}

std::vector<std::string> offers_in(const std::string& helps) {
  const std::string between = "; next best: ";
  const std::size_t at = helps.find(between);
  if (at == std::string::npos) return {helps};
  return {helps.substr(0, at), helps.substr(at + between.size())};
}

Forecast told(const Scene& scene, const Mechanics& m, std::vector<std::string> locked = {}) {
  ForecastOptions options;
  options.with_drivers = options.with_interval = false;
  options.locked = std::move(locked);
  return forecast(scene.plan, scene.setup, m, options);
}

TEST(Words, EveryHelpLowersTheChanceWhereItIsOffered) {
  const auto m = shipped_mechanics();
  std::map<std::string, int> offered;
  for (const Scene& scene : scenes()) {
    SCOPED_TRACE(scene.setup.cap.name + " on " + scene.setup.mount.name);
    const std::vector<double> layers = crowding(scene.plan, *m);
    for (const WorstPlace& place : told(scene, *m).worst) {
      if (place.helps.starts_with("no")) continue;  // nothing needed, or nothing that helps
      const double before = chance_at(scene, *m, layers, place.entry);
      for (const std::string& offer : offers_in(place.helps)) {
        ASSERT_TRUE(changes().contains(offer)) << offer;
        Scene changed = scene;
        std::vector<double> changed_layers = layers;
        changes().at(offer)(changed, changed_layers);
        EXPECT_LT(chance_at(changed, *m, changed_layers, place.entry), 0.98 * before)
            << offer << ": " << place.why;
        ++offered[offer];
      }
    }
  }
  EXPECT_GE(offered.size(), 6U) << "too few kinds of help to speak for all";
}

// A cause that is named takes at least a fifth of the chance away when it is nothing, up to what
// other draws make of it; and the first one is no smaller than any other.
TEST(Words, CausesNamedMatterThere) {
  const auto m = shipped_mechanics();
  const std::map<std::string, std::function<void(Place&)>> without{
      {"the cloth stands", [](Place& p) { p.gap.clearance_mm = -1000, p.gap.tape_mm = 0; }},
      {"the cloth slopes", [](Place& p) { p.gap.bulge_slope = p.gap.lean_slope = {}; }},
      {"the frame still moves", [](Place& p) { p.motion = {}; }}};
  const auto caps = draw_caps(*m, 512, 77);
  int named = 0, first = 0, little = 0;
  for (const Scene& scene : scenes()) {
    SCOPED_TRACE(scene.setup.cap.name + " on " + scene.setup.mount.name);
    const std::vector<double> layers = crowding(scene.plan, *m);
    for (const WorstPlace& place : told(scene, *m).worst) {
      Places here = places_of(scene.plan, scene.setup, *m, layers, {place.entry});
      const double before = evaluate(here, *m, caps).hazard[0];
      double largest = 0, of_first = -1;
      for (const auto& [words, change] : without) {
        Places changed = here;
        change(changed.places[0]);
        const double drop = 1 - evaluate(changed, *m, caps).hazard[0] / before;
        largest = std::max(largest, drop);
        const std::size_t at = place.why.find(words);
        if (at == std::string::npos) continue;
        ++named;
        little += drop < 0.12;
        EXPECT_GT(drop, 0.05) << place.why;
        if (place.why.find(": " + words) != std::string::npos) of_first = drop;
      }
      if (of_first < 0) continue;
      ++first;
      EXPECT_GT(of_first, largest - 0.15) << place.why;
    }
  }
  EXPECT_GT(named, 50);
  EXPECT_LE(little, named / 50) << "of " << named;
  EXPECT_GT(first, 20);
}

TEST(Words, NothingIsOfferedThatMountBenchOrShopRuleOut) {
  const auto m = shipped_mechanics();
  Scene scene{block_logo(8, 46, 24), shipped_setup("six-panel-structured-mid", "rotary")};
  const auto offers = [&](const std::string& words, std::vector<std::string> locked = {}) {
    int n = 0;
    for (const WorstPlace& place : told(scene, *m, std::move(locked)).worst) {
      n += place.helps.find(words) != std::string::npos;
    }
    return n;
  };
  ASSERT_GT(offers("raise or pack the plate"), 0);
  EXPECT_EQ(offers("raise or pack", {"bench.raise_mm"}), 0);
  EXPECT_GT(offers("pack the plate up", {"bench.raise_mm"}), 0);
  EXPECT_EQ(offers("the plate", {"bench.raise_mm", "bench.packing_mm"}), 0);
  EXPECT_EQ(offers("slower", {"bench.speed_spm"}), 0);
  scene.setup.bench.raise_mm = scene.setup.mount.max_raise_mm;
  EXPECT_EQ(offers("plate"), 0) << "no higher than the mount allows";
  scene.setup.bench = shipped_setup("six-panel-structured-mid", "rotary").bench;
  scene.setup.mount.hole_mm = scene.setup.bench.needle.d_mm + 0.2;
  EXPECT_EQ(offers("thicker needle"), 0) << "it would not pass the hole";
  // Slack and hard, so that something is needed on cut panels too.
  scene.setup = shipped_setup("five-panel-structured-mid", "loose-panels");
  scene.setup.bench.tautness = 0.1, scene.setup.cap.stiffness = 2;
  scene.setup.bench.needle = needle_named("75:ball");
  EXPECT_GT(offers("take"), 0);
  EXPECT_EQ(offers("clip"), 0);
  EXPECT_EQ(offers("press"), 0);
}

TEST(Words, WhereNeedlesHardlyBreakNothingIsNeeded) {
  const auto m = shipped_mechanics();
  const Scene scene{block_logo(14, 60, 24), shipped_setup("six-panel-structured-mid", "flat-hoop")};
  const Forecast f = told(scene, *m);
  ASSERT_FALSE(f.worst.empty());
  for (const WorstPlace& place : f.worst) {
    EXPECT_LT(place.p, 1e-6);
    EXPECT_TRUE(place.helps.starts_with("nothing is needed")) << place.helps;
  }
}

}  // namespace
}  // namespace buckram::needle
