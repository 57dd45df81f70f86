// Whether the needle breaks where its point has been pushed: four ways, each in closed form given
// the cap (models: strike of the plate, strike of the hook, bending, buckling).
#pragma once

#include "needle/deflection.h"

#include <array>

namespace buckram::needle {

// How carefully chances are worked out: a plate strike whose bound is under `ignore` counts as
// none; a step between directions of `widths` times the peak's width is off by 2 exp(-2 pi^2 /
// widths^2), up or down as the directions fall: 0.2 % for 1.7, 6 % for 2.4.
struct Care {
  double ignore = 1e-13;
  double widths = 1.7;
  int least_directions = 12;
  // The frame's swing as the sine that it is; else as a normal, some per cent too much.
  bool swings = true;
};

// Chance that a normal point with this mean and covariance falls outside a disc of radius `r`
// about the origin; T is a double or a base::Four. Polar quadrature in the whitened plane: along
// each direction the chance beyond the disc's edge is exp(-rho^2 / 2) exactly, and the trapezoid
// rule over directions converges faster than any power; as many directions as the peak about the
// nearest edge asks for. Within 1 % of the isotropic case, the Marcum Q function
// Q1(|mean| / s, r / s), down to 1e-12.
template <class T>
struct Normal2 {
  T mean_x, mean_y;
  T xx, xy, yy;
};
template <class T>
T outside_disc(const Normal2<T>& at, double r, const Care& care = {});

// (r - |mean|)^2 / (2 largest variance), 0 where the mean lies outside: exp(-this) bounds the
// chance from above.
template <class T>
T outside_disc_exponent(const Normal2<T>& at, double r);

template <class T>
struct FailureOf {
  std::array<T, 4> by_mode{};  // chance by Mode, q included
  T any{};                     // 1 - prod(1 - by_mode)
};
using Failure = FailureOf<double>;
// A part of a chance that is under a thousandth of the rest counts as none.
// Law: more push, more force or a weaker needle never lowers a chance but the hook's: a needle that
// misses the hole altogether no longer reaches the hook.
template <class T>
FailureOf<T> failure_at(const PushOf<T>& push, const Blade& blade, const Mechanics& mechanics,
                        const CapDrawOf<T>& draw, const Care& care = {});

extern template double outside_disc(const Normal2<double>&, double, const Care&);
extern template base::Four outside_disc(const Normal2<base::Four>&, double, const Care&);
extern template double outside_disc_exponent(const Normal2<double>&, double);
extern template base::Four outside_disc_exponent(const Normal2<base::Four>&, double);
extern template Failure failure_at(const Push&, const Blade&, const Mechanics&, const CapDraw&,
                                   const Care&);
extern template FailureOf<base::Four> failure_at(const PushOf<base::Four>&, const Blade&,
                                                 const Mechanics&, const CapDrawOf<base::Four>&,
                                                 const Care&);

}  // namespace buckram::needle
