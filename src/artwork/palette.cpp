#include "artwork/palette.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <numeric>

namespace buckram::artwork {
namespace {

// A thread farther than this from the artwork's colour is worth a word (CIEDE2000; where customers
// begin to see another colour; estimate, from memory).
constexpr double kWorthTelling = 5;

struct Group {
  Rgb colour;  // of its largest share
  double area_mm2 = 0;
  int thread = 0;  // index into the shop's list
  std::string source;
};

// Group of each share, largest colours first.
std::vector<Group> group_colours(const std::vector<PaletteShare>& shares, double merge_difference,
                                 std::vector<int>& group_of) {
  std::vector<std::size_t> order(shares.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return shares[a].area_mm2 > shares[b].area_mm2;
  });
  std::vector<Group> groups;
  std::vector<Lab> labs;
  group_of.assign(shares.size(), -1);
  for (const std::size_t i : order) {
    if (shares[i].area_mm2 <= 0) continue;
    const Lab lab = to_lab(shares[i].colour);
    std::size_t at = 0;
    while (at < groups.size() && difference(labs[at], lab) > merge_difference) ++at;
    if (at == groups.size()) {
      groups.push_back({shares[i].colour, 0, 0, shares[i].source});
      labs.push_back(lab);
    }
    groups[at].area_mm2 += shares[i].area_mm2;
    group_of[i] = static_cast<int>(at);
  }
  return groups;
}

struct Pair {
  int keep = -1, drop = -1;  // threads of the shop's list
};

// The pair whose merging is seen least: small difference, small area.
Pair least_seen(const std::vector<Group>& groups, const std::vector<int>& used,
                const std::vector<Thread>& threads) {
  const auto area = [&](int thread) {
    double sum = 0;
    for (const Group& each : groups) sum += each.thread == thread ? each.area_mm2 : 0;
    return sum;
  };
  Pair best;
  double least = std::numeric_limits<double>::infinity();
  for (const int a : used) {
    for (const int b : used) {
      if (a == b || area(a) < area(b)) continue;
      const double seen = difference(to_lab(threads[static_cast<std::size_t>(a)].colour),
                                     to_lab(threads[static_cast<std::size_t>(b)].colour)) *
                          area(b);
      if (seen < least) least = seen, best = {a, b};
    }
  }
  return best;
}

std::vector<int> used_threads(const std::vector<Group>& groups) {
  std::vector<int> used;
  for (const Group& group : groups) {
    if (std::find(used.begin(), used.end(), group.thread) == used.end()) {
      used.push_back(group.thread);
    }
  }
  return used;
}

void merge_down(std::vector<Group>& groups, const std::vector<Thread>& threads, int most,
                std::vector<Note>& notes) {
  std::vector<int> used = used_threads(groups);
  while (static_cast<int>(used.size()) > most) {
    const Pair pair = least_seen(groups, used, threads);
    for (Group& group : groups) {
      if (group.thread != pair.drop) continue;
      group.thread = pair.keep;
      notes.push_back({"colour",
                       group.source,
                       {},
                       fmt::format("{} is sewn in {}: the machine has {} needles",
                                   threads[static_cast<std::size_t>(pair.drop)].name,
                                   threads[static_cast<std::size_t>(pair.keep)].name, most)});
    }
    used = used_threads(groups);
  }
}

void tell_far_matches(const std::vector<Group>& groups, const std::vector<Thread>& threads,
                      std::vector<Note>& notes) {
  for (const Group& group : groups) {
    const Thread& thread = threads[static_cast<std::size_t>(group.thread)];
    const double off = difference(to_lab(group.colour), to_lab(thread.colour));
    if (off <= kWorthTelling) continue;
    notes.push_back({"colour",
                     group.source,
                     {},
                     fmt::format("nearest thread {}, {:.0f} off: show the customer the thread",
                                 thread.name, off)});
  }
}

}  // namespace

Palette choose_threads(const std::vector<PaletteShare>& shares, const std::vector<Thread>& threads,
                       const RegionOptions& options) {
  Palette palette;
  std::vector<int> group_of;
  std::vector<Group> groups = group_colours(shares, options.merge_difference, group_of);
  for (Group& group : groups) group.thread = nearest_thread(group.colour, threads);
  tell_far_matches(groups, threads, palette.notes);
  merge_down(groups, threads, options.max_threads, palette.notes);

  std::vector<int> place(threads.size(), -1);  // in the shop's list to place in the palette
  for (const int group : group_of) {
    if (group < 0) {
      palette.thread_of.push_back(-1);
      continue;
    }
    const auto thread = static_cast<std::size_t>(groups[static_cast<std::size_t>(group)].thread);
    if (place[thread] < 0) {
      place[thread] = static_cast<int>(palette.threads.size());
      palette.threads.push_back(threads[thread]);
    }
    palette.thread_of.push_back(place[thread]);
  }
  return palette;
}

}  // namespace buckram::artwork
