// Artwork that nobody draws and anybody may send: how long until its order stands?
#pragma once

#include <string>

namespace buckram::bench {

// n squares of one colour that do not touch: n islands, n - 1 trims whatever one does.
std::string squares(int n);
// n strokes across n others, as one path: one piece of cloth, cut into some 2 n^2 columns.
std::string lattice(int n);

// Prints seconds of each stage and memory. About 30 s.
void hostile();

}  // namespace buckram::bench
