// Door of digitise/: regions to objects, objects to penetrations.
#pragma once

#include "artwork/artwork.h"
#include "base/base.h"
#include "digitise/objects.h"
#include "digitise/recipe.h"
#include "digitise/tacking.h"

#include <vector>

namespace buckram::digitise {

struct Digitised {
  std::vector<Object> objects;           // by region order; ids 1, 2, ...
  std::vector<artwork::Note> notes;      // small, thickened, run, left_out: one a kind and element
  std::vector<geometry::Polygon> cells;  // by object: the part of the artwork that it was made from
};

// Decides for every region what it becomes: columns along the medial axis, fills, runs, mixed
// shapes split where the width changes for long enough; what is too fine is thickened, run, or
// left out with a note. Deterministic.
// Recipe::own is not looked at: numbers are given as if no object had stitches of its own, so that
// they stay what they are whatever single objects are given.
Digitised make_objects(const artwork::Regions& regions, const Recipe& recipe,
                       const base::Watch& watch = {});

// The objects that Recipe::own gives stitches of their own, each with its number, its place in the
// order of paint and its precedence; and a note for each, which says what it was given. Those of
// another kind, spacing or angle begin and end elsewhere: sequence::with_own() links them anew.
// Throws Error{bad_job}: no such object or element (with what there is); a key that the kind of
// object has no use for; what cannot be sewn on its cloth.
struct OwnObjects {
  std::vector<int> indices;  // into Digitised::objects, ascending
  std::vector<Object> objects;
  std::vector<artwork::Note> notes;  // "object"
};
OwnObjects own_objects(const Digitised& made, const artwork::Regions& regions,
                       const Recipe& recipe);

// What is usual under a column, by the width between its rails.
UnderKind under_kind(double width_mm, Style style);

// Needle penetrations of one layer, in order.
struct Piece {
  stitch::Layer layer = stitch::Layer::top;
  geometry::Polyline points;
};

struct Ties {
  bool in = true;   // lock at the start
  bool out = true;  // lock at the end
};

// The object's penetrations by the given way: locks, under-stitching, top layer. The first point
// is way.entry, the last way.exit (a lock lies within the object and returns there). Pieces
// follow on without a lift: from the last point of one to the first of the next is one stitch.
// Every stitch keeps the recipe's longest; shorter than its shortest only in locks, row turns and
// on the inside of curves. No point lies outside the object's outline by more than half a thread.
std::vector<Piece> sew(const Object& object, const Way& way, const Recipe& recipe,
                       const Ties& ties);

}  // namespace buckram::digitise
