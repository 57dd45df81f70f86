// Four numbers at a time, for formulas that are evaluated millions of times.
//
// A formula written as a template over its number works for `double` and for four of them alike:
// arithmetic and comparisons are operators, the rest are the functions below. What holds the four
// is a parameter: `Four` lies in two registers of two, which every amd64 has; a function compiled
// for wider ones (needle/chance.cpp) brings its own. All do the same operations in the same order,
// none contracted, so that results are the same bytes everywhere. For a double the functions are
// the library's; for four they are polynomials, a third as costly:
//   exp_of      relative error under 1e-8 (Taylor to the seventh order after taking out powers of
//               2)
//   upper_tail  relative error under 5e-8 (Chebyshev fit of ours to the scaled tail)
#pragma once

#include <emmintrin.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

namespace buckram::base {

// e^x of a compiler's vector of doubles; `Bits`: as many whole numbers of 64 bits. x in +-700.
template <class Bits, class Vector>
inline Vector vector_exp(Vector x) {
  constexpr double kLn2High = 0x1.62e42fefa3800p-1, kLn2Low = 0x1.ef35793c76730p-45;
  constexpr double kRound = 0x1.8p52;  // adding it leaves the nearest whole number's low bits
  const Vector whole = x * 1.4426950408889634 + kRound;
  const Vector n = whole - kRound;
  const Vector r = x - n * kLn2High - n * kLn2Low;
  const Vector low = 1 + r * (1 + r * (1 / 2.0 + r * (1 / 6.0)));
  const Vector high = 1 / 24.0 + r * (1 / 120.0 + r * (1 / 720.0 + r * (1 / 5040.0)));
  const Vector r2 = r * r;
  const Vector p = low + r2 * r2 * high;
  return std::bit_cast<Vector>(std::bit_cast<Bits>(p) + (std::bit_cast<Bits>(whole) << 52));
}

// Two registers of two doubles.
struct TwoPairs {
  using Pair = double __attribute__((vector_size(16)));
  using PairBits = long long __attribute__((vector_size(16)));
  struct Value {
    Pair low, high;
  };
  struct Mask {
    PairBits low, high;
  };

  static Value all(double x) { return {Pair{x, x}, Pair{x, x}}; }
  static Value add(Value a, Value b) { return {a.low + b.low, a.high + b.high}; }
  static Value subtract(Value a, Value b) { return {a.low - b.low, a.high - b.high}; }
  static Value multiply(Value a, Value b) { return {a.low * b.low, a.high * b.high}; }
  static Value divide(Value a, Value b) { return {a.low / b.low, a.high / b.high}; }
  static Mask less(Value a, Value b) { return {a.low < b.low, a.high < b.high}; }
  static bool any(Mask m) { return _mm_movemask_pd(std::bit_cast<Pair>(m.low | m.high)) != 0; }
  static Value select(Mask m, Value a, Value b) {
    return {m.low ? a.low : b.low, m.high ? a.high : b.high};
  }
  static Value larger(Value a, Value b) {
    return {_mm_max_pd(a.low, b.low), _mm_max_pd(a.high, b.high)};
  }
  static Value smaller(Value a, Value b) {
    return {_mm_min_pd(a.low, b.low), _mm_min_pd(a.high, b.high)};
  }
  static Value root(Value a) { return {_mm_sqrt_pd(a.low), _mm_sqrt_pd(a.high)}; }
  static Value exp(Value a) { return {vector_exp<PairBits>(a.low), vector_exp<PairBits>(a.high)}; }
};

// Four truths, of a comparison.
template <class R>
struct FourHold {
  typename R::Mask mask;
};

// Four doubles in the registers R. Its bytes are those of std::array<double, 4>.
template <class R>
struct FourIn {
  typename R::Value value = R::all(0);

  FourIn() = default;
  FourIn(double x) : value(R::all(x)) {}  // NOLINT(google-explicit-constructor): one is four alike
  static FourIn of(typename R::Value value) {
    FourIn made;
    made.value = value;
    return made;
  }

  friend FourIn operator+(FourIn a, FourIn b) { return of(R::add(a.value, b.value)); }
  friend FourIn operator-(FourIn a, FourIn b) { return of(R::subtract(a.value, b.value)); }
  friend FourIn operator*(FourIn a, FourIn b) { return of(R::multiply(a.value, b.value)); }
  friend FourIn operator/(FourIn a, FourIn b) { return of(R::divide(a.value, b.value)); }
  friend FourIn operator-(FourIn a) { return of(R::subtract(R::all(-0.0), a.value)); }
  friend FourIn& operator+=(FourIn& a, FourIn b) { return a = a + b; }
  friend FourIn& operator-=(FourIn& a, FourIn b) { return a = a - b; }
  friend FourHold<R> operator<(FourIn a, FourIn b) { return {R::less(a.value, b.value)}; }
  friend FourHold<R> operator>(FourIn a, FourIn b) { return {R::less(b.value, a.value)}; }
};
using Four = FourIn<TwoPairs>;

inline double larger(double a, double b) {
  return a > b ? a : b;
}
template <class R>
FourIn<R> larger(FourIn<R> a, FourIn<R> b) {
  return FourIn<R>::of(R::larger(a.value, b.value));
}
inline double smaller(double a, double b) {
  return a < b ? a : b;
}
template <class R>
FourIn<R> smaller(FourIn<R> a, FourIn<R> b) {
  return FourIn<R>::of(R::smaller(a.value, b.value));
}

inline bool any(bool holds) {
  return holds;
}
template <class R>
bool any(FourHold<R> hold) {
  return R::any(hold.mask);
}

// a where it holds, b elsewhere.
inline double select(bool holds, double a, double b) {
  return holds ? a : b;
}
template <class R>
FourIn<R> select(FourHold<R> hold, FourIn<R> a, FourIn<R> b) {
  return FourIn<R>::of(R::select(hold.mask, a.value, b.value));
}

inline double root(double x) {
  return std::sqrt(x);
}
template <class R>
FourIn<R> root(FourIn<R> x) {
  return FourIn<R>::of(R::root(x.value));
}

inline double exp_of(double x) {
  return std::exp(x);
}
// Arguments are cut at -700 and 700.
template <class R>
FourIn<R> exp_of(FourIn<R> x) {
  using T = FourIn<R>;
  return T::of(R::exp(smaller(larger(x, T(-700)), T(700)).value));
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
template <class R>
FourIn<R> upper_tail(FourIn<R> x) {
  using T = FourIn<R>;
  // P(Z > x) e^(x^2 / 2) (1 + x / 4) in powers of 1 / (1 + x / 4), for x >= 0.
  const T side = larger(x, -x);
  const T t = 1 / (1 + 0.25 * side);
  const T low = 0.09973554028023654 +
                t * (0.099738408150553223 + t * (0.093428493130503026 + t * 0.081928298944776101));
  const T mid = 0.057463686642580836 +
                t * (0.067825491942225119 + t * (-0.038520166518122345 + t * 0.10225039674458297));
  const T high = -0.084427804735211331 + t * 0.020577663052514471;
  const T t2 = t * t, t4 = t2 * t2;
  const T sum = low + t4 * (mid + t4 * high);
  const T tail = sum * t * exp_of(-0.5 * side * side);
  return select(x < 0, 1 - tail, tail);
}

inline double largest_of(double x) {
  return x;
}
template <class R>
double largest_of(FourIn<R> x) {
  const auto lanes = std::bit_cast<std::array<double, 4>>(x);
  return std::max(std::max(lanes[0], lanes[1]), std::max(lanes[2], lanes[3]));
}
template <class R>
double sum_of(FourIn<R> x) {
  const auto lanes = std::bit_cast<std::array<double, 4>>(x);
  return (lanes[0] + lanes[1]) + (lanes[2] + lanes[3]);
}

// Each by a function of one number.
template <class F>
double each_of(double x, F of) {
  return of(x);
}
template <class R, class F>
FourIn<R> each_of(FourIn<R> x, F of) {
  auto lanes = std::bit_cast<std::array<double, 4>>(x);
  for (double& lane : lanes) lane = of(lane);
  return std::bit_cast<FourIn<R>>(lanes);
}

}  // namespace buckram::base
