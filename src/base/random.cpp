#include "base/random.h"

#include "base/error.h"

#include <bit>
#include <cmath>
#include <numbers>

namespace buckram::base {

Random::Random(std::uint64_t seed) : state_{} {
  for (auto& word : state_) {
    seed += 0x9e3779b97f4a7c15U;
    std::uint64_t z = seed;
    z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
    word = z ^ (z >> 31U);
  }
}

std::uint64_t Random::next() {
  auto& s = state_;
  const std::uint64_t result = std::rotl(s[0] + s[3], 23) + s[0];
  const std::uint64_t t = s[1] << 17U;
  s[2] ^= s[0];
  s[3] ^= s[1];
  s[1] ^= s[2];
  s[0] ^= s[3];
  s[2] ^= t;
  s[3] = std::rotl(s[3], 45);
  return result;
}

double Random::uniform() {
  return static_cast<double>(next() >> 11U) * 0x1.0p-53;
}

double Random::uniform(double low, double high) {
  return low + (high - low) * uniform();
}

int Random::below(int n) {
  BUCKRAM_ASSERT(n > 0);
  return static_cast<int>(uniform() * n);
}

double Random::normal() {
  const double u = uniform();
  return normal_quantile(u > 0 ? u : 0x1.0p-54);
}

double normal_quantile(double p) {
  BUCKRAM_ASSERT(p > 0 && p < 1);
  static constexpr double a[] = {-3.969683028665376e+01, 2.209460984245205e+02,
                                 -2.759285104469687e+02, 1.383577518672690e+02,
                                 -3.066479806614716e+01, 2.506628277459239e+00};
  static constexpr double b[] = {-5.447609879822406e+01, 1.615858368580409e+02,
                                 -1.556989798598866e+02, 6.680131188771972e+01,
                                 -1.328068155288572e+01};
  static constexpr double c[] = {-7.784894002430293e-03, -3.223964580411365e-01,
                                 -2.400758277161838e+00, -2.549732539343734e+00,
                                 4.374664141464968e+00,  2.938163982698783e+00};
  static constexpr double d[] = {7.784695709041462e-03, 3.224671290700398e-01,
                                 2.445134137142996e+00, 3.754408661907416e+00};
  const double tail = 0.02425;
  if (p < tail || p > 1 - tail) {
    const double q = std::sqrt(-2 * std::log(p < tail ? p : 1 - p));
    const double z = (((((c[0] * q + c[1]) * q + c[2]) * q + c[3]) * q + c[4]) * q + c[5]) /
                     ((((d[0] * q + d[1]) * q + d[2]) * q + d[3]) * q + 1);
    return p < tail ? z : -z;
  }
  const double q = p - 0.5;
  const double r = q * q;
  return (((((a[0] * r + a[1]) * r + a[2]) * r + a[3]) * r + a[4]) * r + a[5]) * q /
         (((((b[0] * r + b[1]) * r + b[2]) * r + b[3]) * r + b[4]) * r + 1);
}

double normal_cdf(double z) {
  return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

}  // namespace buckram::base
