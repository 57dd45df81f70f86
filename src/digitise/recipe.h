// The craft's numbers: how densely, how wide, how long. Defaults are common practice, no source.
#pragma once

#include "stitch/stitch.h"

#include <optional>
#include <string>
#include <vector>

namespace buckram::digitise {

enum class Style { cap, flat };  // cap: one step lighter under-stitching, wider compensation

// Under-stitching, lightest first: columns have up to the zigzag, fills none, the edge or the
// lattice (with its edge runs).
enum class UnderKind { none, centre, edge, zigzag, lattice };

// Stitches of its own for one object, or for all objects of one element that it can be meant for.
// What is left out is as for all.
struct OwnStitches {
  std::string of;                       // an object's number, else an element's id
  std::optional<stitch::Kind> sewn_as;  // where its cloth lets it
  std::optional<double> angle_deg;  // rows of fills, from the horizontal, anticlockwise, 0 to 180
  std::optional<double> row_mm;     // fills
  std::optional<double> column_mm;  // columns, as Recipe::column_mm
  // Longest: within rows of fills, of runs; in columns what is longer is split, and at least 2.
  std::optional<double> stitch_mm;
  std::optional<UnderKind> under;  // columns and fills
  friend bool operator==(const OwnStitches&, const OwnStitches&) = default;
};

struct Recipe {
  Style style = Style::cap;
  double thread_mm = 0.40;       // drawn width of size-40 thread
  double row_mm = 0.40;          // between fill rows
  double column_mm = 0.40;       // between neighbouring penetrations on one rail
  double fill_stitch_mm = 3.75;  // within a row
  double run_mm = 2.2;           // stitch of runs, centre and edge runs
  double longest_mm = 7.0;       // on caps; columns wider are split
  double shortest_mm = 0.8;
  double narrowest_mm = 0.5;      // thinner: left out or thickened
  double run_below_mm = 0.7;      // narrower: a double run along the middle
  double column_from_mm = 1.0;    // narrower columns are thickened to this
  double column_to_mm = 6.0;      // wider: a fill
  double inner_gap_mm = 0.25;     // least gap between penetrations on the inner rail of a curve
  double compensation_mm = 0.20;  // per side; flats 0.12
  double under_inset_mm = 0.5;    // under-stitching stays this far inside
  double under_row_mm = 2.6;      // between rows of the lattice
  double under_stitch_mm = 3.2;
  double lock_mm = 0.8;  // stitches of a lock, 0.7 to 1.0
  double seam_clear_mm =
      1.5;  // no lock, trim, entry or row end nearer to the seam where it can be helped
  // Elements whose fills' rows bend with the shape, by id as notes name them; "*": all.
  std::vector<std::string> follow_shape;
  bool has_seam = false;           // the cap's front has a centre seam at x = 0
  std::optional<UnderKind> under;  // instead of the usual for width and style
  std::vector<OwnStitches> own;    // of single objects; later ones go over earlier ones

  // Throws base::Error{bad_job} with the value and the constraint it breaks.
  void check() const;
};

Recipe recipe_for(Style style);

}  // namespace buckram::digitise
