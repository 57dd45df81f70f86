#include "digitise/spread.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace buckram::digitise {
namespace {

using geometry::Point;
using stitch::Layer;

constexpr double kClearMm = 0.26;     // nearer holes cut the cloth, with a little for rounding
constexpr double kCoverMm = 0.35;     // a hole moved aside keeps so far from the edge of the cloth
constexpr double kBowMm = 0.3;        // a hole further from the chord past it is not left out
constexpr double kStraightMm = 0.02;  // ... in a row, where the chord is seen
constexpr double kMostSlideMm = 0.3;

struct Hole {
  std::size_t piece;
  Point at;
};

bool is_hidden(const std::vector<Piece>& pieces, const Hole& hole) {
  const Layer layer = pieces[hole.piece].layer;
  return layer == Layer::under || layer == Layer::travel;
}

class Spreader {
 public:
  Spreader(const stitch::Within& cloth, const Recipe& recipe)
      : cloth_(cloth), recipe_(recipe), taken_(2 * kClearMm) {}

  bool is_clear(Point p) const { return taken_.count_near(p, kClearMm) == 0; }
  void take(Point p) { taken_.add(p, 0); }

  // Another place for p between a and b; whether there is one.
  bool move(Point a, Point b, Point& p) const {
    const Point on = geometry::unit(b - p), back = geometry::unit(a - p);
    for (const double mm : std::array{0.28, 0.56}) {
      for (const Point way : std::array{on, back}) {
        if (fits(a, b, p + way * mm)) return p = p + way * mm, true;
      }
    }
    const Point across = geometry::left_of(geometry::unit(b - a));
    for (const double mm : std::array{0.28, -0.28}) {
      const Point aside = p + across * mm;
      const Point cover = aside + across * (mm > 0 ? kCoverMm : -kCoverMm);
      if (fits(a, b, aside) && cloth_.contains(aside, cover)) return p = aside, true;
    }
    return false;
  }

  // The nearest such place along the thread, in a row.
  bool slide(Point a, Point b, Point& p) const {
    const Point on = geometry::unit(b - p), back = geometry::unit(a - p);
    for (double mm = 0.05; mm <= kMostSlideMm; mm += 0.05) {
      for (const auto& [way, to] : std::array{std::pair{on, b}, std::pair{back, a}}) {
        const Point at = p + way * mm;
        if (geometry::distance(at, to) < recipe_.shortest_mm || !is_clear(at)) continue;
        if (!keeps_lengths(a, b, p, at)) continue;
        if (cloth_.contains(a, at) && cloth_.contains(at, b)) return p = at, true;
      }
    }
    return false;
  }

  bool may_go(Point a, Point b, Point p, double bow_mm, double longest_mm) const {
    const Point along = geometry::unit(b - a);
    return geometry::dot(p - a, b - p) > 0 && geometry::distance(a, b) <= longest_mm &&
           geometry::distance(a, b) >= recipe_.shortest_mm &&
           std::abs(geometry::cross(along, p - a)) <= bow_mm && cloth_.contains(a, b);
  }

 private:
  // No stitch under the shortest becomes shorter, none that was not falls under it, none is longer.
  bool keeps_lengths(Point a, Point b, Point old_p, Point p) const {
    const auto keeps = [&](double was, double is) {
      return is >= std::min(was, recipe_.shortest_mm) - 1e-9 && is <= recipe_.longest_mm;
    };
    return keeps(geometry::distance(a, old_p), geometry::distance(a, p)) &&
           keeps(geometry::distance(old_p, b), geometry::distance(p, b));
  }
  bool fits(Point a, Point b, Point p) const {
    const double before = geometry::distance(a, p), after = geometry::distance(p, b);
    return std::min(before, after) >= recipe_.shortest_mm &&
           std::max(before, after) <= recipe_.longest_mm && is_clear(p) && cloth_.contains(a, p) &&
           cloth_.contains(p, b);
  }

  const stitch::Within& cloth_;
  const Recipe& recipe_;
  geometry::PointGrid taken_;
};

}  // namespace

void spread_hidden(std::vector<Piece>& pieces, const stitch::Within& cloth, const Recipe& recipe) {
  std::vector<Hole> all, kept;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    for (const Point p : pieces[k].points) all.push_back({k, p});
  }
  Spreader spreader(cloth, recipe);
  for (std::size_t i = 0; i < all.size(); ++i) {
    Hole hole = all[i];
    if (is_hidden(pieces, hole)) {
      const bool is_between = !kept.empty() && i + 1 < all.size();
      if (is_between && !spreader.is_clear(hole.at)) {
        const Point a = kept.back().at, b = all[i + 1].at;
        if (!spreader.move(a, b, hole.at) &&
            spreader.may_go(a, b, hole.at, kBowMm, recipe.longest_mm))
          continue;
      }
      spreader.take(hole.at);
    }
    kept.push_back(hole);
  }
  for (Piece& piece : pieces) piece.points.clear();
  for (const Hole& hole : kept) pieces[hole.piece].points.push_back(hole.at);
  std::erase_if(pieces, [](const Piece& piece) { return piece.points.empty(); });
}

void spread_rows(std::vector<Piece>& pieces, const stitch::Within& cloth, const Recipe& recipe) {
  Spreader spreader(cloth, recipe);
  for (Piece& piece : pieces) {
    if (piece.layer != Layer::top) continue;
    geometry::Polyline kept;
    for (std::size_t i = 0; i < piece.points.size(); ++i) {
      Point p = piece.points[i];
      const bool is_between = !kept.empty() && i + 1 < piece.points.size();
      if (is_between && !spreader.is_clear(p)) {
        const Point a = kept.back(), b = piece.points[i + 1];
        if (!spreader.slide(a, b, p) &&
            spreader.may_go(a, b, p, kStraightMm, recipe.fill_stitch_mm))
          continue;
      }
      spreader.take(p);
      kept.push_back(p);
    }
    piece.points = std::move(kept);
  }
}

}  // namespace buckram::digitise
