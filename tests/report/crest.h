// A crest of our own making, sewn by a simple hand: columns, fills and runs enough to look at and
// to measure, with a hazard that rises towards the seam and the bill. For tests and benches of
// report/ only: it keeps no craft limits.
#pragma once

#include "report/report.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

namespace buckram::report_tests {

struct CrestOptions {
  double row_mm = 0.4;  // smaller: more stitches
  int threads = 4;      // 1 to 60; more than 4 add bands in the shield
  double top_mm = 62;
  bool has_forecast = true;
  bool has_seam = true;
};

struct Crest {
  stitch::Plan plan;
  cap::Setup setup;
  advise::Verdict verdict;
  geometry::Box box;

  report::Subject subject() const {
    return {
        plan, setup, verdict, "Keld Harbour crest", "keld-harbour-crest.svg", "Keld Harbour Rowing",
        48,   box};
  }
};

inline cap::Setup six_panel_setup() {
  cap::Setup setup;
  setup.cap.name = "six-panel-structured-mid";
  setup.cap.title = "six-panel, structured, mid";
  setup.cap.layers = {{"twill", 4, 0.5}, {"buckram", 5, 0.5}};
  setup.cap.eyelets = {{{-38, 105}, 6}, {{38, 105}, 6}};
  setup.mount.name = "rotary-raised";
  setup.mount.title = "rotary frame, raised plate";
  setup.mount.field = {-110, 4, 110, 80};
  setup.mount.raise_mm = 2;
  setup.mount.origin = {0, 44};
  setup.bench = cap::bench_of(setup.mount, {}, {{"tear-away 90", 1.5, 0.3}});
  return setup;
}

class CrestBuilder {
 public:
  CrestBuilder(const CrestOptions& options, std::vector<stitch::PlanThread> threads,
               std::vector<stitch::PlanObject> objects)
      : options_(options), builder_(std::move(threads), std::move(objects)) {}

  // A zigzag of the given width along a line.
  void column(int object, const geometry::Polyline& spine, double width) {
    builder_.begin(object, stitch::Layer::top);
    const geometry::ArcLength line(spine);
    const double step = options_.row_mm / 2;
    bool is_left = false;
    for (double s = 0; s <= line.length(); s += step, is_left = !is_left) {
      const geometry::Point side = geometry::left_of(line.direction(s));
      put(line.at(s) + side * (is_left ? width / 2 : -width / 2), s == 0);
    }
  }

  // Brick rows over the shield between two heights.
  void fill(int object, double y0, double y1) {
    builder_.begin(object, stitch::Layer::top);
    bool is_first = true, is_back = false;
    int row = 0;
    for (double y = y0; y < y1; y += options_.row_mm, is_back = !is_back, ++row) {
      const double half = half_width(y) - 2.2;
      if (half < 1) continue;
      std::vector<double> xs{-half};
      for (double x = -half + 1.2 + 1.3 * (row % 3); x < half - 1; x += 3.7) xs.push_back(x);
      xs.push_back(half);
      if (is_back) std::reverse(xs.begin(), xs.end());
      for (const double x : xs) put({x, y}, std::exchange(is_first, false));
    }
  }

  double half_width(double y) const {
    if (y > 42) return 19;
    const double t = std::clamp((y - 16) / 26, 0.0, 1.0);
    return 19 * std::sqrt(std::sin(t * 1.5708));
  }

  stitch::Plan finish() { return builder_.finish(); }

 private:
  void put(geometry::Point p, bool is_first) {
    if (is_first) {
      builder_.trim();
      builder_.move(p);
    }
    builder_.sew(p);
  }
  CrestOptions options_;
  stitch::Builder builder_;
};

inline stitch::Plan crest_plan(const CrestOptions& options) {
  const std::vector<std::string> names{"Kelp green", "Brass", "Harbour navy", "Chalk"};
  const std::vector<std::string> colours{"#2f6f66", "#c8973a", "#26395a", "#efece2"};
  const std::vector<std::string> more{"#7a3b69", "#3c78b4", "#8c5a2b", "#b9d3e0", "#567d46"};
  std::vector<stitch::PlanThread> threads;
  std::vector<stitch::PlanObject> objects;
  for (int t = 0; t < options.threads; ++t) {
    const auto k = static_cast<std::size_t>(t);
    threads.push_back({t < 4 ? names[k] : "Thread of a rather long name " + std::to_string(t + 1),
                       t < 4 ? colours[k] : more[k % more.size()], 27, t + 1, ""});
  }
  const auto add = [&](stitch::Kind kind, int thread, const std::string& source) {
    objects.push_back({static_cast<int>(objects.size()) + 1, kind,
                       std::min(thread, options.threads - 1), source, ""});
  };
  add(stitch::Kind::fill, 0, "lower-wave");
  add(stitch::Kind::column, 1, "left-oar");
  add(stitch::Kind::column, 1, "right-oar");
  add(stitch::Kind::fill, 2, "letter-ground");
  add(stitch::Kind::column, 2, "border");
  add(stitch::Kind::column, 3, "path[7]");
  add(stitch::Kind::column, 3, "path[8]");
  for (int t = 4; t < options.threads; ++t) add(stitch::Kind::fill, t, "band-" + std::to_string(t));
  CrestBuilder b(options, threads, objects);
  const double top = options.top_mm;
  b.fill(1, 22, 30);
  b.column(2, {{-13, 32}, {12, 44}}, 1.4);
  b.column(3, {{13, 32}, {-12, 44}}, 1.4);
  b.fill(4, 47, top - 2);
  geometry::Polyline ring;
  for (double y = top - 1.1; y > 17; y -= 1) ring.push_back({b.half_width(y) - 1.1, y});
  ring.push_back({0, 17});
  for (double y = 18; y < top - 1; y += 1) ring.push_back({-b.half_width(y) + 1.1, y});
  ring.push_back({-17.9, top - 1.1});
  ring.push_back({17.9, top - 1.1});
  b.column(5, ring, 2.3);
  b.column(6, {{-9, 50}, {-9, top - 4}}, 2);
  b.column(7, {{-5, 50}, {3, top - 4}, {9, 50}}, 2);
  for (int t = 4; t < options.threads; ++t)
    b.fill(4 + t, 31 + 15.0 * (t - 4) / options.threads, 31 + 15.0 * (t - 3) / options.threads);
  return b.finish();
}

inline needle::Forecast crest_forecast(const stitch::Plan& plan) {
  needle::Forecast f;
  f.hazard.resize(static_cast<std::size_t>(plan.size()), 0);
  for (int i = 0; i < plan.size(); ++i) {
    if (plan.op[static_cast<std::size_t>(i)] != stitch::Op::sew) continue;
    const geometry::Point p = plan.at(i);
    const double seam = std::exp(-p.x * p.x / 20), low = std::exp(-(p.y - 16) / 9);
    f.hazard[static_cast<std::size_t>(i)] = 1e-7 + 2e-4 * low * (0.05 + seam) + 2e-5 * seam;
  }
  for (const double p : f.hazard) f.breaks_per_cap += p;
  f.low = f.breaks_per_cap * 0.3, f.high = f.breaks_per_cap * 2.4;
  f.clean_cap = std::exp(-f.breaks_per_cap);
  f.gap_mean_mm = 1.1, f.gap_max_mm = 2.2;
  f.drivers = {0.4, 0.2, 0.2, 0.1, 0.05, 0.05, 0};
  std::vector<double> left = f.hazard;
  for (int k = 0; k < 7; ++k) {
    const int at = static_cast<int>(std::max_element(left.begin(), left.end()) - left.begin());
    f.worst.push_back({at, plan.at(at), f.hazard[static_cast<std::size_t>(at)], needle::Mode::plate,
                       "The cloth stands 1.9 mm off the plate here, over the seam's folds, and "
                       "slopes by 12 degrees.",
                       "Pack the plate up by 0.5 mm, or clip both edges of the front."});
    for (int i = 0; i < plan.size(); ++i)
      if (geometry::distance(plan.at(i), plan.at(at)) < 8) left[static_cast<std::size_t>(i)] = 0;
  }
  return f;
}

inline Crest make_crest(const CrestOptions& options = {}) {
  Crest crest{crest_plan(options), six_panel_setup(), {}, {-19, 16, 19, options.top_mm}};
  crest.setup.cap.has_seam = options.has_seam;
  crest.setup.readings = {{0, 16, 2.2}, {-20, 16, 1.2}, {20, 16, 1.7}, {0, 35, 1.2}, {0, 62, 0}};
  advise::Verdict& v = crest.verdict;
  v.answer = advise::Answer::rework;
  v.sentence =
      "As it stands, about 3 needle breaks per 100 caps, likely 1 to 7. Three changes bring it "
      "to about 0.4.";
  if (!options.has_forecast) return crest;
  v.forecast = crest_forecast(crest.plan);
  v.best = advise::BreakRange{0.4, 0.1, 1.2};
  v.best_bench = crest.setup.bench;
  v.best_bench->packing_mm = 0.5;
  v.best_bench->has_clips = true;
  v.as_set_up = advise::AsSetUp{crest_forecast(crest.plan), {}};
  for (double& p : v.as_set_up->forecast.hazard) p *= 0.13;
  v.as_set_up->forecast.breaks_per_cap *= 0.13;
  for (needle::WorstPlace& place : v.as_set_up->forecast.worst)
    place.p *= 0.13, place.why = "The frame still swings here when the needle goes in.";
  v.practice = {{"T9", "lowest stitch above the bill seam", 16, 12.7, "mm", true},
                {"T10", "height of the design on rotary mounts", 46, 50.8, "mm", true}};
  v.changes = {{"bench.packing_mm=0.5", "Pack the plate up by 0.5 mm", "Closes the gap at the tip",
                -2.0, 0, 0, true, "Turn one full stitch by hand first"},
               {"bench.clips=true", "Clip both edges of the front",
                "Draws the cloth down to the plate on both sides", -1.9, 18, 0, true, ""},
               {"bench.speed_spm=550", "Sew at 550 a minute", "Less motion while in the cloth",
                -0.2, 90, 0, false, ""}};
  const stitch::ThreadUse use = stitch::thread_use(crest.plan, cap::stack_mm(crest.setup));
  const stitch::Counts counts = stitch::count(crest.plan);
  v.per_cap = advise::PerCap{{.sewing_s = stitch::timeline(crest.plan, 650).back()},
                             counts.stitches,
                             counts.trims,
                             counts.thread_changes,
                             use.needle_m,
                             use.bobbin_m};
  v.cautions = {"Eye protection on, guard in place, always.",
                "Power off before hands go near needle, plate or hook.",
                "After a break, find every piece; if not, keep the cap back.",
                "Plate or foot changed? Turn one full stitch by hand first.",
                "This is an estimate; the machine's manual comes first."};
  return crest;
}

}  // namespace buckram::report_tests
