#include "needle/draws.h"

#include <boost/random/sobol.hpp>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

namespace buckram::needle {
namespace {

constexpr std::size_t kDimensions = 9;
constexpr std::size_t kModesFrom = 6;  // hardness, gap, slope, alignment twice, strength, modes
// Standard deviations by which each is moved towards the bad side: about where it stands, on
// average, on the caps whose needle breaks (measured over cap mounts and plates).
constexpr std::array<double, kDimensions> kShift{1.3, 0.1, 0.3, 0, 0.7, 0, 0.3, 0, 0};

std::vector<std::array<double, kDimensions>> normals(int n, std::uint64_t seed) {
  boost::random::sobol sobol(kDimensions);
  base::Random random(seed);
  std::array<std::uint64_t, kDimensions> shift{};
  for (std::uint64_t& each : shift) each = random.next();
  std::vector<std::array<double, kDimensions>> all(static_cast<std::size_t>(n));
  bool is_origin = true;
  for (auto& point : all) {
    for (std::size_t d = 0; d < kDimensions; ++d) {
      // Boost leaves out the sequence's first point, the origin; without it the first 2^k points
      // are no net.
      const std::uint64_t bits = (is_origin ? 0 : static_cast<std::uint64_t>(sobol())) ^ shift[d];
      const double u = (static_cast<double>(bits >> 12U) + 0.5) * 0x1.0p-52;
      point[d] = base::normal_quantile(u);
    }
    is_origin = false;
  }
  return all;
}

std::vector<WeightedCap> caps_of(const Mechanics& m,
                                 const std::vector<std::array<double, kDimensions>>& points,
                                 const std::array<double, kDimensions>& shift) {
  std::vector<WeightedCap> caps;
  for (std::array<double, kDimensions> z : points) {
    double log_weight = 0;
    for (std::size_t d = 0; d < kDimensions; ++d) {
      // density of z + shift under the standard normal over its own
      log_weight -= shift[d] * z[d] + shift[d] * shift[d] / 2;
      z[d] += shift[d];
    }
    WeightedCap drawn;
    drawn.cap.hardness =
        std::exp(m.hardness_log_sd * z[0] - m.hardness_log_sd * m.hardness_log_sd / 2);
    drawn.cap.gap.gap_factor = std::max(0.0, 1 + m.gap_sd * z[1]);
    drawn.cap.gap.slope_factor = std::max(0.0, 1 + m.slope_sd * z[2]);
    drawn.cap.alignment_x = m.alignment_mm * z[3], drawn.cap.alignment_y = m.alignment_mm * z[4];
    drawn.cap.strength = std::exp(m.steel_log_sd * z[5]);
    for (std::size_t k = 0; k < 3; ++k) drawn.cap.gap.modes[k] = z[kModesFrom + k];
    drawn.weight = std::exp(log_weight) / static_cast<double>(points.size());
    caps.push_back(drawn);
  }
  // The weight falls with how bad a cap is: alike ones stand side by side, so that four that are
  // worked out together need the same care.
  std::stable_sort(caps.begin(), caps.end(),
                   [](const WeightedCap& a, const WeightedCap& b) { return a.weight > b.weight; });
  return caps;
}

}  // namespace

std::vector<WeightedCap> pilot_caps(const Mechanics& m) {
  std::array<double, kDimensions> shift = kShift;
  shift[3] = shift[4] = shift[5] = 0;
  std::vector<std::array<double, kDimensions>> points(kPilotCaps);
  for (std::size_t run = 0; run < kPilotCaps; ++run) {
    const auto level = [&](unsigned factors) {
      return std::popcount(run & factors) % 2 == 0 ? 1.0 : -1.0;
    };
    // 2^(6-2) with the generators 5 = 123 and 6 = 234
    points[run] = {level(1), level(2), level(4), 0, 0, 0, level(8), level(7), level(14)};
  }
  std::vector<WeightedCap> caps = caps_of(m, points, shift);
  for (WeightedCap& each : caps) {
    each.cap.alignment_mm2 = m.alignment_mm * m.alignment_mm;
    each.cap.strength_log2 = m.steel_log_sd * m.steel_log_sd;
  }
  return caps;
}

CapDraw mean_cap() {
  return {};
}

std::vector<WeightedCap> draw_caps(const Mechanics& m, int n, std::uint64_t seed) {
  return caps_of(m, normals(n, seed), kShift);
}

std::vector<WeightedCap> draw_caps(const Mechanics& m, int n, std::uint64_t seed,
                                   const std::array<double, 3>& modes) {
  std::array<double, kDimensions> shift = kShift;
  for (std::size_t k = 0; k < 3; ++k) shift[kModesFrom + k] = 0;
  std::vector<WeightedCap> caps = caps_of(m, normals(n, seed), shift);
  for (WeightedCap& each : caps) std::copy(modes.begin(), modes.end(), each.cap.gap.modes);
  return caps;
}

}  // namespace buckram::needle
