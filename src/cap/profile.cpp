#include "cap/crown.h"

#include <algorithm>
#include <cmath>

namespace buckram::cap {
namespace {

constexpr double kMostStepMm = 0.25;

double lean_at(const CrownShape& shape, double s) {
  if (s >= shape.s90_mm) return base::kPi / 2;
  return shape.psi0_rad + (base::kPi / 2 - shape.psi0_rad) * std::pow(s / shape.s90_mm, shape.m);
}

// Cubic through two values with their slopes, `on` from 0 to 1 between them (Hermite).
double cubic(double a, double slope_a, double b, double slope_b, double on, double step) {
  const double rest = 1 - on;
  return a * rest * rest * (1 + 2 * on) + b * on * on * (3 - 2 * on) +
         step * on * rest * (slope_a * rest - slope_b * on);
}

}  // namespace

// One Simpson step per row: the integrand is smooth but for the kink at s90, where a row stands.
Profile::Profile(const CrownShape& shape)
    : shape_(shape), step_mm_(shape.s90_mm / std::ceil(shape.s90_mm / kMostStepMm)) {
  BUCKRAM_ASSERT(shape.r0_mm > 0 && shape.s90_mm > 0 && shape.m > 0);
  const auto n = static_cast<std::size_t>((shape.s90_mm + shape.r0_mm) / step_mm_) + 2;
  rows_.reserve(n);
  Row row{lean_at(shape, 0), shape.r0_mm, 0, 0, 0};
  for (std::size_t i = 0; i < n; ++i) {
    row.inwards = std::sin(row.lean), row.up = std::cos(row.lean);
    rows_.push_back(row);
    const double s = static_cast<double>(i) * step_mm_;
    const double middle = lean_at(shape, s + step_mm_ / 2), next = lean_at(shape, s + step_mm_);
    row.radius -= step_mm_ / 6 * (row.inwards + 4 * std::sin(middle) + std::sin(next));
    row.height += step_mm_ / 6 * (row.up + 4 * std::cos(middle) + std::cos(next));
    row.lean = next;
  }
}

Profile::Place Profile::place(double y) const {
  const double at = std::clamp(y / step_mm_, 0.0, static_cast<double>(rows_.size() - 1));
  const auto i = std::min(static_cast<std::size_t>(at), rows_.size() - 2);
  return {&rows_[i], at - static_cast<double>(i)};
}

double Profile::lean(double y) const {
  const auto [row, on] = place(y);
  return row[0].lean + (row[1].lean - row[0].lean) * on;
}
double Profile::radius(double y) const {
  const auto [row, on] = place(y);
  return std::max(
      0.0, cubic(row[0].radius, -row[0].inwards, row[1].radius, -row[1].inwards, on, step_mm_));
}
double Profile::height(double y) const {
  const auto [row, on] = place(y);
  return cubic(row[0].height, row[0].up, row[1].height, row[1].up, on, step_mm_);
}
double Profile::to_button() const {
  return shape_.s90_mm + radius(shape_.s90_mm);
}

// By Newton's rule from the row below: the height rises all but evenly over a step. Where it no
// longer rises, near s90, the row itself is near enough.
double Profile::y_at_height(double z) const {
  if (z <= 0) return 0;
  const auto above = std::lower_bound(rows_.begin(), rows_.end(), z,
                                      [](const Row& row, double h) { return row.height < h; });
  if (above == rows_.end()) return shape_.s90_mm;
  const double from = static_cast<double>(above - rows_.begin() - 1) * step_mm_;
  double y = from;
  for (int k = 0; k < 4; ++k) {
    const double slope = std::cos(lean(y));
    if (slope < 1e-6) break;
    y = std::clamp(y + (z - height(y)) / slope, from, from + step_mm_);
  }
  return std::min(shape_.s90_mm, y);
}

}  // namespace buckram::cap
