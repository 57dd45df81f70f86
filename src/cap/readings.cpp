#include "cap/readings.h"

#include "base/base.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace buckram::cap {
namespace {

// Where the modes are looked for: the part of the front that logos cover.
constexpr std::array<double, 5> kGridX{-32, -16, 0, 16, 32};
constexpr std::array<double, 5> kGridY{6, 21, 36, 51, 66};
constexpr int kGrid = static_cast<int>(kGridX.size() * kGridY.size());

geometry::Point grid_point(std::size_t i) {
  return {kGridX[i % kGridX.size()], kGridY[i / kGridX.size()]};
}

double normal_density(double z) {
  return std::exp(-z * z / 2) / std::sqrt(2 * base::kPi);
}

// phi(z) / Phi(z), also far out where both vanish (Mills' ratio by its asymptotic series).
double density_over_cdf(double z) {
  if (z > -8) return normal_density(z) / base::normal_cdf(z);
  const double q = 1 / (z * z);
  return -z / (1 - q * (1 - 3 * q * (1 - 5 * q)));
}

// A reading as a Gaussian factor on the residual: precision and precision times mean.
struct Site {
  double precision = 0, pull = 0;
};

struct Moments {
  double mean = 0, variance = 0;
};

// Moments of N(mean, variance) times Phi((bound - f) / sd): eq. 3.58 with the sign turned.
Moments cut_above(Moments cavity, double bound, double sd) {
  const double scale = std::sqrt(sd * sd + cavity.variance);
  const double z = (bound - cavity.mean) / scale;
  const double ratio = density_over_cdf(z);
  return {
      cavity.mean - cavity.variance * ratio / scale,
      cavity.variance - cavity.variance * cavity.variance * ratio * (z + ratio) / (scale * scale)};
}

Eigen::Map<const Eigen::MatrixXd> square_matrix(const std::vector<double>& entries, std::size_t n) {
  const auto rows = static_cast<Eigen::Index>(n);
  return {entries.data(), rows, rows};
}

// S^1/2 (I + S^1/2 K S^1/2)^-1 S^1/2, which is (K + S^-1)^-1 and stays finite as S goes to 0.
std::vector<double> weight_of(const std::vector<double>& k, const std::vector<Site>& sites) {
  const std::size_t n = sites.size();
  Eigen::VectorXd root(static_cast<Eigen::Index>(n));
  for (std::size_t i = 0; i < n; ++i)
    root[static_cast<Eigen::Index>(i)] = std::sqrt(sites[i].precision);
  Eigen::MatrixXd b = root.asDiagonal() * square_matrix(k, n) * root.asDiagonal();
  b.diagonal().array() += 1;
  const Eigen::MatrixXd w = root.asDiagonal() * b.llt().solve(Eigen::MatrixXd(root.asDiagonal()));
  return {w.data(), w.data() + w.size()};
}

// alpha = (K + S^-1)^-1 S^-1 pull = pull - W K pull.
std::vector<double> alpha_of(const std::vector<double>& k, const std::vector<double>& w,
                             const std::vector<Site>& sites) {
  const std::size_t n = sites.size();
  std::vector<double> k_pull(n, 0.0), alpha(n);
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j < n; ++j) k_pull[i] += k[i * n + j] * sites[j].pull;
  }
  for (std::size_t i = 0; i < n; ++i) {
    alpha[i] = sites[i].pull;
    for (std::size_t j = 0; j < n; ++j) alpha[i] -= w[i * n + j] * k_pull[j];
  }
  return alpha;
}

Moments posterior_at(const std::vector<double>& k, const std::vector<Site>& sites, std::size_t i) {
  const std::size_t n = sites.size();
  const std::vector<double> w = weight_of(k, sites), alpha = alpha_of(k, w, sites);
  Moments m{0, k[i * n + i]};
  for (std::size_t a = 0; a < n; ++a) {
    m.mean += k[i * n + a] * alpha[a];
    for (std::size_t b = 0; b < n; ++b) m.variance -= k[i * n + a] * w[a * n + b] * k[b * n + i];
  }
  return m;
}

void update_bound(const std::vector<double>& k, const ResidualReading& reading,
                  std::vector<Site>& sites, std::size_t i) {
  const Moments now = posterior_at(k, sites, i);
  const double precision = 1 / now.variance - sites[i].precision;
  if (precision <= 0) return;
  const double pull = now.mean / now.variance - sites[i].pull;
  const Moments cut =
      cut_above({pull / precision, 1 / precision}, reading.residual_mm, reading.sd_mm);
  sites[i].precision = std::max(0.0, 1 / cut.variance - precision);
  sites[i].pull = cut.mean / cut.variance - pull;
}

std::vector<Site> fit_sites(const std::vector<double>& k,
                            const std::vector<ResidualReading>& readings) {
  constexpr int kSweeps = 12;  // converges by 1e-6 mm on five readings in 4 to 8
  std::vector<Site> sites;
  bool has_bounds = false;
  for (const ResidualReading& r : readings) {
    const double precision = r.is_at_most ? 0 : 1 / (r.sd_mm * r.sd_mm);
    sites.push_back({precision, precision * r.residual_mm});
    has_bounds = has_bounds || r.is_at_most;
  }
  for (int sweep = 0; has_bounds && sweep < kSweeps; ++sweep) {
    for (std::size_t i = 0; i < readings.size(); ++i) {
      if (readings[i].is_at_most) update_bound(k, readings[i], sites, i);
    }
  }
  return sites;
}

}  // namespace

double Kernel::operator()(geometry::Point a, geometry::Point b) const {
  const geometry::Point d = b - a;
  return sd_mm * sd_mm * std::exp(-geometry::dot(d, d) / (2 * reach_mm * reach_mm));
}

Residual::Residual(const Kernel& kernel, const std::vector<ResidualReading>& readings)
    : kernel_(kernel) {
  if (kernel.sd_mm > 0 && !readings.empty()) {
    for (const ResidualReading& r : readings) at_.push_back(r.at);
    const std::size_t n = at_.size();
    std::vector<double> k(n * n);
    for (std::size_t i = 0; i < n; ++i) {
      for (std::size_t j = 0; j < n; ++j) k[i * n + j] = kernel_(at_[i], at_[j]);
    }
    const std::vector<Site> sites = fit_sites(k, readings);
    weight_ = weight_of(k, sites);
    alpha_ = alpha_of(k, weight_, sites);
  }
  if (kernel.sd_mm > 0) find_modes();
}

double Residual::mean(geometry::Point p) const {
  double sum = 0;
  for (std::size_t i = 0; i < at_.size(); ++i) sum += alpha_[i] * kernel_(p, at_[i]);
  return sum;
}

double Residual::covariance(geometry::Point p, geometry::Point q) const {
  const std::size_t n = at_.size();
  double sum = kernel_(p, q);
  for (std::size_t i = 0; i < n; ++i) {
    double w_kq = 0;
    for (std::size_t j = 0; j < n; ++j) w_kq += weight_[i * n + j] * kernel_(at_[j], q);
    sum -= kernel_(p, at_[i]) * w_kq;
  }
  return sum;
}

// Nystroem: mode(p) = sum_j C(p, g_j) v_j / sqrt(lambda) over the grid, C the posterior
// covariance, spread out into kernels at the grid points and at the readings.
void Residual::find_modes() {
  std::vector<double> c(static_cast<std::size_t>(kGrid * kGrid));
  for (std::size_t i = 0; i < kGrid; ++i) {
    for (std::size_t j = 0; j < kGrid; ++j)
      c[i * kGrid + j] = covariance(grid_point(i), grid_point(j));
  }
  // Values rise. A vector's sign is free: it is chosen by a sum with rising weights, since the
  // plain sum of a mode that is odd across the seam vanishes and rounding would choose.
  const Eigen::VectorXd weights = Eigen::VectorXd::LinSpaced(kGrid, 1, kGrid);
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(square_matrix(c, kGrid));
  on_grid_.assign(kGrid, {}), on_readings_.assign(at_.size(), {});
  const double floor = 1e-9 * kernel_.sd_mm * kernel_.sd_mm;
  for (std::size_t mode = 0; mode < kModes; ++mode) {
    const auto column = static_cast<Eigen::Index>(kGrid - 1 - mode);
    const double value = eigen.eigenvalues()[column];
    if (value <= floor) continue;
    const auto vector = eigen.eigenvectors().col(column);
    const double scale = (vector.dot(weights) < 0 ? -1 : 1) / std::sqrt(value);
    for (std::size_t i = 0; i < kGrid; ++i)
      on_grid_[i][mode] = vector[static_cast<Eigen::Index>(i)] * scale;
    for (std::size_t r = 0; r < at_.size(); ++r) {
      for (std::size_t s = 0; s < at_.size(); ++s) {
        for (std::size_t i = 0; i < kGrid; ++i) {
          on_readings_[r][mode] -=
              weight_[r * at_.size() + s] * kernel_(at_[s], grid_point(i)) * on_grid_[i][mode];
        }
      }
    }
  }
}

std::array<double, kModes> Residual::modes(geometry::Point p) const {
  std::array<double, kModes> sum{};
  if (on_grid_.empty()) return sum;
  std::array<double, kGridX.size()> ex;
  std::array<double, kGridY.size()> ey;
  const double scale = 1 / (2 * kernel_.reach_mm * kernel_.reach_mm);
  for (std::size_t i = 0; i < ex.size(); ++i)
    ex[i] = std::exp(-scale * (p.x - kGridX[i]) * (p.x - kGridX[i]));
  for (std::size_t i = 0; i < ey.size(); ++i)
    ey[i] = std::exp(-scale * (p.y - kGridY[i]) * (p.y - kGridY[i]));
  const double variance = kernel_.sd_mm * kernel_.sd_mm;
  for (std::size_t i = 0; i < on_grid_.size(); ++i) {
    const double k = variance * ex[i % ex.size()] * ey[i / ex.size()];
    for (std::size_t m = 0; m < kModes; ++m) sum[m] += k * on_grid_[i][m];
  }
  for (std::size_t r = 0; r < at_.size(); ++r) {
    const double k = kernel_(p, at_[r]);
    for (std::size_t m = 0; m < kModes; ++m) sum[m] += k * on_readings_[r][m];
  }
  return sum;
}

}  // namespace buckram::cap
