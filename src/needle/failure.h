// Whether the needle breaks where its point has been pushed: four ways, each in closed form given
// the cap (models: strike of the plate, strike of the hook, bending, buckling).
#pragma once

#include "needle/deflection.h"

#include <array>

namespace buckram::needle {

// Chance that a normal point with this mean and covariance falls outside a disc of radius `r`
// about the origin. Polar quadrature in the whitened plane: along each direction the chance beyond
// the disc's edge is exp(-rho^2 / 2) exactly, and the trapezoid rule over directions converges
// faster than any power; directions that add under 1e-4 of the largest term are left out. Within
// 1 % of the isotropic case, the Marcum Q function Q1(|mean| / s, r / s), down to 1e-12.
double outside_disc(geometry::Point mean, double xx, double xy, double yy, double r);

// Upper bound of the same, cheap: exp(-(r - |mean|)^2 / (2 largest variance)).
double outside_disc_bound(geometry::Point mean, double xx, double xy, double yy, double r);

struct Failure {
  std::array<double, 4> by_mode{};  // chance by Mode, q included
  double any = 0;                   // 1 - prod(1 - by_mode)
};
// A plate strike whose bound is under `ignore` counts as none.
// Law: more push, more force or a weaker needle never lowers a chance but the hook's: a needle that
// misses the hole altogether no longer reaches the hook.
Failure failure_at(const Push& push, const Blade& blade, const Mechanics& mechanics,
                   const CapDraw& draw, double ignore = 1e-13);

}  // namespace buckram::needle
