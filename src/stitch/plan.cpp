#include "stitch/plan.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace buckram::stitch {
namespace {

[[noreturn]] void refuse(std::string what, std::string where) {
  throw base::Error{base::ErrorCode::bad_stitches, std::move(what), std::move(where),
                    "Make the plan again, or repair the file by its description in docs/files.md"};
}

std::string entry_name(int i) {
  return fmt::format("entry {}", i);
}

bool keeps_position(Op op) {
  return op != Op::sew && op != Op::move;
}

void check_entries(const Plan& plan) {
  const std::size_t n = plan.op.size();
  if (plan.x.size() != n || plan.y.size() != n) {
    refuse(fmt::format("x, y and op must have one length, but have {}, {} and {}", plan.x.size(),
                       plan.y.size(), n),
           "stitches");
  }
  if (n > static_cast<std::size_t>(kMostEntries)) {
    refuse(fmt::format("{} entries; at most {} are allowed", n, kMostEntries), "stitches");
  }
  for (int i = 0; i < plan.size(); ++i) {
    const geometry::Point p = plan.at(i);
    const bool fits =
        std::abs(p.x) <= kLargestCoordinateMm && std::abs(p.y) <= kLargestCoordinateMm;
    if (!fits) {  // also when not a number
      refuse(fmt::format("coordinates {}, {} must lie within {} mm of the origin", p.x, p.y,
                         kLargestCoordinateMm),
             entry_name(i));
    }
    const Op op = plan.op[static_cast<std::size_t>(i)];
    if (op == Op::end && i + 1 != plan.size()) refuse("`e` must be the last entry", entry_name(i));
    if (i > 0 && keeps_position(op) && geometry::distance(p, plan.at(i - 1)) > 0.0015) {
      refuse(fmt::format("`{}` must repeat the position before", static_cast<char>(op)),
             entry_name(i));
    }
  }
}

// Sorted ids; refuses ids used twice and threads that do not exist.
std::vector<int> check_objects(const Plan& plan) {
  std::vector<int> ids;
  const int n_threads = static_cast<int>(plan.threads.size());
  for (const PlanObject& object : plan.objects) {
    ids.push_back(object.id);
    if (object.id < 1 || object.id > kLargestObjectId) {
      refuse(fmt::format("ids go from 1 to {}", kLargestObjectId),
             fmt::format("object {}", object.id));
    }
    if (object.thread < 0 || object.thread >= n_threads) {
      refuse(fmt::format("thread {} does not exist; there are {}", object.thread, n_threads),
             fmt::format("object {}", object.id));
    }
  }
  std::sort(ids.begin(), ids.end());
  const auto twice = std::adjacent_find(ids.begin(), ids.end());
  if (twice != ids.end()) refuse("the id is used twice", fmt::format("object {}", *twice));
  return ids;
}

bool has_change(const Plan& plan, const Block& block) {
  for (int i = block.first; i < block.first + block.count; ++i) {
    const Op op = plan.op[static_cast<std::size_t>(i)];
    if (op == Op::change) return true;
    if (op == Op::sew) return false;
  }
  return false;
}

void check_block(const Plan& plan, std::size_t k, int first, const std::vector<int>& ids) {
  const Block& block = plan.blocks[k];
  const std::string where = fmt::format("block {}", k);
  const int n_threads = static_cast<int>(plan.threads.size());
  if (block.first != first || block.count < 1 || block.count > plan.size() - first) {
    refuse(fmt::format("first {} and count {} do not cover the entries from {} to {} in order",
                       block.first, block.count, first, plan.size() - 1),
           where);
  }
  if (!std::binary_search(ids.begin(), ids.end(), block.object)) {
    refuse(fmt::format("object {} does not exist", block.object), where);
  }
  if (block.thread < 0 || block.thread >= n_threads) {
    refuse(fmt::format("thread {} does not exist; there are {}", block.thread, n_threads), where);
  }
  if (k > 0 && plan.blocks[k - 1].thread != block.thread && !has_change(plan, block)) {
    refuse(fmt::format("thread {} follows thread {} without a `c` between", block.thread,
                       plan.blocks[k - 1].thread),
           where);
  }
}

}  // namespace

const char* name(Layer layer) {
  switch (layer) {
    case Layer::under:
      return "under";
    case Layer::top:
      return "top";
    case Layer::lock:
      return "lock";
    case Layer::travel:
      return "travel";
  }
  return "top";
}

const char* name(Kind kind) {
  switch (kind) {
    case Kind::column:
      return "column";
    case Kind::fill:
      return "fill";
    case Kind::run:
      return "run";
  }
  return "run";
}

std::vector<int> block_of_entries(const Plan& plan) {
  std::vector<int> block_of(plan.op.size(), 0);
  for (std::size_t k = 0; k < plan.blocks.size(); ++k) {
    const Block& block = plan.blocks[k];
    std::fill_n(block_of.begin() + block.first, block.count, static_cast<int>(k));
  }
  return block_of;
}

double speed_of(const Block& block, double bench_spm) {
  return block.speed_spm > 0 ? std::min(block.speed_spm, bench_spm) : bench_spm;
}

bool has_thread(const Plan& plan, int i) {
  return i > 0 && plan.op[static_cast<std::size_t>(i)] == Op::sew &&
         plan.op[static_cast<std::size_t>(i) - 1] == Op::sew;
}

const PlanObject* find_object(const Plan& plan, int id) {
  const auto found = std::find_if(plan.objects.begin(), plan.objects.end(),
                                  [id](const PlanObject& o) { return o.id == id; });
  return found == plan.objects.end() ? nullptr : &*found;
}

std::vector<std::size_t> object_of_blocks(const Plan& plan) {
  std::map<int, std::size_t> index_of;
  for (std::size_t k = 0; k < plan.objects.size(); ++k) index_of.emplace(plan.objects[k].id, k);
  std::vector<std::size_t> all;
  for (const Block& block : plan.blocks) all.push_back(index_of.at(block.object));
  return all;
}

void check_form(const Plan& plan) {
  check_entries(plan);
  const std::vector<int> ids = check_objects(plan);
  int first = 0;
  for (std::size_t k = 0; k < plan.blocks.size(); ++k) {
    check_block(plan, k, first, ids);
    first += plan.blocks[k].count;
  }
  if (first != plan.size()) {
    refuse(fmt::format("the blocks end at entry {}, the entries at {}", first, plan.size()),
           "blocks");
  }
}

}  // namespace buckram::stitch
