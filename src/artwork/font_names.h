// Second door of artwork/: what lettering may be sewn in.
#pragma once

#include <string>
#include <vector>

namespace buckram::artwork {

// Names of the font families on this machine, sorted.
std::vector<std::string> installed_families();

}  // namespace buckram::artwork
