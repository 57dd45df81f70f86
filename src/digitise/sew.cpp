#include "digitise/column.h"
#include "digitise/fill.h"
#include "digitise/keep_limits.h"
#include "digitise/run.h"
#include "digitise/ways.h"

namespace buckram::digitise {
namespace {

template <class... F>
struct Each : F... {
  using F::operator()...;
};

}  // namespace

stitch::Kind kind(const Object& object) {
  return std::visit(Each{[](const Column&) { return stitch::Kind::column; },
                         [](const Fill&) { return stitch::Kind::fill; },
                         [](const Run&) { return stitch::Kind::run; }},
                    object.shape);
}

std::vector<Way> ways_of(const Object& object, const Recipe& recipe) {
  if (const auto* column = std::get_if<Column>(&object.shape))
    return column_ways(*column, object.outline, recipe);
  if (const auto* fill = std::get_if<Fill>(&object.shape)) return fill_ways(*fill, recipe);
  return run_ways(std::get<Run>(object.shape));
}

std::vector<Piece> sew(const Object& object, const Way& way, const Recipe& of_all,
                       const Ties& ties) {
  const Recipe& recipe = object.own ? *object.own : of_all;
  std::vector<Piece> pieces = std::visit(
      Each{[&](const Column& c) { return sew_column(c, object.outline, way, recipe, ties); },
           [&](const Fill& f) { return sew_fill(f, object.outline, way, recipe, ties); },
           [&](const Run& r) { return sew_run(r, object.outline, way, recipe, ties); }},
      object.shape);
  keep_limits(object, recipe, ties, pieces);
  return pieces;
}

}  // namespace buckram::digitise
