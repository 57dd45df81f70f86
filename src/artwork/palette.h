// Which threads a drawing needs: colours that are alike made one, then matched. Not part of the
// door.
#pragma once

#include "artwork/regions.h"

#include <string>
#include <vector>

namespace buckram::artwork {

// One shape's colour and how much of it shows.
struct PaletteShare {
  Rgb colour;
  double area_mm2 = 0;
  std::string source;
};

struct Palette {
  std::vector<Thread> threads;  // in order of first use by shapes that show
  std::vector<int> thread_of;   // per share; -1 where nothing shows
  std::vector<Note> notes;      // kind "colour": what was merged, and how far off
};

// Colours within options.merge_difference of one with more area become that one; then each takes
// its nearest thread; while there are more threads than options.max_threads, the pair with the
// least difference times the smaller area merges. Deterministic.
Palette choose_threads(const std::vector<PaletteShare>& shares, const std::vector<Thread>& threads,
                       const RegionOptions& options);

}  // namespace buckram::artwork
