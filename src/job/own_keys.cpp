#include "job/job.h"

#include <array>
#include <span>

namespace buckram::job {
namespace {

struct OwnKey {
  const char* key;
  void (*reset)(Job&);
};

constexpr std::array kOfMount{OwnKey{"bench.raise_mm", [](Job& job) { job.raise_mm.reset(); }},
                              OwnKey{"bench.packing_mm", [](Job& job) { job.packing_mm.reset(); }},
                              OwnKey{"bench.tautness", [](Job& job) { job.tautness.reset(); }},
                              OwnKey{"bench.foot_mm", [](Job& job) { job.foot_mm.reset(); }},
                              OwnKey{"bench.turn_deg", [](Job& job) { job.turn_deg.reset(); }},
                              OwnKey{"bench.turned_by", [](Job& job) { job.turned_by.reset(); }},
                              OwnKey{"gap", [](Job& job) { job.gap.clear(); }},
                              OwnKey{"gap_bench", [](Job& job) { job.gap_bench.reset(); }}};

constexpr std::array kOfCap{OwnKey{"cap.seam", [](Job& job) { job.has_seam.reset(); }},
                            OwnKey{"bench.backing", [](Job& job) { job.backing.reset(); }},
                            OwnKey{"gap", [](Job& job) { job.gap.clear(); }},
                            OwnKey{"gap_bench", [](Job& job) { job.gap_bench.reset(); }}};

std::span<const OwnKey> all_of(Own what) {
  if (what == Own::mount) return kOfMount;
  return kOfCap;
}

}  // namespace

std::vector<std::string> keys_of(Own what) {
  std::vector<std::string> keys;
  for (const OwnKey& each : all_of(what)) keys.emplace_back(each.key);
  return keys;
}

Job without_own(Job job, Own what) {
  for (const OwnKey& each : all_of(what)) each.reset(job);
  return job;
}

}  // namespace buckram::job
