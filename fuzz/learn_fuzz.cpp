// Any bytes as a pattern; or as what went wrong with the files that a machine of a shipped layout
// saved of four small patterns: refused with an error, or a layout without faults that reads them.
#include "shipped_layouts.h"

#include "base/base.h"
#include "machine/machine.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace {

using namespace buckram;

void read_pattern(std::string_view text) {
  const machine::Pattern pattern = machine::read_pattern(text, "fuzz", 0.1);
  const machine::Pattern again =
      machine::read_pattern(machine::write_pattern(pattern, 0.1), "fuzz", 0.1);
  BUCKRAM_ASSERT(again == pattern);
}

std::vector<machine::Sample> samples_of(const machine::Layout& layout) {
  std::vector<machine::Sample> samples;
  for (machine::Pattern pattern :
       machine::patterns_for({.unit_mm = 0.1, .longest_mm = 0.8, .needles = 3})) {
    std::vector<machine::Step> said;
    const machine::Codec codec(layout);
    for (machine::Step step : pattern.steps) {
      if (!codec.names_needles()) step.needle = 0;
      if (step.op == stitch::Op::end || codec.can_do(step.op)) said.push_back(step);
    }
    std::string bytes = machine::write_steps(layout, said);
    samples.push_back({std::move(pattern), std::move(bytes)});
  }
  return samples;
}

// Four bytes a mishap: which file and what, where (two), which byte.
void spoil(std::vector<machine::Sample>& samples, std::string_view mishaps) {
  for (; mishaps.size() >= 4; mishaps.remove_prefix(4)) {
    const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(mishaps[k]); };
    std::string& file = samples[byte(0) % samples.size()].bytes;
    const std::size_t at = file.size() * (byte(1) + 256U * byte(2)) / 65536;
    switch (byte(0) / 64) {
      case 0:
        file.insert(at, 1, mishaps[3]);
        break;
      case 1:
        file.erase(at, byte(3));
        break;
      default:
        if (at < file.size()) file[at] = mishaps[3];
    }
  }
}

void learn(unsigned which, std::string_view mishaps) {
  static const std::vector<machine::Layout> layouts = machine::shipped_layouts();
  std::vector<machine::Sample> samples = samples_of(layouts[which % layouts.size()]);
  spoil(samples, mishaps);
  const machine::Learnt learnt = machine::learn_layout(samples, {});
  BUCKRAM_ASSERT(machine::faults_of(learnt.layout).empty());
  for (const machine::Sample& sample : samples) {
    machine::read_steps(learnt.layout, sample.bytes, "again");
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const std::string_view bytes(reinterpret_cast<const char*>(data) + 1, size - 1);
  try {
    if ((data[0] & 1) != 0) {
      learn(data[0] / 2U, bytes);
    } else {
      read_pattern(bytes);
    }
  } catch (const base::Error&) {
    return 0;  // bad input, said clearly
  }
  return 0;
}
