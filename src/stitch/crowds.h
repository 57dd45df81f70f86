// Places where many parts meet and more holes go down than cloth bears: found, and eased.
#pragma once

#include "stitch/limits.h"
#include "stitch/plan.h"

#include <cstddef>
#include <vector>

namespace buckram::stitch {

// A hole of the top layer with a disc of 1 mm through it that holds too many.
struct Crowd {
  int entry = 0;
  int most = 0;  // holes in the fullest disc with this one on its rim
};

// In order of entries, the first `at_most` of them. O(entries), and the square of what lies within
// a millimetre of a hole.
std::vector<Crowd> crowds(const Plan& plan, int most_in_disc, std::size_t at_most);

// Draws ends of rungs and rows in such places back along their own thread, as a hand staggers them
// where strokes come together, until no disc holds too many or nothing more may be drawn. Laws:
// only holes of the top layer move, by at most 0.6 mm, none at a block's ends and never two that
// follow each other on one side; no stitch becomes shorter than the shortest; no hole comes nearer
// to another of its object's top layer than 0.25 mm; no disc becomes fuller than allowed where it
// was not. Plans without such a place stay as they are.
void ease_crowds(Plan& plan, const Limits& limits);

}  // namespace buckram::stitch
