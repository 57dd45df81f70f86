// Entries read from a file without a plan's form, and the plan made of them.
#pragma once

#include "stitch/stitch.h"

#include <string>
#include <vector>

namespace buckram::machine {

struct Entry {
  geometry::Point at;  // chart, mm
  stitch::Op op = stitch::Op::sew;
  int thread = 0;  // index into the threads given
  int object = 0;  // id, or 0 where the file does not say
  stitch::Kind kind = stitch::Kind::run;
  stitch::Layer layer = stitch::Layer::top;
  double speed_spm = 0;  // of its block; 0: the bench's
  int block = 0;         // entries of one block share a number; -1: the file has no blocks
};

// Rounds to 0.001 mm, puts the entries into blocks (given ones, else one for each run of stitches
// in one thread, with what leads up to it), makes the objects, adds a missing end, and checks the
// form. Throws Error{bad_stitches} when there is no stitch at all or the form is broken.
stitch::Plan plan_of(std::vector<Entry> entries, std::vector<stitch::PlanThread> threads,
                     const std::string& where);

// A thread that a file does not describe: numbered from 1, one of a few plain colours.
stitch::PlanThread unnamed_thread(int index);

}  // namespace buckram::machine
