// Open pictures that nobody here drew, and their artwork as librsvg paints it.
#pragma once

#include "grid.h"

#include <cstdint>
#include <string>
#include <vector>

namespace quality {

struct Picture {
  std::string set, path;
};

// A seeded sample of `n` files of each set ("twemoji", "fluent", "openmoji", without the entries
// openmoji marks as brands), in a fixed order; all files when n is 0.
std::vector<Picture> sample_pictures(const std::string& corpus, int n, std::uint64_t seed);

struct Painted {
  Mask is_art;                     // at least half opaque
  std::vector<std::uint32_t> rgb;  // 0xrrggbb where is_art
};

// The document painted through `matrix` (user units to chart mm, a b c d e f) onto the frame.
// False when librsvg cannot read it.
bool paint_artwork(const std::string& path, const double (&matrix)[6], const Frame& frame,
                   Painted& painted);

}  // namespace quality
