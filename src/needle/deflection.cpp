#include "needle/deflection.h"

#include "needle/push_of.h"

#include <algorithm>
#include <cmath>

namespace buckram::needle {
namespace {

double squared(double x) {
  return x * x;
}

}  // namespace

double stepped_flexibility(double a_mm, double ei_a, double b_mm, double ei_b) {
  const double length = a_mm + b_mm;
  const double b3 = b_mm * b_mm * b_mm;
  return ((length * length * length - b3) / ei_a + b3 / ei_b) / 3;
}

Blade blade_of(const cap::Needle& n, const Mechanics& m, std::optional<double> hole_mm) {
  const auto second_moment = [](double d) { return base::kPi * squared(squared(d)) / 64; };
  const double ei = n.young_mpa * n.groove * second_moment(n.d_mm);
  const double ei_shank = n.young_mpa * second_moment(n.shank_d_mm);
  Blade b;
  b.d_mm = n.d_mm;
  b.reach_mm = n.shank_mm + n.blade_mm;
  b.stiffness_n_per_mm = 1 / stepped_flexibility(n.shank_mm, ei_shank, n.blade_mm, ei);
  b.free_load_n = squared(base::kPi) * ei / (4 * squared(n.blade_mm));
  b.pinned_load_n = m.pinned_factor * ei / squared(n.blade_mm);
  b.hold_per_stiffness_mm = m.hold_factor * n.blade_mm;
  const double thinner = m.reference_d_mm / n.d_mm;
  b.strike_q = std::min(1.0, m.plate_q * thinner * thinner * thinner);
  b.hole_clearance_mm = std::max(0.01, (hole_mm.value_or(m.hole_mm) - n.d_mm) / 2);
  b.section_mm3 = base::kPi * n.d_mm * squared(n.d_mm) / 32;
  b.area_mm2 = base::kPi * squared(n.d_mm) / 4;
  constexpr double kFar = 7;  // standard deviations: Phi(-7) = 1.3e-12
  b.bend_from = std::exp(-kFar * std::sqrt(2) * m.steel_log_sd);  // drawn or not, the cap's too
  b.buckle_from = std::exp(-kFar * m.buckle_log_sd);
  return b;
}

template Push push_at(const Place&, const Blade&, const Mechanics&, const CapDraw&);
template PushOf<base::Four> push_at(const Place&, const Blade&, const Mechanics&,
                                    const CapDrawOf<base::Four>&);

}  // namespace buckram::needle
