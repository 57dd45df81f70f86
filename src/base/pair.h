// Two numbers at a time, for formulas that are evaluated millions of times.
//
// Every amd64 has registers of two doubles; wider ones are not used, so that results are the same
// bytes everywhere. A formula written as a template over its number works for `double` and for
// `Pair` alike: arithmetic, comparisons and `c ? a : b` are the compiler's own (GCC and Clang
// vectors), the functions below are defined for both. For a double they are the library's; for a
// pair they are polynomials, a third as costly, the same on every machine:
//   exp_of      relative error under 1e-8 (Taylor to the seventh order after taking out powers of
//   2) upper_tail  relative error under 5e-8 (Chebyshev fit of ours to the scaled tail)
#pragma once

#include <emmintrin.h>

#include <bit>
#include <cmath>

namespace buckram::base {

using Pair = double __attribute__((vector_size(16)));
using PairBits = long long __attribute__((vector_size(16)));

constexpr Pair both(double x) {
  return Pair{x, x};
}

inline double larger(double a, double b) {
  return a > b ? a : b;
}
inline double smaller(double a, double b) {
  return a < b ? a : b;
}
inline Pair larger(Pair a, Pair b) {
  return _mm_max_pd(a, b);
}
inline Pair smaller(Pair a, Pair b) {
  return _mm_min_pd(a, b);
}

inline bool any(bool mask) {
  return mask;
}
template <class Mask>
bool any(Mask mask) {
  return _mm_movemask_pd(std::bit_cast<Pair>(mask)) != 0;
}

inline double root(double x) {
  return std::sqrt(x);
}
inline Pair root(Pair x) {
  return _mm_sqrt_pd(x);
}

inline double exp_of(double x) {
  return std::exp(x);
}
// Arguments are cut at -700 and 700.
inline Pair exp_of(Pair x) {
  constexpr Pair kLog2E = both(1.4426950408889634);
  constexpr Pair kLn2High = both(0x1.62e42fefa3800p-1), kLn2Low = both(0x1.ef35793c76730p-45);
  constexpr Pair kRound = both(0x1.8p52);  // adding it leaves the nearest whole number's low bits
  const Pair cut = smaller(larger(x, both(-700)), both(700));
  const Pair whole = cut * kLog2E + kRound;
  const Pair n = whole - kRound;
  const Pair r = cut - n * kLn2High - n * kLn2Low;
  const Pair low = both(1) + r * (both(1) + r * (both(1 / 2.0) + r * both(1 / 6.0)));
  const Pair high =
      both(1 / 24.0) + r * (both(1 / 120.0) + r * (both(1 / 720.0) + r * both(1 / 5040.0)));
  const Pair r2 = r * r;
  const Pair p = low + r2 * r2 * high;
  return std::bit_cast<Pair>(std::bit_cast<PairBits>(p) + (std::bit_cast<PairBits>(whole) << 52));
}

// tanh of x >= 0.
template <class T>
T tanh_of(T x) {
  const T e = exp_of(-2 * x);
  return (1 - e) / (1 + e);
}

// 1 / (1 + e^-x).
template <class T>
T logistic(T x) {
  return 1 / (1 + exp_of(-x));
}

// P(Z > x) of a standard normal.
inline double upper_tail(double x) {
  return 0.5 * std::erfc(x * 0.7071067811865476);
}
inline Pair upper_tail(Pair x) {
  // P(Z > x) e^(x^2 / 2) (1 + x / 4) in powers of 1 / (1 + x / 4), for x >= 0.
  const Pair side = x < 0 ? -x : x;
  const Pair t = both(1) / (both(1) + both(0.25) * side);
  const Pair low = both(0.09973554028023654) +
                   t * (both(0.099738408150553223) +
                        t * (both(0.093428493130503026) + t * both(0.081928298944776101)));
  const Pair mid = both(0.057463686642580836) +
                   t * (both(0.067825491942225119) +
                        t * (both(-0.038520166518122345) + t * both(0.10225039674458297)));
  const Pair high = both(-0.084427804735211331) + t * both(0.020577663052514471);
  const Pair t2 = t * t, t4 = t2 * t2;
  const Pair sum = low + t4 * (mid + t4 * high);
  const Pair tail = sum * t * exp_of(both(-0.5) * side * side);
  return x < 0 ? 1 - tail : tail;
}

}  // namespace buckram::base
