// Seeded random numbers that are the same on every machine and compiler.
//
// xoshiro256++ (Blackman and Vigna, ACM TOMS 47(4), 2021), seeded through splitmix64. The
// standard library's distributions are not used: their results differ between libraries.
#pragma once

#include <array>
#include <cstdint>

namespace buckram::base {

class Random {
 public:
  explicit Random(std::uint64_t seed);
  std::uint64_t next();  // 64 random bits
  double uniform();      // [0, 1), 53 bits
  double uniform(double low, double high);
  int below(int n);  // 0 to n-1, n > 0
  double normal();   // mean 0, standard deviation 1 (inverse distribution function)

 private:
  std::array<std::uint64_t, 4> state_;
};

// Inverse of the standard normal distribution function, 0 < p < 1; |relative error| < 1.2e-9
// (P. J. Acklam's rational approximation, 2003; one Halley step is not needed at that accuracy).
double normal_quantile(double p);

// Standard normal distribution function, from std::erfc.
double normal_cdf(double z);

}  // namespace buckram::base
