#include "machine/entries.h"

#include "base/base.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <map>

namespace buckram::machine {
namespace {

using stitch::Op;

// Where blocks are not given: a stitch of another thread, object or layer opens one, and what
// came since the last stitch goes with it.
void number_blocks(std::vector<Entry>& entries) {
  int block = -1;
  const Entry* last = nullptr;
  std::size_t waiting = 0;  // first entry without a block
  for (std::size_t i = 0; i < entries.size(); ++i) {
    Entry& entry = entries[i];
    if (entry.op != Op::sew) continue;
    const bool same = last != nullptr && last->thread == entry.thread &&
                      last->object == entry.object && last->layer == entry.layer;
    if (!same) ++block;
    for (std::size_t k = waiting; k <= i; ++k) entries[k].block = block;
    waiting = i + 1;
    last = &entry;
  }
  for (std::size_t k = waiting; k < entries.size(); ++k) entries[k].block = block;
}

// The entry that speaks for a block: its first stitch, else its last entry.
const Entry& spokesman(const std::vector<Entry>& entries, std::size_t first, std::size_t end) {
  for (std::size_t i = first; i < end; ++i) {
    if (entries[i].op == Op::sew) return entries[i];
  }
  return entries[end - 1];
}

void add_blocks(stitch::Plan& plan, const std::vector<Entry>& entries) {
  std::map<int, std::size_t> known;  // object id to index
  for (std::size_t first = 0; first < entries.size();) {
    std::size_t end = first + 1;
    while (end < entries.size() && entries[end].block == entries[first].block) ++end;
    const Entry& entry = spokesman(entries, first, end);
    const int id = entry.object > 0 ? entry.object : entry.thread + 1;
    if (known.try_emplace(id, plan.objects.size()).second) {
      plan.objects.push_back({.id = id, .kind = entry.kind, .thread = entry.thread});
    }
    plan.blocks.push_back({.object = id,
                           .layer = entry.layer,
                           .thread = entry.thread,
                           .first = static_cast<int>(first),
                           .count = static_cast<int>(end - first),
                           .speed_spm = entry.speed_spm});
    first = end;
  }
}

double rounded(double mm) {
  return std::round(mm * 1000) / 1000 + 0.0;
}

}  // namespace

stitch::Plan plan_of(std::vector<Entry> entries, std::vector<stitch::PlanThread> threads,
                     const std::string& where) {
  bool is_sewn = false;
  for (const Entry& entry : entries) is_sewn = is_sewn || entry.op == Op::sew;
  if (!is_sewn) {
    throw base::Error{base::ErrorCode::bad_stitches, "holds no stitches", where,
                      "Check that the whole file was copied"};
  }
  if (entries.back().op != Op::end) {
    Entry end = entries.back();
    end.op = Op::end;
    entries.push_back(end);
  }
  bool has_blocks = true;
  for (const Entry& entry : entries) has_blocks = has_blocks && entry.block >= 0;
  if (!has_blocks) number_blocks(entries);
  stitch::Plan plan;
  plan.threads = std::move(threads);
  for (const Entry& entry : entries) {
    plan.x.push_back(rounded(entry.at.x));
    plan.y.push_back(rounded(entry.at.y));
    plan.op.push_back(entry.op);
  }
  add_blocks(plan, entries);
  try {
    stitch::check_form(plan);
  } catch (const base::Error& error) {
    throw base::within(error, where);
  }
  return plan;
}

stitch::PlanThread unnamed_thread(int index) {
  static constexpr std::array kColours{"#22303c", "#b4432f", "#3b6e8f", "#7a8b3a",
                                       "#c9952b", "#6b4a7a", "#4a8b7a", "#8a5a3a"};
  stitch::PlanThread thread;
  thread.name = fmt::format("thread {}", index + 1);
  thread.rgb = kColours[static_cast<std::size_t>(index) % kColours.size()];
  thread.needle = index + 1;
  return thread;
}

}  // namespace buckram::machine
