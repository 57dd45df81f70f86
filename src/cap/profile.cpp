#include "cap/crown.h"

#include <algorithm>
#include <cmath>

namespace buckram::cap {
namespace {

constexpr double kStepMm = 0.05;

double lean_at(const CrownShape& shape, double s) {
  if (s >= shape.s90_mm) return base::kPi / 2;
  return shape.psi0_rad + (base::kPi / 2 - shape.psi0_rad) * std::pow(s / shape.s90_mm, shape.m);
}

// Linear interpolation in a table of step kStepMm; the ends are held.
double look_up(const std::vector<double>& table, double s) {
  const double at = std::clamp(s / kStepMm, 0.0, static_cast<double>(table.size() - 1));
  const auto i = std::min(static_cast<std::size_t>(at), table.size() - 2);
  const double t = at - static_cast<double>(i);
  return table[i] + (table[i + 1] - table[i]) * t;
}

}  // namespace

// One Simpson step per table step: the integrand is smooth but for the kink at s90, where the
// error of that one step is under 1e-5 mm.
Profile::Profile(const CrownShape& shape) : shape_(shape) {
  BUCKRAM_ASSERT(shape.r0_mm > 0 && shape.s90_mm > 0 && shape.m > 0);
  const auto n = static_cast<std::size_t>((shape.s90_mm + shape.r0_mm) / kStepMm) + 2;
  lean_.reserve(n), radius_.reserve(n), height_.reserve(n);
  double r = shape.r0_mm, z = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const double s = static_cast<double>(i) * kStepMm;
    const double a = lean_at(shape, s), b = lean_at(shape, s + kStepMm / 2),
                 c = lean_at(shape, s + kStepMm);
    lean_.push_back(a), radius_.push_back(r), height_.push_back(z);
    r -= kStepMm / 6 * (std::sin(a) + 4 * std::sin(b) + std::sin(c));
    z += kStepMm / 6 * (std::cos(a) + 4 * std::cos(b) + std::cos(c));
  }
}

double Profile::lean(double y) const {
  return look_up(lean_, y);
}
double Profile::radius(double y) const {
  return std::max(0.0, look_up(radius_, y));
}
double Profile::height(double y) const {
  return look_up(height_, y);
}
double Profile::to_button() const {
  return shape_.s90_mm + radius(shape_.s90_mm);
}

double Profile::y_at_height(double z) const {
  const auto at = std::lower_bound(height_.begin(), height_.end(), z);
  if (at == height_.begin()) return 0;
  if (at == height_.end()) return shape_.s90_mm;
  const auto i = static_cast<std::size_t>(at - height_.begin());
  const double rise = height_[i] - height_[i - 1];
  const double t = rise > 0 ? (z - height_[i - 1]) / rise : 0;
  return std::min(shape_.s90_mm, (static_cast<double>(i - 1) + t) * kStepMm);
}

}  // namespace buckram::cap
