// Where records begin, how long they are, and how they hold a step: the first half of learning.
#pragma once

#include "machine/exact_fit.h"
#include "machine/learn.h"

#include <array>
#include <functional>
#include <optional>
#include <vector>

namespace buckram::machine {

// Records that hold a step: one length, or a short and a long one told apart by a bit.
struct Shape {
  std::size_t head = 0;  // bytes before the first record
  int n_lengths = 1;
  std::array<int, 2> lengths{};  // the second where the bit is set
  int tell = 0;                  // place of the bit
  std::size_t which(Bits word) const {
    return n_lengths == 2 && ((word >> tell) & 1) != 0 ? 1U : 0U;
  }
};

// Steps of one length: their numbers, and the bits that never changed.
struct StepModel {
  int length = 0;
  Number x, y;
  Fit x_fit, y_fit;
  Bits mask = 0, value = 0;
  bool is_seen = false;
  bool gives(Bits word, const Step& step) const;
};

// One record, or several of one operation, in a sample.
struct Piece {
  Step step;
  std::size_t at = 0, size = 0;  // bytes
};

struct Model {
  Shape shape;
  std::array<StepModel, 2> sew, move;  // by length; move[0] alone where moves have their own
  bool has_own_moves = false;
  int move_length = 0;                     // of moves of their own
  std::array<int, 3> gaps{-1, -1, -1};     // bytes of a trim, change, stop; -1: in no pattern
  std::size_t tail = 0;                    // bytes after the last step, the same in all files
  std::vector<std::vector<Piece>> pieces;  // of each sample
};

// Index of a gap.
std::size_t gap_of(stitch::Op op);

// How far learning got before nothing fitted, for the message.
struct Progress {
  int stage = 0;
  std::string words;
  void reach(int at, const std::string& said);
};

// Calls `take` with every model that reads all samples, plainer ones first, until it returns true.
void find_models(const std::vector<Sample>& samples, Progress& progress,
                 const std::function<bool(const Model&)>& take);

}  // namespace buckram::machine
