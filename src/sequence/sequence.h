// Door of sequence/: the order of objects, their ends, and what lies between them.
//
// A travelling salesman with precedence over objects, each with several ways to be sewn
// (generalised TSP): thread changes >> trims > visible moves > hidden travel. Construction, then
// Or-opt and re-choice of ways. LKH (licence) and exact solvers (tens of objects only)
// were left out.
#pragma once

#include "base/base.h"
#include "digitise/digitise.h"
#include "stitch/stitch.h"

#include <vector>

namespace buckram::sequence {

enum class Mode { planned, given, inward, across };

// How the needle comes from the object before to this one.
enum class Link {
  first,   // the very first object
  hidden,  // sewn as travel under objects that are sewn later, or inside the same region
  step,    // one stitch or a short visible move, at most the trim limit
  trim     // cut, move
};

struct Step {
  int object = 0;  // index into the objects
  int way = 0;     // index into its ways
  Link link = Link::first;
  geometry::Polyline travel;  // penetrations on the way, both ends left out; for Link::hidden
};

struct OrderOptions {
  Mode mode = Mode::planned;
  double trim_mm = 3.0;  // a longer visible move is trimmed
  double travel_stitch_mm = 2.2;
  double hide_inset_mm = 0.3;  // hidden travel stays this far inside what will cover it
  double seam_clear_mm = 1.5;  // no trim nearer to x = 0 where it can be helped; 0: no seam
  geometry::Point start;       // where the needle stands
  int most_tries = 6000;       // moves that the search tries in all: never by the clock
};

struct Order {
  std::vector<Step> steps;
  // what was reached, against its own least
  int thread_changes = 0, least_thread_changes = 0;
  int trims = 0, islands_bound = 0;  // trims that precede a change or the end not counted
  double visible_mm = 0;             // visible moves, trimmed or not
  double hidden_mm = 0;
};

// Every object once, precedence kept (an object whose outline another of later paint order
// overlaps comes first; `after` within a region), threads changed as seldom as that allows.
Order order_objects(const std::vector<digitise::Object>& objects, const OrderOptions& options,
                    const base::Watch& watch = {});

// Sews the objects in order into a plan: ties where thread is cut, travel, trims, changes.
// `threads` become Plan::threads with needles 1, 2, ... in order of first use.
stitch::Plan lay(const std::vector<digitise::Object>& objects, const Order& order,
                 const std::vector<artwork::Thread>& threads, const digitise::Recipe& recipe);

}  // namespace buckram::sequence
