// Travel inside a fill: the shortest way from one place to another through rows that will be sewn
// over it.
//
// A path is a sequence of spans, each joined to the one before through the strip between them. The
// places where it may step from one row to the next (the gates) are where both spans lie, less a
// margin to the outline; the taut string through the gates (the funnel algorithm of Lee and
// Preparata, Networks 14, 1984, for gates that are all parallel) is the path.
#pragma once

#include "digitise/sections.h"

#include <vector>

namespace buckram::digitise {

// The spans to pass from `from` to `to`, both included, by the shortest way up, down and along the
// rows. `sewn` (empty: none) marks sections that must not be crossed; `from` may be an end of one.
// When only they lead there they are crossed after all. O(sections log sections + rows passed).
std::vector<int> span_route(const Rows& rows, const Sections& sections, int from, int to,
                            const std::vector<char>& sewn = {});

// The taut path from a to b through the spans, in the rows' frame, both ends included. a and b need
// not lie on the first and last span. It keeps `margin_mm` from row ends where a gate is
// wide enough and the middle where not. O(spans) where the path is nearly straight.
geometry::Polyline taut_path(const Rows& rows, const std::vector<int>& spans, geometry::Point a,
                             geometry::Point b, double margin_mm);

// The span nearest to p (in the rows' frame); -1 when there is none. O(log rows + row).
int span_near(const Rows& rows, geometry::Point p);

// Penetrations along a path: at most `longest_mm` apart, none nearer than `shortest_mm` to the one
// before; corners are kept where that allows. The first point is left out, the last is there
// unless it is within `shortest_mm` of the start.
geometry::Polyline travel_stitches(const geometry::Polyline& path, double longest_mm,
                                   double shortest_mm);

}  // namespace buckram::digitise
