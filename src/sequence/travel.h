// The way of a travel under cloth that is still to be covered.
#pragma once

#include "sequence/cover_grid.h"

#include <optional>
#include <vector>

namespace buckram::sequence {

struct TravelOptions {
  double stitch_mm = 2.2;
  double shortest_mm = 0.8;
  double longest_mm = 120;  // of the whole way; farther, a trim is cheaper and surer
  double edge_mm = 0.35;  // in between, so much at a time may run nearer to its edge than the inset
  double open_end_mm = 0.7;  // the first and last bit may lie at the very edge of its cover
};

// Finds ways while the sewing stands at one step of an order that grows visit by visit.
class TravelFinder {
 public:
  // Nothing is sewn yet. O(cells).
  TravelFinder(const CoverGrid& grid, int n_objects, TravelOptions options);

  // Steps of the objects of the visit in hand, or of an order of it tried anew: `members` are sewn
  // at `first`, `first` + 1, ... O(cells of the box round them, by `boxes` of all objects).
  void stand(const std::vector<int>& members, int first, const std::vector<geometry::Box>& boxes);

  // Penetrations from `a` to `b`, both left out, such that everything between lies under objects
  // sewn at `step` or later (b's own object among them); nothing when there is no such way within
  // longest_mm. At its first open_end_mm the way may also cross the thread of `from`, the object
  // just sewn, which ends there. Stitches are at least shortest_mm and at most twice stitch_mm,
  // unless a and b themselves are nearer. Straight where that is covered, else the shortest way
  // over the grid's cells (A*, eight neighbours), pulled tight. O(cells looked at).
  std::optional<geometry::Polyline> way(geometry::Point a, geometry::Point b, int step, int from);

 private:
  struct Reached {
    int stamp = 0;
    int from = -1;
    double cost = 0;
    bool closed = false;
    int goal = 0;  // the stamp of the search that may end here
  };
  struct Trip {
    geometry::Point a, b;
    int step = 0, from = 0;
  };
  bool deep(geometry::Point p, int step) const;
  bool covered(geometry::Point p, int step) const;
  // Whether the line is deep all along; near the outer ends, and a little at a time, less will do.
  bool clear(geometry::Point p, geometry::Point q, const Trip& trip) const;
  bool is_end_covered(geometry::Point p, const Trip& trip) const;
  std::optional<geometry::Polyline> over_cells(const Trip& trip);
  std::vector<int> ends(geometry::Point p, const Trip& trip) const;
  geometry::Polyline pulled_tight(const geometry::Polyline& way, const Trip& trip) const;
  std::optional<geometry::Polyline> stitched(const geometry::Polyline& way, const Trip& trip) const;

  static constexpr int kLater = 1 << 30;  // the step of what is not of the visits so far

  const CoverGrid& grid_;
  TravelOptions options_;
  std::vector<int> step_of_;  // by object
  std::vector<int> height_, deep_;
  std::vector<Reached> reached_;
  int stamp_ = 0;
};

}  // namespace buckram::sequence
