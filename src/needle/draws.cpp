#include "needle/draws.h"

#include <boost/random/sobol.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::needle {
namespace {

constexpr std::size_t kDimensions = 9;
// Standard deviations by which hardness, gap and slope are moved towards the bad side.
constexpr std::array<double, kDimensions> kShift{0.8, 0.8, 0.5, 0, 0, 0, 0.5, 0, 0};

std::vector<std::array<double, kDimensions>> normals(int n, std::uint64_t seed) {
  boost::random::sobol sobol(kDimensions);
  base::Random random(seed);
  std::array<std::uint64_t, kDimensions> shift{};
  for (std::uint64_t& each : shift) each = random.next();
  std::vector<std::array<double, kDimensions>> all(static_cast<std::size_t>(n));
  for (auto& point : all) {
    for (std::size_t d = 0; d < kDimensions; ++d) {
      const std::uint64_t bits = static_cast<std::uint64_t>(sobol()) ^ shift[d];
      const double u = (static_cast<double>(bits >> 12U) + 0.5) * 0x1.0p-52;
      point[d] = base::normal_quantile(u);
    }
  }
  return all;
}

}  // namespace

CapDraw mean_cap() {
  return {};
}

std::vector<WeightedCap> draw_caps(const Mechanics& m, int n, std::uint64_t seed) {
  std::vector<WeightedCap> caps;
  double sum = 0;
  for (auto z : normals(n, seed)) {
    double log_weight = 0;
    for (std::size_t d = 0; d < kDimensions; ++d) {
      // density of z + shift under the standard normal over its own
      log_weight -= kShift[d] * z[d] + kShift[d] * kShift[d] / 2;
      z[d] += kShift[d];
    }
    WeightedCap drawn;
    drawn.cap.hardness =
        std::exp(m.hardness_log_sd * z[0] - m.hardness_log_sd * m.hardness_log_sd / 2);
    drawn.cap.gap.gap_factor = std::max(0.0, 1 + m.gap_sd * z[1]);
    drawn.cap.gap.slope_factor = std::max(0.0, 1 + m.slope_sd * z[2]);
    drawn.cap.alignment = {m.alignment_mm * z[3], m.alignment_mm * z[4]};
    drawn.cap.strength = std::exp(m.steel_log_sd * z[5]);
    for (std::size_t k = 0; k < 3; ++k) drawn.cap.gap.modes[k] = z[6 + k];
    drawn.weight = std::exp(log_weight);
    sum += drawn.weight;
    caps.push_back(drawn);
  }
  for (WeightedCap& each : caps) each.weight /= sum;
  return caps;
}

}  // namespace buckram::needle
