// The stitch plan: what the machine will do, entry by entry. Every stage after digitising reads
// this one structure; nothing keeps a second copy.
//
// Thread lies only between two consecutive `sew` entries. After anything else the first `sew` is a
// bare needle-down, so a move is one or more `move`, then `sew` at the place reached.
#pragma once

#include "geometry/geometry.h"

#include <string>
#include <vector>

namespace buckram::stitch {

enum class Op : char {
  sew = 's',     // the needle goes down here
  move = 'm',    // move without sewing
  trim = 't',    // cut the thread        (t, c, p, e repeat the position before)
  change = 'c',  // go on with the next block's thread
  stop = 'p',    // wait for the operator
  end = 'e'
};

enum class Layer { under, top, lock, travel };
enum class Kind { column, fill, run };

const char* name(Layer layer);  // "under" ...
const char* name(Kind kind);    // "column" ...

struct PlanThread {
  std::string name;
  std::string rgb;  // "#rrggbb"
  double tex = 27;
  int needle = 1;        // needle number on the machine, from 1
  std::string number{};  // the thread list's own, as on the spool; empty where it has none
  std::string extra{};   // unknown fields of the file, as a JSON object, or empty
};

struct PlanObject {
  int id = 0;  // 1 to kLargestObjectId
  Kind kind = Kind::run;
  int thread = 0;        // index into Plan::threads
  std::string source{};  // the artwork element
  std::string extra{};
};

// A run of entries that belong to one object and layer.
struct Block {
  int object = 0;  // PlanObject::id
  Layer layer = Layer::top;
  int thread = 0;  // index into Plan::threads
  int first = 0;   // entry
  int count = 0;
  double speed_spm = 0;  // stitches a minute; 0: as fast as the bench is set. See speed_of
  std::string extra{};
};

// x, y and op have the same length. Every entry belongs to exactly one block, blocks in order and
// without gaps; move, trim, change and stop go with the block that follows, end with the last.
struct Plan {
  std::vector<double> x, y;  // mm on the crown chart
  std::vector<Op> op;
  std::vector<Block> blocks;
  std::vector<PlanObject> objects;
  std::vector<PlanThread> threads;
  geometry::Affine placement;   // artwork user units to the chart
  std::string job;              // inputs as resolved: a JSON object
  std::string extra;            // unknown top-level fields: a JSON object, or empty
  std::string placement_extra;  // unknown fields of `placement` and of `stitches`, likewise
  std::string stitches_extra;

  int size() const { return static_cast<int>(op.size()); }
  geometry::Point at(int i) const {
    return {x[static_cast<std::size_t>(i)], y[static_cast<std::size_t>(i)]};
  }
};

// Block index of every entry. O(entries).
std::vector<int> block_of_entries(const Plan& plan);
// Stitches a minute that a block is sewn at on a bench set to `bench_spm`: its own, where it has
// one that is slower.
double speed_of(const Block& block, double bench_spm);
// Whether thread lies between entries i-1 and i.
bool has_thread(const Plan& plan, int i);
const PlanObject* find_object(const Plan& plan, int id);  // null when there is none; O(objects)
// Index into Plan::objects of every block's object. O(blocks log objects).
std::vector<std::size_t> object_of_blocks(const Plan& plan);

// Largest coordinate of a plan, mm: five times the largest field of any machine.
inline constexpr double kLargestCoordinateMm = 2000;
// Most entries of a plan: ten times the largest design that is sewn on anything.
inline constexpr int kMostEntries = 2'000'000;

// Largest id of an object.
inline constexpr int kLargestObjectId = 10'000'000;

// Throws Error{bad_stitches} naming the first rule of the plan's form that does not hold: arrays of
// one length, at most kMostEntries; blocks that cover every entry in order, none empty; indices of
// threads and ids of objects that exist, from 1 to kLargestObjectId and used once; `end` only as
// the last entry; trim, change, stop and end at the position before; a change wherever the thread
// of the blocks changes; coordinates finite and within kLargestCoordinateMm. O(entries + objects
// log objects).
void check_form(const Plan& plan);

}  // namespace buckram::stitch
