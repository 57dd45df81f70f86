#include "evenness.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace letters {
namespace {

using namespace buckram;

struct Thread {
  double ax, ay, bx, by;

  double length() const { return std::hypot(bx - ax, by - ay); }
};

// The column's middle around hole i, measured along the thread: half way between the outermost of
// the six holes about it. Short stitches on the inside of a curve do not move it; their own middles
// lie off it, where the threads of a curve stand wider or closer.
double middle_along(const stitch::Plan& plan, int i, double ox, double oy, double dx, double dy) {
  double least = INFINITY, most = -INFINITY;
  for (int k = i - 2; k <= i + 3; ++k) {
    const double t = (plan.x[k] - ox) * dx + (plan.y[k] - oy) * dy;
    least = std::min(least, t), most = std::max(most, t);
  }
  return (least + most) / 2;
}

// From one thread, at the middle of the column, to the line of the next but one, both running the
// same way, halved: threads next to each other share a hole, so they say nothing of the spacing.
// On curves the outer rail opens and the inner closes; the spacing asked for holds at the middle.
double step(const stitch::Plan& plan, int i, const Thread& one, const Thread& two) {
  const double ex = (one.bx - one.ax) / one.length(), ey = (one.by - one.ay) / one.length();
  const double t = middle_along(plan, i, one.ax, one.ay, ex, ey);
  const double mx = one.ax + ex * t, my = one.ay + ey * t;
  const double dx = (two.bx - two.ax) / two.length(), dy = (two.by - two.ay) / two.length();
  return std::abs((mx - two.ax) * dy - (my - two.ay) * dx) / 2;
}

bool runs_along(const Thread& one, const Thread& two) {
  const double dot = (one.bx - one.ax) * (two.bx - two.ax) + (one.by - one.ay) * (two.by - two.ay);
  return dot > 0.9 * one.length() * two.length();
}

// Where the outer edge opens by a quarter more than asked while the middle is a tenth closer: the
// column's half width over the radius of its middle.
constexpr double kTightCurve = 0.39;

double turn(const Thread& one, const Thread& two) {
  const double cross =
      (one.bx - one.ax) * (two.by - two.ay) - (one.by - one.ay) * (two.bx - two.ax);
  return std::abs(cross) / (one.length() * two.length());
}

// The step at the middle is half of what the two threads are apart, over which they turn.
Cause cause(const Thread& one, const Thread& two, double step_mm, double from_end_mm) {
  const double width = std::max(one.length(), two.length());
  if (turn(one, two) * width / 2 > kTightCurve * 2 * step_mm) return Cause::curve;
  if (std::abs(one.length() - two.length()) > 0.1 * width) return Cause::taper;
  return from_end_mm < width ? Cause::end : Cause::other;
}

}  // namespace

Rows column_rows(const stitch::Plan& plan, double nominal_mm) {
  std::map<int, bool> is_column;
  for (const stitch::PlanObject& object : plan.objects)
    is_column[object.id] = object.kind == stitch::Kind::column;
  Rows rows;
  for (const stitch::Block& block : plan.blocks) {
    if (block.layer != stitch::Layer::top || !is_column[block.object]) continue;
    for (int i = block.first + 2; i + 3 < block.first + block.count; ++i) {
      const Thread one{plan.x[i - 1], plan.y[i - 1], plan.x[i], plan.y[i]};
      const Thread two{plan.x[i + 1], plan.y[i + 1], plan.x[i + 2], plan.y[i + 2]};
      if (one.length() < 1 || two.length() < 1 || !runs_along(one, two)) continue;
      ++rows.n;
      const double mm = step(plan, i, one, two);
      if (std::abs(mm - nominal_mm) <= 0.1 * nominal_mm) continue;
      ++rows.uneven;
      const double from_end = nominal_mm * std::min(i - block.first, block.first + block.count - i);
      ++rows.by_cause[static_cast<int>(cause(one, two, mm, from_end))];
    }
  }
  return rows;
}

}  // namespace letters
