#include "cap/small_matrix.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace buckram::cap {
namespace {

std::size_t at(int i, int j, int n) {
  return static_cast<std::size_t>(i * n + j);
}

void cholesky(std::vector<double>& a, int n) {
  for (int j = 0; j < n; ++j) {
    for (int i = j; i < n; ++i) {
      double sum = a[at(i, j, n)];
      for (int k = 0; k < j; ++k) sum -= a[at(i, k, n)] * a[at(j, k, n)];
      if (i == j) BUCKRAM_ASSERT(sum > 0);
      a[at(i, j, n)] = i == j ? std::sqrt(sum) : sum / a[at(j, j, n)];
    }
  }
}

// One Jacobi rotation that clears a(p, q).
void rotate(std::vector<double>& a, std::vector<double>& v, int p, int q, int n) {
  const double apq = a[at(p, q, n)];
  if (apq == 0) return;
  const double theta = (a[at(q, q, n)] - a[at(p, p, n)]) / (2 * apq);
  const double t = (theta >= 0 ? 1 : -1) / (std::abs(theta) + std::sqrt(theta * theta + 1));
  const double c = 1 / std::sqrt(t * t + 1), s = t * c;
  for (int k = 0; k < n; ++k) {
    const double kp = a[at(k, p, n)], kq = a[at(k, q, n)];
    a[at(k, p, n)] = c * kp - s * kq, a[at(k, q, n)] = s * kp + c * kq;
  }
  for (int k = 0; k < n; ++k) {
    const double pk = a[at(p, k, n)], qk = a[at(q, k, n)];
    a[at(p, k, n)] = c * pk - s * qk, a[at(q, k, n)] = s * pk + c * qk;
    const double vp = v[at(k, p, n)], vq = v[at(k, q, n)];
    v[at(k, p, n)] = c * vp - s * vq, v[at(k, q, n)] = s * vp + c * vq;
  }
}

double off_diagonal(const std::vector<double>& a, int n) {
  double sum = 0;
  for (int i = 0; i < n; ++i) {
    for (int j = 0; j < n; ++j) sum += i == j ? 0 : a[at(i, j, n)] * a[at(i, j, n)];
  }
  return sum;
}

}  // namespace

void invert_positive(std::vector<double>& a, int n) {
  cholesky(a, n);
  std::vector<double> inverse(a.size(), 0.0);
  for (int column = 0; column < n; ++column) {
    std::vector<double> x(static_cast<std::size_t>(n), 0.0);
    for (int i = 0; i < n; ++i) {
      double sum = i == column ? 1 : 0;
      for (int k = 0; k < i; ++k) sum -= a[at(i, k, n)] * x[static_cast<std::size_t>(k)];
      x[static_cast<std::size_t>(i)] = sum / a[at(i, i, n)];
    }
    for (int i = n - 1; i >= 0; --i) {
      double sum = x[static_cast<std::size_t>(i)];
      for (int k = i + 1; k < n; ++k) sum -= a[at(k, i, n)] * x[static_cast<std::size_t>(k)];
      x[static_cast<std::size_t>(i)] = sum / a[at(i, i, n)];
      inverse[at(i, column, n)] = x[static_cast<std::size_t>(i)];
    }
  }
  a = std::move(inverse);
}

Eigen symmetric_eigen(std::vector<double> a, int n) {
  std::vector<double> v(a.size(), 0.0);
  for (int i = 0; i < n; ++i) v[at(i, i, n)] = 1;
  double trace = 0;
  for (int i = 0; i < n; ++i) trace += std::abs(a[at(i, i, n)]);
  for (int sweep = 0; sweep < 30 && off_diagonal(a, n) > 1e-24 * trace * trace; ++sweep) {
    for (int p = 0; p < n; ++p) {
      for (int q = p + 1; q < n; ++q) rotate(a, v, p, q, n);
    }
  }
  std::vector<int> order(static_cast<std::size_t>(n));
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(),
                   [&](int i, int j) { return a[at(i, i, n)] > a[at(j, j, n)]; });
  Eigen result{std::vector<double>(static_cast<std::size_t>(n)), std::vector<double>(a.size())};
  for (int k = 0; k < n; ++k) {
    const int from = order[static_cast<std::size_t>(k)];
    result.values[static_cast<std::size_t>(k)] = a[at(from, from, n)];
    double sum = 0;
    for (int i = 0; i < n; ++i) sum += v[at(i, from, n)];
    for (int i = 0; i < n; ++i)
      result.vectors[at(i, k, n)] = sum < 0 ? -v[at(i, from, n)] : v[at(i, from, n)];
  }
  return result;
}

}  // namespace buckram::cap
