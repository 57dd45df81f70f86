#include "cap/describe.h"

#include <unsupported/Eigen/NonLinearOptimization>

#include <algorithm>
#include <cmath>

namespace buckram::cap {
namespace {

// What a reading tells, and how far a crown may differ from the one it is like (estimates).
constexpr double kReadingSdMm = 0.7, kButtonSdMm = 3;
constexpr double kS90LogSd = 0.25, kMLogSd = 0.6;
constexpr double kPsi0Sd = 4 * base::kPi / 180;

// Distance at right angles from the profile, on the outer side positive: from the nearest of its
// points by steps of 0.5 mm, then refined to 0.01 mm.
double off_profile(const Profile& profile, double r0_mm, const ProfilePlace& place) {
  const auto gap2 = [&](double s) {
    const double dr = r0_mm - profile.radius(s) - place.setback_mm;
    const double dz = profile.height(s) - place.height_mm;
    return dr * dr + dz * dz;
  };
  double best = 0;
  for (double s = 0; s <= profile.to_button(); s += 0.5) {
    if (gap2(s) < gap2(best)) best = s;
  }
  for (double step = 0.25; step > 0.005; step /= 2) {
    for (const double s : {best - step, best + step}) {
      if (s >= 0 && gap2(s) < gap2(best)) best = s;
    }
  }
  const double lean = profile.lean(best);
  const double dr = r0_mm - profile.radius(best) - place.setback_mm;
  const double dz = profile.height(best) - place.height_mm;
  return dr * std::cos(lean) - dz * std::sin(lean);
}

// Unknowns: logarithms of s90 and m over those of `like`, and psi0 less its own.
struct Residuals {
  double r0_mm;
  const std::vector<ProfilePlace>& places;
  std::optional<double> to_button_mm;
  CrownShape like;

  int values() const { return static_cast<int>(places.size()) + (to_button_mm ? 4 : 3); }

  // Within the ranges of cap files.
  CrownShape shape(const Eigen::VectorXd& x) const {
    return {r0_mm, std::clamp(like.s90_mm * std::exp(x[0]), 40.0, 220.0),
            std::clamp(like.psi0_rad + x[2], -0.25, 1.0),
            std::clamp(like.m * std::exp(x[1]), 0.3, 20.0)};
  }

  int operator()(const Eigen::VectorXd& x, Eigen::VectorXd& out) const {
    const Profile profile(shape(x));
    int i = 0;
    for (const ProfilePlace& place : places)
      out[i++] = off_profile(profile, r0_mm, place) / kReadingSdMm;
    if (to_button_mm) out[i++] = (profile.to_button() - *to_button_mm) / kButtonSdMm;
    out[i++] = x[0] / kS90LogSd;
    out[i++] = x[1] / kMLogSd;
    out[i] = x[2] / kPsi0Sd;
    return 0;
  }

  // Central differences: steps far wider than the search along the profile is good to.
  int df(const Eigen::VectorXd& x, Eigen::MatrixXd& jacobian) const {
    constexpr double kStep = 0.01;
    Eigen::VectorXd at = x, above(values()), below(values());
    for (int j = 0; j < 3; ++j) {
      at[j] = x[j] + kStep, (*this)(at, above);
      at[j] = x[j] - kStep, (*this)(at, below);
      at[j] = x[j];
      jacobian.col(j) = (above - below) / (2 * kStep);
    }
    return 0;
  }
};

}  // namespace

CrownFit fit_crown(double r0_mm, const std::vector<ProfilePlace>& places,
                   std::optional<double> to_button_mm, const CrownShape& like) {
  BUCKRAM_ASSERT(places.size() >= 3);
  Residuals residuals{r0_mm, places, to_button_mm, like};
  Eigen::LevenbergMarquardt<Residuals> search(residuals);
  search.parameters.ftol = search.parameters.xtol = 1e-6;
  Eigen::VectorXd x = Eigen::VectorXd::Zero(3);
  const auto ended = search.minimize(x);
  CrownFit fit;
  fit.shape = residuals.shape(x);
  fit.has_settled = ended > 0 && ended != Eigen::LevenbergMarquardtSpace::TooManyFunctionEvaluation;
  const Profile profile(fit.shape);
  for (const ProfilePlace& place : places)
    fit.worst_mm = std::max(fit.worst_mm, std::abs(off_profile(profile, r0_mm, place)));
  return fit;
}

}  // namespace buckram::cap
