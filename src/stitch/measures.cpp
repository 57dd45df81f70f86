#include "stitch/measures.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::stitch {
namespace {

double seconds_of(Op op, double stitch_s, const MachineTimes& times) {
  switch (op) {
    case Op::sew:
      return stitch_s;
    case Op::move:
      return times.move_s;
    case Op::trim:
      return times.trim_s;
    case Op::change:
      return times.change_s;
    case Op::stop:
      return times.stop_s;
    case Op::end:
      return 0;
  }
  return 0;
}

}  // namespace

Counts count(const Plan& plan) {
  Counts counts;
  counts.stitches_per_thread.assign(plan.threads.size(), 0);
  counts.sewn_mm_per_thread.assign(plan.threads.size(), 0);
  for (const Block& block : plan.blocks) {
    const std::size_t thread = static_cast<std::size_t>(block.thread);
    for (int i = block.first; i < block.first + block.count; ++i) {
      switch (plan.op[static_cast<std::size_t>(i)]) {
        case Op::sew: {
          const double mm =
              has_thread(plan, i) ? geometry::distance(plan.at(i - 1), plan.at(i)) : 0;
          ++counts.stitches;
          ++counts.stitches_per_thread[thread];
          counts.sewn_mm_per_thread[thread] += mm;
          counts.longest_mm = std::max(counts.longest_mm, mm);
          counts.box.add(plan.at(i));
          break;
        }
        case Op::trim:
          ++counts.trims;
          break;
        case Op::change:
          ++counts.thread_changes;
          break;
        case Op::stop:
          ++counts.stops;
          break;
        case Op::move:
        case Op::end:
          break;
      }
    }
  }
  return counts;
}

std::vector<double> timeline(const Plan& plan, double speed_spm, const MachineTimes& times) {
  BUCKRAM_ASSERT(speed_spm > 0);
  std::vector<double> end_s;
  end_s.reserve(plan.op.size());
  double now_s = 0;
  for (const Block& block : plan.blocks) {
    const double stitch_s = 60 / speed_of(block, speed_spm);
    for (int i = block.first; i < block.first + block.count; ++i) {
      now_s += seconds_of(plan.op[static_cast<std::size_t>(i)], stitch_s, times);
      end_s.push_back(now_s);
    }
  }
  return end_s;
}

double thread_diameter_mm(double tex) {
  constexpr double kFibreGPerCm3 = 1.38, kFilled = 0.65;
  // tex / 1e6 is g/mm; g/cm3 / 1e3 is g/mm3.
  const double area_mm2 = std::max(0.0, tex) / (1e3 * kFibreGPerCm3 * kFilled);
  return std::sqrt(4 * area_mm2 / base::kPi);
}

ThreadUse thread_use(const Plan& plan, double stack_mm, const LockStitch& model) {
  BUCKRAM_ASSERT(stack_mm >= 0 && model.alpha >= 0 && model.alpha <= 1);
  BUCKRAM_ASSERT(model.needle_tail_mm >= 0 && model.bobbin_tail_mm >= 0);
  ThreadUse use;
  use.needle_m.assign(plan.threads.size(), 0);
  const double down_mm = 2 * model.alpha * stack_mm, up_mm = 2 * (1 - model.alpha) * stack_mm;
  std::size_t hanging = 0;  // a trim goes with the block that follows, its tail with what was sewn
  for (const Block& block : plan.blocks) {
    const std::size_t thread = static_cast<std::size_t>(block.thread);
    const double d_mm = model.thread_mm.value_or(thread_diameter_mm(plan.threads[thread].tex));
    for (int i = block.first; i < block.first + block.count; ++i) {
      const Op op = plan.op[static_cast<std::size_t>(i)];
      if (has_thread(plan, i)) {
        const double mm = geometry::distance(plan.at(i - 1), plan.at(i)) + 2 * d_mm;
        use.needle_m[thread] += (mm + down_mm) / 1000;
        use.bobbin_m += (mm + up_mm) / 1000;
      }
      if (op == Op::sew) hanging = thread;
      if (op == Op::trim) {
        use.needle_m[hanging] += model.needle_tail_mm / 1000;
        use.bobbin_m += model.bobbin_tail_mm / 1000;
      }
    }
  }
  return use;
}

}  // namespace buckram::stitch
