// Which shapes of the same thread are sewn as one. Not part of the door.
#pragma once

#include "artwork/arrangement.h"

#include <vector>

namespace buckram::artwork {

// Shapes that become one region.
struct Joined {
  std::vector<int> members;  // indices, in paint order
  bool is_abutting = false;  // some meet without overlapping: a hairline may lie between them
};

// A shape is joined to an earlier one of the same thread that it touches (or that has the same
// source) when nothing of another thread between them lies under it: painting it right after the
// earlier one would give the same picture. Groups come in the order of their first members.
// `thread` is -1 for shapes that do not show; they are left out. O(pairs whose boxes meet).
std::vector<Joined> join_shapes(const std::vector<Painted>& painted,
                                const std::vector<int>& thread);

}  // namespace buckram::artwork
