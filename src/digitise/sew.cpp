#include "digitise/column.h"
#include "digitise/fill.h"
#include "digitise/run.h"
#include "digitise/stay_inside.h"

namespace buckram::digitise {
namespace {

template <class... F>
struct Each : F... {
  using F::operator()...;
};

bool may_be_thinned(const Piece& piece) {
  return piece.layer == stitch::Layer::under || piece.layer == stitch::Layer::travel;
}

// Under-stitching and travel are seen by nobody: where their holes come nearer to the one before
// or to the first of the top layer than the shortest stitch, they are left out.
void thin_under(std::vector<Piece>& pieces, double shortest_mm) {
  const geometry::Point* before = nullptr;
  bool is_first = true;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    geometry::Polyline kept;
    for (const geometry::Point& p : pieces[k].points) {
      const bool near = before != nullptr && geometry::distance(*before, p) < shortest_mm;
      if (may_be_thinned(pieces[k]) && near && !is_first) continue;
      kept.push_back(p);
      before = &p;
      is_first = false;
    }
    // The holes just before the top layer give way to it.
    const bool top_follows = k + 1 < pieces.size() && !pieces[k + 1].points.empty() &&
                             pieces[k + 1].layer == stitch::Layer::top;
    if (top_follows && may_be_thinned(pieces[k])) {
      const geometry::Point first = pieces[k + 1].points.front();
      const std::size_t least = k == 0 ? 1 : 0;
      while (kept.size() > least && geometry::distance(kept.back(), first) < shortest_mm) {
        kept.pop_back();
      }
    }
    pieces[k].points = std::move(kept);
    if (!pieces[k].points.empty()) before = &pieces[k].points.back();
  }
  std::erase_if(pieces, [](const Piece& piece) { return piece.points.empty(); });
}

// Where a stitch of a fill or run would still lie past the outline, both its ends are drawn back
// along their own rows until it does not: a notch narrower than a row stays open.
void draw_back(geometry::Polyline& points, const stitch::Within& cloth) {
  constexpr double kStepMm = 0.15, kMostMm = 1.8;
  for (std::size_t i = 1; i + 1 < points.size(); ++i) {
    if (cloth.contains(points[i - 1], points[i])) continue;
    const geometry::Point p = points[i - 1], q = points[i];
    const geometry::Point back = i >= 2 ? geometry::unit(points[i - 2] - p) : geometry::Point{};
    const geometry::Point on = geometry::unit(points[i + 1] - q);
    for (double mm = kStepMm; mm <= kMostMm; mm += kStepMm) {
      const geometry::Point p2 = p + back * mm, q2 = q + on * mm;
      if (!cloth.contains(p2, q2)) continue;
      if (i >= 2) points[i - 1] = p2;
      points[i] = q2;
      break;
    }
  }
}

// A thread that is cut must be locked: where no lock fits, to and fro over its own last stitch.
void lock_end(std::vector<Piece>& pieces) {
  constexpr double kStepMm = 0.4;
  if (pieces.back().layer == stitch::Layer::lock) return;
  const geometry::Polyline& last = pieces.back().points;
  const geometry::Point end = last.back();
  geometry::Point before = end;
  for (auto piece = pieces.rbegin(); piece != pieces.rend() && before == end; ++piece) {
    for (auto p = piece->points.rbegin(); p != piece->points.rend() && before == end; ++p) {
      before = *p;
    }
  }
  const geometry::Point d = geometry::unit(before - end);
  pieces.push_back({stitch::Layer::lock, {end + d * kStepMm, end + d * (2 * kStepMm), end}});
}

void lock_start(std::vector<Piece>& pieces) {
  constexpr double kStepMm = 0.4;
  if (pieces.front().layer == stitch::Layer::lock) return;
  const geometry::Point start = pieces.front().points.front();
  geometry::Point next = start;
  for (const Piece& piece : pieces) {
    for (const geometry::Point& p : piece.points) {
      if (next == start) next = p;
    }
  }
  const geometry::Point d = geometry::unit(next - start);
  pieces.front().points.erase(pieces.front().points.begin());
  std::erase_if(pieces, [](const Piece& piece) { return piece.points.empty(); });
  pieces.insert(pieces.begin(), {stitch::Layer::lock,
                                 {start, start + d * kStepMm, start + d * (2 * kStepMm), start}});
}

std::vector<Piece> sewn_as_shaped(const Object& object, const Way& way, const Recipe& recipe,
                                  const Ties& ties) {
  return std::visit(
      Each{[&](const Column& c) { return sew_column(c, object.outline, way, recipe, ties); },
           [&](const Fill& f) { return sew_fill(f, object.outline, way, recipe, ties); },
           [&](const Run& r) { return sew_run(r, object.outline, way, recipe, ties); }},
      object.shape);
}

}  // namespace

stitch::Kind kind(const Object& object) {
  return std::visit(Each{[](const Column&) { return stitch::Kind::column; },
                         [](const Fill&) { return stitch::Kind::fill; },
                         [](const Run&) { return stitch::Kind::run; }},
                    object.shape);
}

std::vector<Piece> sew(const Object& object, const Way& way, const Recipe& recipe,
                       const Ties& ties) {
  std::vector<Piece> pieces = sewn_as_shaped(object, way, recipe, ties);
  thin_under(pieces, recipe.shortest_mm);
  if (kind(object) != stitch::Kind::column) {
    const stitch::Within cloth = allowed_cloth(object.outline, recipe);
    for (Piece& piece : pieces) {
      if (piece.layer == stitch::Layer::top) draw_back(piece.points, cloth);
    }
  }
  if (ties.out) lock_end(pieces);
  if (ties.in) lock_start(pieces);
  return pieces;
}

}  // namespace buckram::digitise
