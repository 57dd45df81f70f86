// Machine files of described layouts: how fast are they read and written?
//
// Steps alone (the layout's own work) and whole plans (with the chart's map and the plan's form),
// half a million stitches of a random walk, for every shipped layout; memcpy of the same bytes
// beside them as the floor.
#include "base/base.h"
#include "machine/machine.h"

#include <benchmark/benchmark.h>

#include <cstring>

namespace {

using namespace buckram;

constexpr const char* kNames[] = {"harbour-tally", "lantern-row", "buoy-lengths", "pilot-signal"};

machine::Layout layout_of(const benchmark::State& state) {
  const std::string name = kNames[state.range(0)];
  return machine::read_layout(
      base::read_file(std::string(BUCKRAM_ROOT) + "/data/layouts/" + name + ".toml", 1'000'000),
      name);
}

// Stitches of up to 4 mm, a move and a trim now and then.
std::vector<machine::Step> steps_for(const machine::Layout& layout) {
  base::Random random(3);
  std::vector<machine::Step> steps;
  const int reach = static_cast<int>(4 / layout.unit_mm);
  int x = 0, y = 0;
  for (int i = 0; i < 500'000; ++i) {
    int dx = random.below(2 * reach + 1) - reach;
    int dy = random.below(2 * reach + 1) - reach;
    if (std::abs(x + dx) > 1000) dx = -dx;
    if (std::abs(y + dy) > 1000) dy = -dy;
    x += dx;
    y += dy;
    steps.push_back({.op = i % 50 == 0 ? stitch::Op::move : stitch::Op::sew, .dx = dx, .dy = dy});
  }
  steps.push_back({.op = stitch::Op::move, .dx = -x % 100, .dy = -y % 100});
  steps.push_back({.op = stitch::Op::end});
  return steps;
}

void tell(benchmark::State& state, std::size_t bytes) {
  state.SetLabel(kNames[state.range(0)]);
  state.SetBytesProcessed(static_cast<std::int64_t>(bytes) * state.iterations());
}

void ReadSteps(benchmark::State& state) {
  const machine::Layout layout = layout_of(state);
  const std::string bytes = machine::write_steps(layout, steps_for(layout));
  for (auto _ : state) benchmark::DoNotOptimize(machine::read_steps(layout, bytes, "bench"));
  tell(state, bytes.size());
}
BENCHMARK(ReadSteps)->DenseRange(0, 3)->Unit(benchmark::kMillisecond);

void CopyBytes(benchmark::State& state) {
  const machine::Layout layout = layout_of(state);
  const std::string bytes = machine::write_steps(layout, steps_for(layout));
  std::string copy(bytes.size(), '\0');
  for (auto _ : state) {
    std::memcpy(copy.data(), bytes.data(), bytes.size());
    benchmark::DoNotOptimize(copy.data());
    benchmark::ClobberMemory();
  }
  tell(state, bytes.size());
}
BENCHMARK(CopyBytes)->DenseRange(0, 0)->Unit(benchmark::kMillisecond);

void WriteSteps(benchmark::State& state) {
  const machine::Layout layout = layout_of(state);
  const std::vector<machine::Step> steps = steps_for(layout);
  std::size_t size = 0;
  for (auto _ : state) {
    const std::string bytes = machine::write_steps(layout, steps);
    size = bytes.size();
  }
  tell(state, size);
}
BENCHMARK(WriteSteps)->DenseRange(0, 3)->Unit(benchmark::kMillisecond);

void ReadPlan(benchmark::State& state) {
  const machine::Layout layout = layout_of(state);
  const std::string bytes = machine::write_steps(layout, steps_for(layout));
  cap::Setup setup;
  setup.mount.kind = cap::MountKind::flat;
  const machine::MachineMap map(setup);
  for (auto _ : state) benchmark::DoNotOptimize(machine::read_with(layout, bytes, "bench", map));
  tell(state, bytes.size());
}
BENCHMARK(ReadPlan)->DenseRange(0, 3)->Unit(benchmark::kMillisecond);

}  // namespace
