// Plans and set-ups made up for the needle's tests: simple shapes whose stitches are known.
#pragma once

#include "shop.h"

#include <cmath>
#include <memory>
#include <string>

namespace buckram::needle::testing {

inline const Shop& shipped() {
  static const Shop shop(std::string(BUCKRAM_ROOT) + "/data");
  return shop;
}

inline std::string data_file(const std::string& name) {
  return shipped().file(name);
}

inline std::shared_ptr<const Mechanics> shipped_mechanics() {
  return shipped().mechanics;
}

inline cap::Needle needle_named(const std::string& name) {
  return shipped().needle(name);
}

// Cap and mount as shipped, needle 80:sharp, one layer of tear-away, 650 a minute.
inline cap::Setup shipped_setup(const std::string& cap_name, const std::string& mount_name) {
  return shipped().setup(cap_name, mount_name);
}

// A plan under construction: one thread, one object, one block.
struct Sewn {
  stitch::Plan plan;
  Sewn() {
    plan.threads.push_back({"Chalk", "#efece2", 27, 1, ""});
    plan.objects.push_back({1, stitch::Kind::fill, 0, "", ""});
    plan.blocks.push_back({1, stitch::Layer::top, 0, 0, 0});
  }
  void put(double x, double y, stitch::Op op) {
    plan.x.push_back(x), plan.y.push_back(y), plan.op.push_back(op);
    ++plan.blocks[0].count;
  }
  void sew(double x, double y) { put(x, y, stitch::Op::sew); }
  void jump(double x, double y) {
    if (plan.size() > 0) put(plan.x.back(), plan.y.back(), stitch::Op::trim);
    put(x, y, stitch::Op::move);
    put(x, y, stitch::Op::sew);
  }
  // Four short stitches back and forth: how a thread is locked.
  void lock(double x, double y) {
    for (const double step : {0.7, 0.0, 0.7, 0.0}) sew(x + step, y);
  }
  // Rows across, brick-wise, from the bill upwards.
  void fill(geometry::Box box, double pitch_mm, double stitch_mm) {
    const int rows = std::max(1, static_cast<int>(std::lround(box.height() / pitch_mm)));
    for (int r = 0; r < rows; ++r) {
      const double y = box.y0 + (r + 0.5) * box.height() / rows;
      const double shift = stitch_mm * (0.15 + 0.7 * (r * 5 % 8) / 8.0);
      std::vector<double> xs{box.x0};
      for (double x = box.x0 + shift; x < box.x1 - 0.5; x += stitch_mm) xs.push_back(x);
      xs.push_back(box.x1);
      for (std::size_t k = 0; k < xs.size(); ++k) sew(r % 2 ? xs[xs.size() - 1 - k] : xs[k], y);
    }
  }
  // A satin column from (x, y0) to (x, y1): rails `width_mm` apart, a thread every 0.2 mm.
  void column(double x, double y0, double y1, double width_mm) {
    const int n = std::max(2, static_cast<int>(std::abs(y1 - y0) / 0.2));
    for (int k = 0; k <= n; ++k) {
      sew(x + (k % 2 ? 0.5 : -0.5) * width_mm, y0 + (y1 - y0) * k / n);
    }
  }
};

// A logo of blocks, from the middle outwards: a fill panel at x within 9 mm, columns and smaller
// fills beside it, light under-stitching below each. `scale` 1 is about 8,000 stitches for a
// height of 45 mm.
inline stitch::Plan block_logo(double y0, double y1, double half_width = 25,
                               double stitch_mm = 3.7) {
  Sewn s;
  const auto panel = [&](geometry::Box box) {
    s.jump(box.x0, box.y0);
    s.lock(box.x0, box.y0);
    s.jump(box.x0 + 0.5, box.y0 + 0.5);
    s.fill({box.x0 + 0.5, box.y0 + 0.5, box.x1 - 0.5, box.y1 - 0.5}, 2.5, 3.2);
    s.jump(box.x0, box.y0 + 0.2);
    s.fill(box, 0.4, stitch_mm);
    s.lock(s.plan.x.back(), s.plan.y.back());
  };
  const double h = y1 - y0;
  panel({-9, y0, 9, y0 + 0.45 * h});
  panel({-half_width, y0 + 0.1 * h, -11, y0 + 0.4 * h});
  panel({11, y0 + 0.1 * h, half_width, y0 + 0.4 * h});
  for (const double x : {-0.1, 0.1, -0.35, 0.35, -0.6, 0.6, -0.85, 0.85}) {
    s.jump(x * half_width, y0 + 0.5 * h);
    s.lock(x * half_width, y0 + 0.5 * h);
    s.column(x * half_width, y0 + 0.5 * h, y1, 3);
    s.lock(s.plan.x.back(), y1);
  }
  panel({-half_width, y0 + 0.72 * h, half_width, y1});
  s.put(s.plan.x.back(), s.plan.y.back(), stitch::Op::end);
  return s.plan;
}

// Needle-downs spread evenly at random over the box: stitches of `stitch_mm` in random directions
// within it. Shows the mechanics without any order of sewing.
inline stitch::Plan scattered(geometry::Box box, int n, double stitch_mm, std::uint64_t seed) {
  Sewn s;
  base::Random random(seed);
  geometry::Point at = box.middle();
  s.sew(at.x, at.y);
  while (s.plan.size() < n) {
    const double angle = random.uniform(0, 2 * base::kPi);
    const geometry::Point to{at.x + stitch_mm * std::cos(angle),
                             at.y + stitch_mm * std::sin(angle)};
    if (to.x < box.x0 || to.x > box.x1 || to.y < box.y0 || to.y > box.y1) continue;
    at = to;
    s.sew(at.x, at.y);
  }
  s.put(at.x, at.y, stitch::Op::end);
  return s.plan;
}

inline double breaks_per_100(const stitch::Plan& plan, const cap::Setup& setup,
                             const Mechanics& mechanics, int draws = 128) {
  ForecastOptions options;
  options.draws = draws;
  options.with_drivers = options.with_interval = options.with_words = false;
  return 100 * forecast(plan, setup, mechanics, options).breaks_per_cap;
}

inline int needle_downs(const stitch::Plan& plan) {
  int n = 0;
  for (const stitch::Op op : plan.op) n += op == stitch::Op::sew ? 1 : 0;
  return n;
}

}  // namespace buckram::needle::testing
