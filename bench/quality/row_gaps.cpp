#include "row_gaps.h"

#include "sewn.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace quality {
namespace {

using namespace buckram;

constexpr double kNominalMm = 0.40, kWithin = 0.1;
constexpr double kLeastMm = 1, kFarthestMm = 1;
constexpr double kOneRowMm = 0.02;  // rounding of stitches of one row

struct Stretch {
  double v = 0, u0 = 0, u1 = 0;  // across the rows; along them, u0 < u1
};

struct Stitch {
  double x0, y0, x1, y1;
};

// The direction in [0, 180) degrees that most of the length takes.
double direction_deg(const std::vector<Stitch>& stitches) {
  std::vector<double> length(1800, 0);
  for (const Stitch& s : stitches) {
    const double deg = std::atan2(s.y1 - s.y0, s.x1 - s.x0) * 180 / 3.14159265358979323846;
    const double turn = std::fmod(deg + 360, 180);
    length[static_cast<std::size_t>(std::min(1799.0, std::round(turn * 10)))] +=
        std::hypot(s.x1 - s.x0, s.y1 - s.y0);
  }
  return double(std::max_element(length.begin(), length.end()) - length.begin()) / 10;
}

// Stitches that run along the direction, those of one row joined.
std::vector<Stretch> rows_along(const std::vector<Stitch>& stitches, double deg) {
  const double a = deg * 3.14159265358979323846 / 180, c = std::cos(a), s = std::sin(a);
  std::vector<Stretch> rows;
  for (const Stitch& t : stitches) {
    const double v0 = c * t.y0 - s * t.x0, v1 = c * t.y1 - s * t.x1;
    const double u0 = c * t.x0 + s * t.y0, u1 = c * t.x1 + s * t.y1;
    if (std::abs(v1 - v0) > 0.005 * std::abs(u1 - u0)) continue;
    rows.push_back({(v0 + v1) / 2, std::min(u0, u1), std::max(u0, u1)});
  }
  std::sort(rows.begin(), rows.end(), [](const Stretch& p, const Stretch& q) {
    return std::abs(p.v - q.v) > 1e-9 ? p.v < q.v : p.u0 < q.u0;
  });
  std::vector<Stretch> joined;
  for (const Stretch& r : rows) {
    bool is_new = true;
    for (std::size_t k = joined.size(); k > 0 && r.v - joined[k - 1].v < kOneRowMm; --k) {
      Stretch& before = joined[k - 1];
      if (r.u0 > before.u1 + 0.01 || r.u1 < before.u0 - 0.01) continue;
      before.u0 = std::min(before.u0, r.u0), before.u1 = std::max(before.u1, r.u1);
      is_new = false;
      break;
    }
    if (is_new) joined.push_back(r);
  }
  return joined;
}

}  // namespace

double even_rows(const stitch::Plan& plan) {
  std::map<int, bool> is_fill;
  for (const stitch::PlanObject& object : plan.objects)
    is_fill[object.id] = object.kind == stitch::Kind::fill;
  std::map<int, std::vector<Stitch>> by_object;
  each_top_stitch(plan, [&](const stitch::Block& block, int i) {
    const Stitch s{plan.x[i - 1], plan.y[i - 1], plan.x[i], plan.y[i]};
    if (is_fill[block.object] && std::hypot(s.x1 - s.x0, s.y1 - s.y0) >= kLeastMm)
      by_object[block.object].push_back(s);
  });
  int all = 0, even = 0;
  for (const auto& [object, stitches] : by_object) {
    const std::vector<Stretch> rows = rows_along(stitches, direction_deg(stitches));
    for (std::size_t i = 0; i < rows.size(); ++i) {
      for (std::size_t k = i + 1; k < rows.size() && rows[k].v - rows[i].v < kFarthestMm; ++k) {
        const double gap = rows[k].v - rows[i].v;
        const double overlap = std::min(rows[i].u1, rows[k].u1) - std::max(rows[i].u0, rows[k].u0);
        if (gap < kOneRowMm || overlap < kLeastMm) continue;
        ++all;
        even += std::abs(gap - kNominalMm) <= kWithin * kNominalMm;
        break;
      }
    }
  }
  return all > 0 ? 100.0 * even / all : 100;
}

}  // namespace quality
