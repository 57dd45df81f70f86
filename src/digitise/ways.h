// The ways by which an object can be sewn, whatever its shape. Not part of the door.
#pragma once

#include "digitise/objects.h"

#include <vector>

namespace buckram::digitise {

// Those of its column, fill or run, whether all their thread stays on its cloth or not.
std::vector<Way> ways_of(const Object& object, const Recipe& recipe);

}  // namespace buckram::digitise
