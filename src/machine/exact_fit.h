// Numbers in records found from their values: exact whole weights of bits.
//
// Each record gives one equation, value = offset + sum of weights of its bits, over all bits that
// vary among the records. Least squares of such a system has residual zero exactly where the
// equations agree; they are therefore eliminated in whole numbers modulo the prime 2^31 - 1, where
// nothing rounds, and the weights found are put back into every equation. A bit that negates is
// tried in turn.
#pragma once

#include "machine/layout.h"

#include <optional>
#include <vector>

namespace buckram::machine {

struct Fit {
  Number number;        // bits of weight 0 left out
  int n_equations = 0;  // that differ
  int rank = 0;         // of them, the offset included
  // Bits whose weights the records leave open. Bits that are always equal share their sum: they are
  // taken as going on doubling, the last one taking the rest.
  Bits open = 0;
};

// Empty when no whole weights fit. A fit with no more equations than unknowns says nothing: it is
// given, and rank tells. Requires as many values as words. O(equations * bits^2), times bits where
// one negates.
std::optional<Fit> fit_exactly(const std::vector<Bits>& words, const std::vector<int>& values);

}  // namespace buckram::machine
