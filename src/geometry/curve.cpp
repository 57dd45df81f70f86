#include "geometry/curve.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace buckram::geometry {

namespace {

Polyline without_repeats(Polyline points, bool closed) {
  points.erase(std::unique(points.begin(), points.end()), points.end());
  while (closed && points.size() > 1 && points.front() == points.back()) points.pop_back();
  return points;
}

}  // namespace

ArcLength::ArcLength(Polyline points, bool closed)
    : points_(without_repeats(std::move(points), closed)), closed_(closed) {
  if (points_.empty()) return;
  const std::size_t n = points_.size();
  s_.reserve(n + 1);
  s_.push_back(0);
  for (std::size_t i = 1; i < n; ++i) {
    s_.push_back(s_.back() + distance(points_[i - 1], points_[i]));
  }
  if (closed_) s_.push_back(s_.back() + distance(points_.back(), points_.front()));
}

double ArcLength::length() const {
  return s_.empty() ? 0 : s_.back();
}
bool ArcLength::closed() const {
  return closed_;
}
const Polyline& ArcLength::points() const {
  return points_;
}

std::size_t ArcLength::segment_at(double& s) const {
  const double total = length();
  if (closed_ && total > 0) {
    s = std::fmod(s, total);
    if (s < 0) s += total;
  }
  s = std::clamp(s, 0.0, total);
  const auto above = std::upper_bound(s_.begin(), s_.end(), s);
  const auto i = static_cast<std::size_t>(above - s_.begin());
  return std::min(i, s_.size() - 1) - 1;
}

Point ArcLength::at(double s) const {
  if (points_.empty()) return {};
  if (s_.size() < 2 || !std::isfinite(s)) return points_.front();
  const std::size_t i = segment_at(s);
  const Point a = points_[i], b = points_[(i + 1) % points_.size()];
  const double piece = s_[i + 1] - s_[i];
  return piece > 0 ? mix(a, b, (s - s_[i]) / piece) : a;
}

Point ArcLength::direction(double s) const {
  if (s_.size() < 2 || points_.size() < 2 || !std::isfinite(s)) return {1, 0};
  const std::size_t i = segment_at(s);
  return unit(points_[(i + 1) % points_.size()] - points_[i]);
}

double ArcLength::nearest(Point p) const {
  double best_s = 0, best = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i + 1 < s_.size(); ++i) {
    const Point a = points_[i], d = points_[(i + 1) % points_.size()] - a;
    const double dd = dot(d, d);
    const double t = dd > 0 ? std::clamp(dot(p - a, d) / dd, 0.0, 1.0) : 0;
    const double far = distance(p, a + d * t);
    if (far < best) best = far, best_s = s_[i] + t * (s_[i + 1] - s_[i]);
  }
  return best_s;
}

Polyline resample_n(const Polyline& line, int n_points, bool closed) {
  const ArcLength arc(line, closed);
  Polyline out;
  if (n_points < 1 || arc.points().empty()) return out;
  const int n_steps = closed ? n_points : n_points - 1;
  out.reserve(static_cast<std::size_t>(n_points));
  for (int i = 0; i < n_points; ++i) {
    out.push_back(n_steps > 0 ? arc.at(arc.length() * i / n_steps) : arc.points().front());
  }
  if (!closed && n_points > 1) out.back() = arc.points().back();
  return out;
}

Polyline resample(const Polyline& line, double step_mm, bool closed) {
  BUCKRAM_ASSERT(step_mm > 0);
  const double length_mm = ArcLength(line, closed).length();
  constexpr double kMostSteps = 10'000'000;
  const double n = std::clamp(std::ceil(length_mm / step_mm - 1e-9), 1.0, kMostSteps);
  if (!(length_mm > 0)) return line.empty() ? Polyline{} : Polyline{line.front()};
  return resample_n(line, static_cast<int>(n) + (closed ? 0 : 1), closed);
}

namespace {

// Weights of a Gaussian of four samples to the sigma, out to three sigma; they add up to 1.
std::vector<double> gaussian_weights(int reach, double sigma_steps) {
  std::vector<double> weight;
  double sum = 0;
  for (int k = -reach; k <= reach; ++k) {
    weight.push_back(std::exp(-0.5 * k * k / (sigma_steps * sigma_steps)));
    sum += weight.back();
  }
  for (double& w : weight) w /= sum;
  return weight;
}

// The sample i of a line that goes on beyond its ends: round again when closed, as its own
// reflection in the end point when open, which keeps the end point in place.
Point beyond_ends(const Polyline& line, int i, bool closed) {
  const int n = static_cast<int>(line.size());
  if (closed) return line[static_cast<std::size_t>(((i % n) + n) % n)];
  if (i < 0) {
    return line.front() * 2 - line[static_cast<std::size_t>(std::min(-i, n - 1))];
  }
  if (i >= n) {
    return line.back() * 2 - line[static_cast<std::size_t>(std::max(2 * (n - 1) - i, 0))];
  }
  return line[static_cast<std::size_t>(i)];
}

}  // namespace

Polyline smoothed(const Polyline& line, double sigma_mm, bool closed) {
  const double length_mm = ArcLength(line, closed).length();
  if (!(sigma_mm > 0) || !(length_mm > 0)) return line;
  constexpr int kReach = 12;
  const Polyline even = resample(line, sigma_mm / 4, closed);
  const int n_steps = static_cast<int>(even.size()) - (closed ? 0 : 1);
  const double step_mm = length_mm / std::max(1, n_steps);
  const std::vector<double> weight = gaussian_weights(kReach, sigma_mm / step_mm);
  Polyline out;
  out.reserve(even.size());
  for (int i = 0; i < static_cast<int>(even.size()); ++i) {
    Point sum;
    for (int k = -kReach; k <= kReach; ++k) {
      sum = sum + beyond_ends(even, i + k, closed) * weight[static_cast<std::size_t>(k + kReach)];
    }
    out.push_back(sum);
  }
  if (!closed) out.front() = even.front(), out.back() = even.back();  // to the last bit
  return out;
}

}  // namespace buckram::geometry
