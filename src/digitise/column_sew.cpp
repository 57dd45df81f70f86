#include "digitise/column.h"
#include "digitise/column_under.h"
#include "digitise/lock.h"
#include "digitise/stay_inside.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polyline;

constexpr int kRingPlaces = 8;
constexpr double kLeastStitchMm = 0.25;

// Tags of an open column's ways, to be added.
constexpr int kBackwards = 1;  // from the last rung to the first
constexpr int kReturns = 2;  // in where the top layer ends: under-stitching runs ahead to its start

bool goes_backwards(int tag) {
  return (tag & kBackwards) != 0;
}

bool returns(const Column& column, int tag) {
  return !column.closed && (tag & kReturns) != 0;
}

Point needle_down(const std::vector<Rung>& rungs, std::size_t i) {
  return i % 2 == 0 ? rungs[i].left : rungs[i].right;
}

// The rungs in the order of sewing, each with its end that the needle uses on its left: even and
// odd swap meaning when an open column of even count is turned round.
struct Sequence {
  std::vector<Rung> rungs;
  Polyline downs;
};

// Without those nearer than kLeastStitchMm to the one before, as at the tip of a point.
Polyline spaced(const Polyline& downs) {
  Polyline kept;
  for (const Point& p : downs) {
    if (kept.empty() || geometry::distance(kept.back(), p) >= kLeastStitchMm) kept.push_back(p);
  }
  return kept;
}

Sequence sequence_of(const Column& column, int tag) {
  Sequence s;
  const std::size_t n = column.rungs.size();
  const auto add = [&](std::size_t i) {
    s.rungs.push_back(column.rungs[i]);
    s.downs.push_back(needle_down(column.rungs, i));
  };
  if (!column.closed) {
    const bool back = goes_backwards(tag);
    // The needle's rail changes sides with the direction, so that either way leans alike.
    for (std::size_t k = 0; k < n; ++k) {
      const std::size_t i = back ? n - 1 - k : k;
      const Rung& rung = column.rungs[i];
      s.rungs.push_back(rung);
      if (k % 2 == 1) continue;
      s.downs.push_back(back ? rung.left : rung.right);
      s.downs.push_back(back ? rung.right : rung.left);
    }
    s.downs = spaced(s.downs);
    return s;
  }
  for (std::size_t k = 0; k < n; ++k) add((static_cast<std::size_t>(tag) + k) % n);
  // Overlap by two rungs, between the first ones: no hole is used twice.
  for (std::size_t k = 0; k < 2; ++k) {
    const Rung& a = column.rungs[(static_cast<std::size_t>(tag) + k) % n];
    const Rung& b = column.rungs[(static_cast<std::size_t>(tag) + k + 1) % n];
    const Rung half{geometry::mix(a.left, b.left, 0.5), geometry::mix(a.right, b.right, 0.5)};
    s.rungs.push_back(half);
    s.downs.push_back((n + k + static_cast<std::size_t>(tag)) % 2 == 0 ? half.left : half.right);
  }
  s.downs = spaced(s.downs);
  return s;
}

// Splits of a long stitch stand in a brick pattern: from row to row they shift by a third.
void append_split(Polyline& out, Point to, std::size_t row, const Recipe& recipe) {
  const Point from = out.back();
  const double length = geometry::distance(from, to);
  if (length > recipe.longest_mm) {
    const int n = static_cast<int>(std::ceil(length / (0.75 * recipe.longest_mm)));
    const double shift = (static_cast<double>(row % 3) - 1) * 0.2;
    for (int k = 1; k < n; ++k) out.push_back(geometry::mix(from, to, (k + shift) / n));
  }
  out.push_back(to);
}

Polyline top_points(const Polyline& downs, const Recipe& recipe) {
  Polyline out{downs.front()};
  for (std::size_t i = 1; i < downs.size(); ++i) append_split(out, downs[i], i, recipe);
  return out;
}

// The recipe's kind, else the usual for the width, or the next simpler one that stays on the cloth
// together with the stitch from it to the top layer. A way that returns needs at least a run along
// the middle: without any under-stitching there is no such way.
Polyline under_for(const Sequence& s, const Column& column, int tag, const stitch::Within& cloth,
                   const Recipe& recipe) {
  const bool is_through = returns(column, tag);
  const std::vector<Rung> ahead =
      is_through ? std::vector<Rung>(s.rungs.rbegin(), s.rungs.rend()) : s.rungs;
  const int usual =
      static_cast<int>(recipe.under.value_or(under_kind(column.width_mm, recipe.style)));
  if (usual == 0 && recipe.under) return {};
  for (int kind = std::max(usual, is_through ? 1 : 0); kind > 0; --kind) {
    const auto k = static_cast<UnderKind>(kind);
    Polyline under = is_through ? through_points(ahead, k, recipe)
                                : under_points(ahead, column.closed, k, recipe);
    while (!under.empty() &&
           geometry::distance(under.back(), s.downs.front()) < recipe.shortest_mm) {
      under.pop_back();
    }
    if (under.size() < (is_through ? 1 : 2)) continue;
    Polyline with_joint = under;
    with_joint.push_back(s.downs.front());
    if (stays_inside(with_joint, cloth)) return under;
  }
  return {};
}

// The last lock lies along the last thread, where it does not show: a way in, a way further in or
// half back, and out to the last hole.
Polyline lock_along_thread(const Polyline& downs) {
  const Point end = downs.back(), before = downs[downs.size() - 2];
  const double width = geometry::distance(end, before);
  const Point in = geometry::unit(before - end);
  if (width >= 1.8) return {end, end + in * 0.8, end + in * 1.6, end};
  if (width >= 0.95) {
    const double step = std::min(0.8, width - 0.2);
    return {end, end + in * step, end + in * (step / 2), end};
  }
  // Narrow: back along the last two threads, beside their holes.
  if (downs.size() < 3) return {};
  return {end, geometry::mix(end, before, 0.8), geometry::mix(before, downs[downs.size() - 3], 0.5),
          end};
}

bool is_sewable(const Polyline& lock) {
  if (lock.empty()) return false;
  for (std::size_t i = 1; i < lock.size(); ++i)
    if (geometry::distance(lock[i - 1], lock[i]) < kLeastStitchMm + 0.01) return false;
  return true;
}

// A lock at `at`, an end of the column: towards the middle of the column a little further in, by
// the first of several aims that keeps it on the cloth.
Polyline lock_inside(const Sequence& s, Point at, bool from_start,
                     const geometry::Polygons& outline, const stitch::Within& cloth,
                     const Recipe& recipe) {
  const std::size_t last = s.rungs.size() - 1;
  Polyline first;
  for (const std::size_t aim : {5u, 3u, 8u, 1u, 12u}) {
    const std::size_t k = std::min(last, aim);
    const Rung& rung = s.rungs[from_start ? k : last - k];
    const Point along = geometry::unit(geometry::mix(rung.left, rung.right, 0.5) - at);
    Polyline lock = lock_points(at, along, recipe.lock_mm, outline);
    if (!lock.empty() && stays_inside(lock, cloth)) return lock;
    // Where no triangle has room: out and back along the line.
    Polyline line{at, at + along * 0.7, at + along * 0.35, at};
    if (stays_inside(line, cloth)) first = line;
    if (first.empty()) first = std::move(lock);
  }
  return first;
}

}  // namespace

std::vector<Way> column_ways(const Column& column, const geometry::Polygons& outline,
                             const Recipe& recipe) {
  const stitch::Within cloth = allowed_cloth(outline, recipe);
  std::vector<Way> ways;
  const int n = static_cast<int>(column.rungs.size());
  const auto add = [&](int tag) {
    const Sequence s = sequence_of(column, tag);
    const Polyline under = under_for(s, column, tag, cloth, recipe);
    if (under.empty() && returns(column, tag)) return;
    ways.push_back({under.empty() ? s.downs.front() : under.front(), s.downs.back(), tag});
    // A way more is offered only where it is as clean as need be.
    if (returns(column, tag) &&
        !stays_inside(sew_column(column, outline, ways.back(), recipe, {true, true}), cloth)) {
      ways.pop_back();
    }
  };
  if (!column.closed) {
    for (const int tag : {0, kBackwards, kReturns, kReturns + kBackwards}) add(tag);
    return ways;
  }
  for (int k = 0; k < std::min(n, kRingPlaces); ++k) add(k * n / std::min(n, kRingPlaces));
  return ways;
}

std::vector<Piece> sew_column(const Column& column, const geometry::Polygons& outline,
                              const Way& way, const Recipe& recipe, const Ties& ties) {
  const Sequence s = sequence_of(column, way.tag);
  const stitch::Within cloth = allowed_cloth(outline, recipe);
  std::vector<Piece> pieces;
  Polyline under = under_for(s, column, way.tag, cloth, recipe);
  Polyline top = top_points(s.downs, recipe);
  if (ties.in) {
    Polyline lock = lock_inside(s, way.entry, !returns(column, way.tag), outline, cloth, recipe);
    if (!lock.empty()) {
      pieces.push_back({stitch::Layer::lock, std::move(lock)});
      Polyline& first = under.empty() ? top : under;
      first.erase(first.begin());
    }
  }
  if (!under.empty()) {
    pieces.push_back({stitch::Layer::under, std::move(under)});
  }
  const Point end = top.back();
  pieces.push_back({stitch::Layer::top, std::move(top)});
  if (ties.out) {
    Polyline lock = lock_along_thread(s.downs);
    if (!is_sewable(lock) || !stays_inside(lock, cloth))
      lock = lock_inside(s, end, false, outline, cloth, recipe);
    if (!lock.empty()) {
      lock.erase(lock.begin());
      pieces.push_back({stitch::Layer::lock, std::move(lock)});
    }
  }
  return pieces;
}

}  // namespace buckram::digitise
