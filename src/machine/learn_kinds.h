// Kinds and operations of a layout from records that were found: masks by elimination.
#pragma once

#include "machine/learn_records.h"

#include <string>
#include <vector>

namespace buckram::machine {

// How trims, changes, stops and the end are taken: as records that hold a step of 0, or as records
// of a kind of their own.
struct Choice {
  std::array<bool, 3> is_signal{};  // of each gap
  enum class End { none, step, signal } end = End::none;
  int signal_length = 0;  // bytes
};

// Choices worth trying for a model, plainer ones first.
std::vector<Choice> choices_for(const Model& model, const std::vector<Sample>& samples);

struct Draft {
  Layout layout;             // without parts before and after; may have faults
  std::size_t end_size = 0;  // bytes of the end record
  std::vector<std::string> asked;
};
// Empty when the choice does not suit the bytes.
std::optional<Draft> draft_layout(const Model& model, const std::vector<Sample>& samples,
                                  const Choice& choice);

}  // namespace buckram::machine
