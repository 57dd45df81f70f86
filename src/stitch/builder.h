// Builds a plan entry by entry; keeps its form so that callers cannot break it.
#pragma once

#include "stitch/plan.h"

namespace buckram::stitch {

class Builder {
 public:
  // Threads and objects as they will stand in the plan.
  Builder(std::vector<PlanThread> threads, std::vector<PlanObject> objects);

  // The object and layer of what follows. The thread is the object's; when it differs from the
  // one before, a trim (if thread hangs) and a change are put in first.
  void begin(int object_id, Layer layer);
  void sew(geometry::Point to);        // rounds to 0.001 mm
  void move(geometry::Point to);
  void trim();                         // nothing when the thread is already cut
  void stop();
  // Trims if needed, ends, and hands the plan over. The builder is then empty.
  Plan finish();

 private:
  void put(geometry::Point at, Op op);
  Plan plan_;
  int object_ = 0;
  Layer layer_ = Layer::top;
  int thread_ = -1;
  bool thread_hangs_ = false;
  int pending_first_ = 0;
  bool block_open_ = false;
};

}  // namespace buckram::stitch
