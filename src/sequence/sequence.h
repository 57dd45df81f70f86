// Door of sequence/: the order of objects, their ends, and what lies between them.
//
// A travelling salesman with precedence over objects, each with several ways to be sewn
// (generalised TSP): thread changes >> trims > visible moves > hidden travel, and the cost of
// sewing inwards (docs/notes/order.md). Exact for small visits; else construction, Or-opt, 2-opt,
// re-choice of ways and kicks. LKH (licence) was left out.
#pragma once

#include "base/base.h"
#include "digitise/digitise.h"
#include "stitch/stitch.h"

#include <functional>
#include <vector>

namespace buckram::sequence {

// What it costs to sew object `next` when `sewn` already lies on the cloth, by index, in
// millimetres of visible travel: never negative, 0 where the two do not disturb each other. A
// forecast of gathered cloth may be handed in; without one the order keeps to its own measure of
// sewing inwards (inward.h).
using InwardCost = std::function<double(int sewn, int next)>;

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
  InwardCost inward;           // empty: the default
  int most_tries = 400'000;    // moves that the search tries in all: never by the clock
};

// What was reached, each against its own least. Trims that precede a thread change or the end, and
// the moves after them, are not counted.
struct Order {
  std::vector<Step> steps;
  int thread_changes = 0, least_thread_changes = 0;
  int trims = 0;
  int islands_bound = 0;  // islands of each visit less one: what no link can join (bound.h)
  int least_trims = 0;    // no order has fewer; at least islands_bound
  double visible_mm = 0;  // visible moves, trimmed or not
  double least_visible_mm = 0;
  int n_unbounded_visits = 0;  // of more than 2,000 objects: all their leasts count as 0
  double hidden_mm = 0;
  double inward_mm = 0;     // cost of sewing inwards (inward.h), over all objects
  int n_tucks = 0;          // ends that lie under the stroke of their own thread they butt against
  int n_tucks_over = 0;     // of these, sewn after it all the same: each saves a trim or its like
  int n_guesses = 0;        // links that the search counted on
  int n_wrong_guesses = 0;  // of these, found not to be there when laid; each was searched again
};

// Every object once, precedence kept (an object whose outline another of later paint order
// overlaps comes first; `after` within a region, save that Mode::planned lets an end that is only
// tucked under its neighbour lie over it where that saves a trim, visible travel or a thread
// change), threads changed as seldom as that allows.
Order order_objects(const std::vector<digitise::Object>& objects, const OrderOptions& options,
                    const base::Watch& watch = {});

// `objects` in the order that was found for others in their places: of the objects `changed`, by
// index, the way is chosen that links best to the neighbours, all other ways stay, and what lies
// between objects is laid anew. Law: with nothing changed the steps are the same.
Order with_own(const std::vector<digitise::Object>& objects, Order order,
               const std::vector<int>& changed, const OrderOptions& options,
               const base::Watch& watch = {});

// Thread changes, trims and travel of the steps as they stand, for whoever has put in some of their
// own; the leasts stay. Of the steps counted, each is measured from the one before it.
void measure(const std::vector<digitise::Object>& objects, Order& order);

// Sews the objects in order into a plan: ties where thread is cut, travel, trims, changes.
// `threads` become Plan::threads with needles 1, 2, ... in order of first use.
stitch::Plan lay(const std::vector<digitise::Object>& objects, const Order& order,
                 const std::vector<artwork::Thread>& threads, const digitise::Recipe& recipe);

}  // namespace buckram::sequence
