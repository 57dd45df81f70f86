// Which regions an element's id stands for. Not part of the door.
#pragma once

#include "artwork/artwork.h"

#include <algorithm>
#include <string>

namespace buckram::digitise {

// Whether an element's id, or "*" for all, names the region or one that is sewn as one with it.
inline bool is_named(const artwork::Region& region, const std::string& id) {
  return id == "*" || id == region.source ||
         std::find(region.joined.begin(), region.joined.end(), id) != region.joined.end();
}

}  // namespace buckram::digitise
