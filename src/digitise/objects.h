// Objects: what one region becomes, each sewn in one way from one end to another.
#pragma once

#include "digitise/bend.h"
#include "geometry/geometry.h"
#include "stitch/stitch.h"

#include <memory>
#include <string>
#include <variant>
#include <vector>

namespace buckram::digitise {

// A line across a column. Rungs follow each other along the spine at half the column spacing; the
// needle goes down at both ends of every other one, in rings on the left of one and the right of
// the next.
struct Rung {
  geometry::Point left, right;
  friend bool operator==(const Rung&, const Rung&) = default;
};

struct Column {
  std::vector<Rung> rungs;  // rails already compensated and inset by half a thread
  bool closed = false;      // a ring; the last rung meets the first
  double width_mm = 0;      // widest, between rails
};

struct Fill {
  geometry::Polygons area;  // one connected part with its holes; as planned, before inset
  double angle_rad = 0;     // of the rows
  std::shared_ptr<const Bend> bend = nullptr;  // rows follow it; otherwise they are straight
};

struct Run {
  geometry::Polyline path;
  bool closed = false;
  int passes = 2;        // 2: out and back, ends where it began
  double apart_mm = 0;   // from one pass to the other: what a thread leaves of the drawn width
  double stitch_mm = 0;  // longest; 0: the recipe's run_mm
  stitch::Layer layer = stitch::Layer::top;
};

// A way to sew the object: where the needle first goes down and where it last does.
struct Way {
  geometry::Point entry, exit;
  int tag = 0;  // for sew() only
};

struct Recipe;

struct Object {
  int id = 0;      // from 1, unique in the job
  int thread = 0;  // index into artwork::Regions::threads
  int region = 0;  // index into artwork::Regions::regions
  int order = 0;   // paint order of the region
  std::string source;
  std::variant<Column, Fill, Run> shape;
  geometry::Polygons outline;  // the cloth it covers when sewn, compensation and underlap included
  std::vector<int> after;      // ids to be sewn before this one (joints within a region)
  std::vector<int> tucked;     // of these, the ones whose end is tucked under this one: sewn
                               // later it lies over it, which may be done where it saves a trim
  std::vector<Way> ways;       // at least one
  std::shared_ptr<const Recipe> own = nullptr;  // sewn by this instead of the recipe for all
};

stitch::Kind kind(const Object& object);

}  // namespace buckram::digitise
