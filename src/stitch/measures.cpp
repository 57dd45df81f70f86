#include "stitch/measures.h"

#include "base/base.h"

#include <algorithm>

namespace buckram::stitch {

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
  for (const Op op : plan.op) {
    switch (op) {
      case Op::sew:
        now_s += 60 / speed_spm;
        break;
      case Op::move:
        now_s += times.move_s;
        break;
      case Op::trim:
        now_s += times.trim_s;
        break;
      case Op::change:
        now_s += times.change_s;
        break;
      case Op::stop:
        now_s += times.stop_s;
        break;
      case Op::end:
        break;
    }
    end_s.push_back(now_s);
  }
  return end_s;
}

ThreadUse thread_use(const Plan& plan, double stack_mm, double alpha, double tail_mm) {
  BUCKRAM_ASSERT(stack_mm >= 0 && alpha >= 0 && alpha <= 1 && tail_mm >= 0);
  ThreadUse use;
  use.needle_m.assign(plan.threads.size(), 0);
  std::size_t hanging = 0;  // a trim goes with the block that follows, its tail with what was sewn
  for (const Block& block : plan.blocks) {
    const std::size_t thread = static_cast<std::size_t>(block.thread);
    for (int i = block.first; i < block.first + block.count; ++i) {
      const Op op = plan.op[static_cast<std::size_t>(i)];
      if (has_thread(plan, i)) {
        const double mm = geometry::distance(plan.at(i - 1), plan.at(i));
        use.needle_m[thread] += (mm + 2 * alpha * stack_mm) / 1000;
        use.bobbin_m += (mm + 2 * (1 - alpha) * stack_mm) / 1000;
      }
      if (op == Op::sew) hanging = thread;
      if (op == Op::trim) {
        use.needle_m[hanging] += tail_mm / 1000;
        use.bobbin_m += tail_mm / 1000;
      }
    }
  }
  return use;
}

}  // namespace buckram::stitch
