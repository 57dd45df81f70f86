// Columns: threads laid across a strip from rail to rail, and the needle's way along them.
//
// A spine runs along the strip; rungs stand across it and end on the strip's own outline, so that
// serifs, tapers and round ends are followed whatever the spine does. Rungs stand at equal steps
// of the spine; where a curve's outside would open beyond `kFan` times the pitch they stand
// closer, and on its inside alternate rungs stop short.
//
// Rejected: rails by matching arc length of the two sides (rungs tilt after every serif); feet of
// the medial axis (they jump at reflex corners and crowd there).
#pragma once

#include "digitise/digitise.h"
#include "digitise/spine.h"

#include <vector>

namespace buckram::digitise {

// How much wider than the pitch the outer rail of a curve may open before rungs are added.
inline constexpr double kFan = 1.2;
// The rails' thread ends are scalloped: half circles of diameter w at pitch w leave w (1/2 - pi/8)
// uncovered on average, 0.043 mm at w = 0.40, and more where a curve's outside opens. Rails are
// held in by this much less than half a thread, so that the scallops straddle the outline.
inline constexpr double kScallop = 0.25;  // times the thread's width

struct ColumnFit {
  Column column;
  double covered = 0;      // area between the rails' outline over the cell's area
  bool thickened = false;  // most of it
  bool widened = false;    // somewhere: the thread passes the cell's outline
};

// Rungs of `cell` along `spine`: inset and compensation included, short stitches drawn in.
// covered is judged before inset, 1 when every place of the cell lies between two rungs; folds
// count against it. Finite for every polygon and spine. O(rungs x vertices).
ColumnFit fit_column(const geometry::Polygon& cell, const Spine& spine, const Recipe& recipe);

// The cloth between the rails with half a thread around: what the column's thread covers.
geometry::Polygons ribbon(const Column& column, double grown_mm);

// Under-stitching gets simpler, down to none, until it stays on the outline's cloth.
// Needle-downs of the top layer. Open columns: both ends of every other rung, so that threads go
// straight across and slanting on in turn, both ends of the column are square, and every step at
// the middle is half the spacing. Rings: left of the even rungs, right of the odd ones. Stitches
// over the longest are split, with the splits staggered from row to row.
// Ways: an open column from either end to the other (tag 0 forwards, 1 backwards), and where there
// is room for under-stitching that runs ahead, in and out at one end (tag 2 at the last rung, 3 at
// the first); a ring from several places (tag = index of the rung, going forwards, overlapping by
// two rungs).
std::vector<Way> column_ways(const Column& column, const geometry::Polygons& outline,
                             const Recipe& recipe);

std::vector<Piece> sew_column(const Column& column, const geometry::Polygons& outline,
                              const Way& way, const Recipe& recipe, const Ties& ties);

}  // namespace buckram::digitise
