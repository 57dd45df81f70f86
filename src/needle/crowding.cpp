#include "needle/penetration.h"

#include <algorithm>
#include <cmath>

namespace buckram::needle {
namespace {

constexpr double kPieceMm = 0.5;
constexpr double kMostCells = 1e6;  // a plan metres wide gets coarser cells, not more memory
// Ten times the thread of the largest fronts: beyond a kilometre pieces get longer, not more.
constexpr double kMostPieces = 2e6;
// Ordinary plans leave at most a few dozen pieces in a cell. Beyond this many the rest of the
// cell's thread is kept as sums over a grid within it.
constexpr std::size_t kMostInCell = 256;
constexpr int kSubCells = 8;  // along each side
// tanh of more than this is 1 to the last bit: what lies beyond changes nothing.
constexpr double kSaturated = 22;

// Weighted points in square cells of the plan's own box: what the stitches so far have left.
class LaidThread {
 public:
  LaidThread(const geometry::Box& box, double radius_mm)
      : radius_(radius_mm),
        cell_(std::max(1.125 * radius_mm, std::sqrt(box.width() * box.height() / kMostCells))),
        origin_{box.x0, box.y0} {
    columns_ = static_cast<int>(box.width() / cell_) + 1;
    rows_ = static_cast<int>(box.height() / cell_) + 1;
    cells_.resize(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_));
  }

  // O(1): a cell holds at most kMostInCell pieces and kSubCells^2 sums.
  void add(geometry::Point p, double amount) {
    const int c = column(p.x), r = row(p.y);
    std::vector<Piece>& pieces = cells_[index(c, r)];
    if (pieces.size() < kMostInCell) {
      pieces.push_back({p, amount});
      return;
    }
    if (amount <= 0) return;
    constexpr auto kAll = kMostInCell + kSubCells * kSubCells;
    if (pieces.size() < kAll) pieces.resize(kAll);
    const geometry::Point within = (p - origin_) * (1 / cell_) - geometry::Point(c, r);
    const auto sub = [](double share) {
      return std::clamp(static_cast<int>(share * kSubCells), 0, kSubCells - 1);
    };
    const int k = sub(within.y) * kSubCells + sub(within.x);
    Piece& sum = pieces[kMostInCell + static_cast<std::size_t>(k)];
    sum.at = geometry::mix(p, sum.at, sum.amount / (sum.amount + amount));  // centre of weight
    sum.amount += amount;
  }

  // Sum of amounts within the radius; the rim from 7/8 to 9/8 of it fades linearly. Stops where
  // the sum passes `enough`.
  double around(geometry::Point p, double enough) const {
    const int c = column(p.x), r = row(p.y);
    double sum = 0;
    for (int j = std::max(0, r - 1); j <= std::min(rows_ - 1, r + 1); ++j) {
      for (int i = std::max(0, c - 1); i <= std::min(columns_ - 1, c + 1); ++i) {
        for (const Piece& piece : cells_[index(i, j)]) {
          sum += piece.amount * share(piece.at, p);
        }
        if (sum > enough) return sum;
      }
    }
    return sum;
  }

 private:
  struct Piece {
    geometry::Point at;
    double amount;
  };
  double share(geometry::Point a, geometry::Point b) const {
    const geometry::Point d = b - a;
    const double square = geometry::dot(d, d), outer = 1.125 * radius_, inner = 0.875 * radius_;
    if (square >= outer * outer) return 0;
    if (square <= inner * inner) return 1;
    return std::min(1.0, (outer - std::sqrt(square)) / (0.25 * radius_));
  }
  int column(double x) const {
    return std::clamp(static_cast<int>((x - origin_.x) / cell_), 0, columns_ - 1);
  }
  int row(double y) const {
    return std::clamp(static_cast<int>((y - origin_.y) / cell_), 0, rows_ - 1);
  }
  std::size_t index(int c, int r) const {
    return static_cast<std::size_t>(r) * static_cast<std::size_t>(columns_) +
           static_cast<std::size_t>(c);
  }

  double radius_, cell_;
  geometry::Point origin_;
  int columns_, rows_;
  std::vector<std::vector<Piece>> cells_;
};

void lay(LaidThread& laid, geometry::Point a, geometry::Point b, double width_mm, double piece_mm) {
  const double length = geometry::distance(a, b);
  const int n = std::max(1, static_cast<int>(std::ceil(length / piece_mm)));
  for (int k = 0; k < n; ++k) laid.add(geometry::mix(a, b, (k + 0.5) / n), width_mm * length / n);
}

std::vector<double> thread_widths(const stitch::Plan& plan, const Mechanics& m) {
  constexpr double kReferenceTex = 27;  // a size-40 thread; width goes with the root of its mass
  std::vector<double> widths;
  for (const auto& thread : plan.threads) {
    widths.push_back(m.thread_width_mm * std::sqrt(std::max(1.0, thread.tex) / kReferenceTex));
  }
  if (widths.empty()) widths.push_back(m.thread_width_mm);
  return widths;
}

double piece_length_mm(const stitch::Plan& plan) {
  double thread_mm = 0;
  for (int i = 1; i < plan.size(); ++i) {
    if (stitch::has_thread(plan, i)) thread_mm += geometry::distance(plan.at(i - 1), plan.at(i));
  }
  return std::max(kPieceMm, thread_mm / kMostPieces);
}

}  // namespace

std::vector<double> crowding(const stitch::Plan& plan, const Mechanics& m) {
  std::vector<double> layers(static_cast<std::size_t>(plan.size()), 0.0);
  geometry::Box box;
  for (int i = 0; i < plan.size(); ++i) box.add(plan.at(i));
  if (box.empty()) return layers;
  LaidThread laid(box, m.crowd_radius_mm);
  const double disc = base::kPi * m.crowd_radius_mm * m.crowd_radius_mm;
  const double enough = kSaturated * m.layers_limit * disc, piece_mm = piece_length_mm(plan);
  const std::vector<double> widths = thread_widths(plan, m);
  const std::vector<int> blocks = stitch::block_of_entries(plan);
  for (int i = 0; i < plan.size(); ++i) {
    const auto e = static_cast<std::size_t>(i);
    if (plan.op[e] != stitch::Op::sew) continue;
    const auto thread =
        static_cast<std::size_t>(plan.blocks[static_cast<std::size_t>(blocks[e])].thread);
    const double width = widths[std::min(thread, widths.size() - 1)];
    const geometry::Point at = plan.at(i);
    const double eta = laid.around(at, enough) / disc;
    layers[e] = m.layers_limit * std::tanh(eta / m.layers_limit);
    if (i > 0 && plan.op[e - 1] == stitch::Op::sew) lay(laid, plan.at(i - 1), at, width, piece_mm);
    laid.add(at, width * m.hole_thread_mm);
  }
  return layers;
}

}  // namespace buckram::needle
