// Builds a plan entry by entry; keeps its form so that callers cannot break it.
//
// Law: whatever is called in whatever order, finish() gives a plan that passes check_form, trimmed
// before every change and before the end. Coordinates are rounded to 0.001 mm as they enter, so
// that a plan in memory and the one read back from its file are the same.
#pragma once

#include "stitch/plan.h"

#include <map>

namespace buckram::stitch {

// To the nearest 0.001 mm; never -0.
geometry::Point rounded(geometry::Point p);

class Builder {
 public:
  // Threads and objects as they will stand in the plan; ids are used once.
  Builder(std::vector<PlanThread> threads, std::vector<PlanObject> objects);

  // The object and layer of what follows. The thread is the object's; when it differs from the
  // one before, a trim (if thread hangs) and a change are put in first.
  void begin(int object_id, Layer layer);
  void sew(geometry::Point to);
  void move(geometry::Point to);
  void trim();  // nothing when the thread is already cut
  void stop();  // waits for the operator; not before the first begin()
  // Where the needle stands; {0, 0} before the first entry.
  geometry::Point here() const;
  // Trims if needed, ends, and hands the plan over; without any begin() the plan is empty. The
  // builder is then empty.
  Plan finish();

 private:
  void put(geometry::Point at, Op op);
  Plan plan_;
  std::map<int, int> index_of_;  // object id to its place in plan_.objects
  int object_ = -1;              // index into plan_.objects, -1 before the first begin()
  Layer layer_ = Layer::top;
  bool thread_hangs_ = false;
};

}  // namespace buckram::stitch
