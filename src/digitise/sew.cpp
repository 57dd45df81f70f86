#include "digitise/column.h"
#include "digitise/fill.h"
#include "digitise/run.h"

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
  return pieces;
}

}  // namespace buckram::digitise
