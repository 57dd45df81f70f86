#include "evenness.h"

#include <cmath>
#include <map>

namespace letters {
namespace {

using namespace buckram;

struct Thread {
  double ax, ay, bx, by;

  double length() const { return std::hypot(bx - ax, by - ay); }
};

// From the middle of one thread to the line of the next but one, both running the same way, halved:
// threads next to each other share a hole, so their middles say nothing of the spacing.
double step(const Thread& one, const Thread& two) {
  const double mx = (one.ax + one.bx) / 2, my = (one.ay + one.by) / 2;
  const double dx = (two.bx - two.ax) / two.length(), dy = (two.by - two.ay) / two.length();
  return std::abs((mx - two.ax) * dy - (my - two.ay) * dx) / 2;
}

bool runs_along(const Thread& one, const Thread& two) {
  const double dot = (one.bx - one.ax) * (two.bx - two.ax) + (one.by - one.ay) * (two.by - two.ay);
  return dot > 0.9 * one.length() * two.length();
}

}  // namespace

Rows column_rows(const stitch::Plan& plan, double nominal_mm) {
  std::map<int, bool> is_column;
  for (const stitch::PlanObject& object : plan.objects)
    is_column[object.id] = object.kind == stitch::Kind::column;
  Rows rows;
  for (const stitch::Block& block : plan.blocks) {
    if (block.layer != stitch::Layer::top || !is_column[block.object]) continue;
    for (int i = block.first + 1; i + 2 < block.first + block.count; ++i) {
      const Thread one{plan.x[i - 1], plan.y[i - 1], plan.x[i], plan.y[i]};
      const Thread two{plan.x[i + 1], plan.y[i + 1], plan.x[i + 2], plan.y[i + 2]};
      if (one.length() < 1 || two.length() < 1 || !runs_along(one, two)) continue;
      ++rows.n;
      rows.uneven += std::abs(step(one, two) - nominal_mm) > 0.1 * nominal_mm;
    }
  }
  return rows;
}

}  // namespace letters
