// Measured gaps as a Gaussian process on the clearance's departure from its prior mean.
//
// Exact readings are conjugate (Rasmussen and Williams 2006, eq. 2.25 and 2.26). A reading of zero
// is the probit statement u <= 0 within its sd; its moments are matched by expectation
// propagation (ibid., section 3.6, eq. 3.58), exact for a single one. A Laplace fit was left out:
// its mean of a cut normal is off by a third where the cut is far from the prior mean.
#pragma once

#include "geometry/geometry.h"

#include <array>
#include <vector>

namespace buckram::cap {

struct Kernel {
  double sd_mm = 0.9;
  double reach_mm = 25;
  double operator()(geometry::Point a, geometry::Point b) const;  // covariance, mm^2
};

struct ResidualReading {
  geometry::Point at;
  double residual_mm = 0;  // reading less prior mean; for `at_most`, the bound less prior mean
  double sd_mm = 0.4;
  bool is_at_most = false;
};

inline constexpr int kModes = 3;

// Posterior of the residual. O(n^3) to build for n exact readings, O(sweeps n^4) with bounds among
// them; O(n) a mean, O(n^2) a variance.
class Residual {
 public:
  Residual(const Kernel& kernel, const std::vector<ResidualReading>& readings);
  double mean(geometry::Point p) const;
  double covariance(geometry::Point p, geometry::Point q) const;
  // What a standard normal of each leading mode of the posterior over the front adds at p.
  std::array<double, kModes> modes(geometry::Point p) const;

 private:
  void find_modes();

  Kernel kernel_;
  std::vector<geometry::Point> at_;
  std::vector<double> alpha_;   // mean = k(p)^T alpha
  std::vector<double> weight_;  // covariance = k(p, q) - k(p)^T W k(q), n x n
  std::vector<std::array<double, kModes>> on_grid_, on_readings_;
};

}  // namespace buckram::cap
