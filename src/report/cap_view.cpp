#include "report/cap_view.h"

#include "report/told.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::report {

Vec3 cross(Vec3 a, Vec3 b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

Vec3 unit(Vec3 a) {
  const double n = std::sqrt(dot(a, a));
  return n > 0 ? a * (1 / n) : a;
}

double head_ratio() {
  return kLongerThanWide;
}

HeadEllipse::HeadEllipse() {
  // Lengths along the ellipse with half axes 1 and kLongerThanWide, by Simpson's rule on each step.
  constexpr int kFine = 720, kSteps = 360;
  const auto speed = [](double t) {
    return std::hypot(std::cos(t), kLongerThanWide * std::sin(t));
  };
  const double step = base::kPi / kFine;
  std::vector<double> length{0};
  for (int k = 0; k < kFine; ++k) {
    const double t = k * step;
    length.push_back(length.back() +
                     step / 6 * (speed(t) + 4 * speed(t + step / 2) + speed(t + step)));
  }
  across_ = base::kPi / length.back();
  along_ = across_ * kLongerThanWide;
  std::size_t at = 0;
  for (int k = 0; k <= kSteps; ++k) {
    const double wanted = length.back() * k / kSteps;
    while (at + 2 < length.size() && length[at + 1] < wanted) ++at;
    const double share = (wanted - length[at]) / (length[at + 1] - length[at]);
    parameter_.push_back((static_cast<double>(at) + share) * step);
  }
}

double HeadEllipse::parameter(double a) const {
  const double size = std::abs(a), side = a < 0 ? -1 : 1;
  if (size >= base::kPi) return a;
  const double place = size / base::kPi * static_cast<double>(parameter_.size() - 1);
  const auto k = std::min(static_cast<std::size_t>(place), parameter_.size() - 2);
  const double share = place - static_cast<double>(k);
  return side * (parameter_[k] + share * (parameter_[k + 1] - parameter_[k]));
}

CapView::CapView(const cap::Setup& setup, double yaw_rad, double pitch_rad)
    : profile_(setup.cap.crown),
      cos_yaw_(std::cos(yaw_rad)),
      sin_yaw_(std::sin(yaw_rad)),
      cos_pitch_(std::cos(pitch_rad)),
      sin_pitch_(std::sin(pitch_rad)),
      top_(profile_.to_button()) {}

CapView CapView::laid_flat(const cap::Setup& setup) {
  CapView view(setup, 0, 0);
  view.is_flat_ = true;
  return view;
}

Vec3 CapView::crown(double a, double y, double lift_mm) const {
  const double r = profile_.radius(y);
  if (is_flat_) return {a * r, -lift_mm, y};
  const double lean = profile_.lean(y);
  const double out = r + lift_mm * std::cos(lean), t = head_.parameter(a);
  return {head_.across() * out * std::sin(t), -head_.along() * out * std::cos(t),
          profile_.height(y) + lift_mm * std::sin(lean)};
}

Vec3 CapView::on_chart(geometry::Point chart, double lift_mm) const {
  const double r = std::max(1.0, profile_.radius(chart.y));
  return crown(chart.x / r, chart.y, lift_mm);
}

Vec3 CapView::normal(double a, double y) const {
  if (is_flat_) return {0, -1, 0};
  const double lean = profile_.lean(y);
  // Of the ellipsoid-like surface: the circle's normal with its parts divided by the factors.
  const double t = head_.parameter(a);
  return unit({std::sin(t) * std::cos(lean) / head_.across(),
               -std::cos(t) * std::cos(lean) / head_.along(), std::sin(lean)});
}

geometry::Point CapView::seen(Vec3 p) const {
  if (is_flat_) return {p.x, -p.z};
  const double x = p.x * cos_yaw_ - p.y * sin_yaw_;
  const double away = p.x * sin_yaw_ + p.y * cos_yaw_;
  return {x, -(p.z * cos_pitch_ + away * sin_pitch_)};
}

double CapView::towards(Vec3 p) const {
  return in_view(p).z;
}

Vec3 CapView::in_view(Vec3 d) const {
  const double x = d.x * cos_yaw_ - d.y * sin_yaw_;
  const double away = d.x * sin_yaw_ + d.y * cos_yaw_;
  return {x, d.z * cos_pitch_ + away * sin_pitch_, -away * cos_pitch_ + d.z * sin_pitch_};
}

Vec3 CapView::bill(double t, double out) const {
  constexpr BillShape kBill;
  const Vec3 seam = crown(t * kBill.half_rad, 0);
  const double tongue = kBill.long_mm * std::pow(std::cos(t * base::kPi / 2), 0.62) * out;
  const double flat = 1 - std::pow(std::abs(t), 5);  // the corners stay at the seam
  const double x = seam.x * (1 - 0.06 * out * std::abs(t));
  return {x, seam.y - tongue, seam.z + (-kBill.curve_per_mm * x * x - kBill.drop_mm) * out * flat};
}

geometry::Ring CapView::silhouette() const {
  std::vector<geometry::Point> points;
  for (int j = 0; j <= 90; ++j)
    for (int i = 0; i <= 120; ++i)
      points.push_back(seen(crown(base::kPi * (i / 60.0 - 1), top_ * j / 90)));
  return convex_hull(std::move(points));
}

geometry::Ring convex_hull(std::vector<geometry::Point> points) {
  std::sort(points.begin(), points.end(), [](geometry::Point a, geometry::Point b) {
    return a.x != b.x ? a.x < b.x : a.y < b.y;
  });
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  geometry::Ring hull;
  const auto add = [&](geometry::Point p, std::size_t base) {
    while (hull.size() > base + 1 &&
           geometry::cross(hull.back() - hull[hull.size() - 2], p - hull.back()) <= 0)
      hull.pop_back();
    hull.push_back(p);
  };
  for (const geometry::Point p : points) add(p, 0);
  const std::size_t lower = hull.size() - 1;
  for (auto p = points.rbegin() + 1; p != points.rend(); ++p) add(*p, lower);
  hull.pop_back();
  return hull;
}

namespace {

// Panels all round, a one-piece front counted as the two that it replaces.
int places_round(const cap::Cap& cap) {
  return std::clamp(cap.panels, 4, 8) + (cap.has_seam ? 0 : 1);
}

}  // namespace

std::vector<double> seam_angles(const cap::Cap& cap) {
  const int n = places_round(cap);
  std::vector<double> angles;
  for (int k = cap.has_seam ? 0 : 1; k < n; ++k) angles.push_back(2 * base::kPi * k / n);
  return angles;
}

std::vector<double> eyelet_angles(const cap::Cap& cap, const cap::Profile& profile) {
  const int n = places_round(cap);
  std::vector<double> angles;
  for (const cap::Eyelet& each : cap.eyelets) {
    angles.push_back(each.at.x / profile.radius(each.at.y));
  }
  for (int k = 0; k < n; ++k) {
    const bool is_in_front = k == 0 || k == n - 1;
    if (is_in_front && (!cap.has_seam || !cap.eyelets.empty())) continue;
    angles.push_back(2 * base::kPi * (k + 0.5) / n);
  }
  return angles;
}

double eyelet_arc_mm(const cap::Cap& cap) {
  constexpr double kUsual_mm = 92;
  return cap.eyelets.empty() ? kUsual_mm : cap.eyelets[0].at.y;
}

}  // namespace buckram::report
