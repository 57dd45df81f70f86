#include "grid.h"

#include <algorithm>
#include <limits>

namespace quality {
namespace {

// Lower envelope of parabolas rooted at (q, f[q]); writes squared distances back into f.
void transform_line(std::vector<double>& f, std::vector<int>& v, std::vector<double>& z, int n,
                    std::vector<double>& out) {
  int k = 0;
  v[0] = 0;
  z[0] = -1e20;
  z[1] = 1e20;
  const auto meet = [&](int q, int p) {
    return ((f[q] + double(q) * q) - (f[p] + double(p) * p)) / (2.0 * q - 2.0 * p);
  };
  for (int q = 1; q < n; ++q) {
    double s = meet(q, v[k]);
    while (s <= z[k]) s = meet(q, v[--k]);
    v[++k] = q;
    z[k] = s;
    z[k + 1] = 1e20;
  }
  k = 0;
  for (int q = 0; q < n; ++q) {
    while (z[k + 1] < q) ++k;
    out[q] = double(q - v[k]) * (q - v[k]) + f[v[k]];
  }
  std::copy_n(out.begin(), n, f.begin());
}

}  // namespace

Frame frame_round(double x0, double y0, double x1, double y1, double margin, double pitch) {
  Frame frame;
  frame.pitch = pitch;
  double u0 = 1e18, v0 = 1e18, u1 = -1e18, v1 = -1e18;
  for (const double x : {x0 - margin, x1 + margin}) {
    for (const double y : {y0 - margin, y1 + margin}) {
      const double c = std::cos(kTurnRad), s = std::sin(kTurnRad);
      u0 = std::min(u0, c * x + s * y), u1 = std::max(u1, c * x + s * y);
      v0 = std::min(v0, -s * x + c * y), v1 = std::max(v1, -s * x + c * y);
    }
  }
  frame.x0 = u0, frame.y0 = v0;
  frame.width = static_cast<int>(std::ceil((u1 - u0) / pitch));
  frame.height = static_cast<int>(std::ceil((v1 - v0) / pitch));
  return frame;
}

std::vector<float> distance_to(const Mask& mask, const Frame& frame) {
  const int w = frame.width, h = frame.height, n = std::max(w, h);
  std::vector<double> grid(frame.size()), line(n), out(n), z(n + 1);
  std::vector<int> v(n);
  for (std::size_t i = 0; i < grid.size(); ++i) grid[i] = mask[i] != 0 ? 0 : 1e12;
  for (int x = 0; x < w; ++x) {
    for (int y = 0; y < h; ++y) line[y] = grid[std::size_t(y) * w + x];
    transform_line(line, v, z, h, out);
    for (int y = 0; y < h; ++y) grid[std::size_t(y) * w + x] = line[y];
  }
  std::vector<float> distance(frame.size());
  for (int y = 0; y < h; ++y) {
    std::copy_n(grid.begin() + std::ptrdiff_t(y) * w, w, line.begin());
    transform_line(line, v, z, w, out);
    for (int x = 0; x < w; ++x) {
      const double d = std::sqrt(line[x]) * frame.pitch;
      distance[std::size_t(y) * w + x] = d > 1e5 ? 1e9F : static_cast<float>(d);
    }
  }
  return distance;
}

std::vector<int> parts(const std::vector<int>& key, const Frame& frame, int& n_parts) {
  std::vector<int> label(key.size(), 0);
  std::vector<std::size_t> stack;
  n_parts = 0;
  const std::size_t w = static_cast<std::size_t>(frame.width);
  for (std::size_t start = 0; start < key.size(); ++start) {
    if (key[start] == 0 || label[start] != 0) continue;
    label[start] = ++n_parts;
    stack.push_back(start);
    while (!stack.empty()) {
      const std::size_t at = stack.back();
      stack.pop_back();
      const std::size_t x = at % w;
      const auto visit = [&](std::size_t next) {
        if (key[next] == key[at] && label[next] == 0) {
          label[next] = n_parts;
          stack.push_back(next);
        }
      };
      if (x > 0) visit(at - 1);
      if (x + 1 < w) visit(at + 1);
      if (at >= w) visit(at - w);
      if (at + w < key.size()) visit(at + w);
    }
  }
  return label;
}

}  // namespace quality
