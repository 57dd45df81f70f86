#include "digitise/fill_order.h"

#include <algorithm>

namespace buckram::digitise {

namespace {

// Sections on a shortest chain of joins from `from` to `to`.
std::vector<char> on_the_way(const Sections& sections, int from, int to) {
  std::vector<int> before(sections.list.size(), -1), queue{from};
  before[from] = from;
  for (std::size_t i = 0; i < queue.size() && before[to] < 0; ++i)
    for (const Join& j : sections.list[queue[i]].joins)
      if (before[j.section] < 0) before[j.section] = queue[i], queue.push_back(j.section);
  std::vector<char> on(sections.list.size(), 0);
  if (before[to] < 0) return on;
  for (int s = to; s != from; s = before[s]) on[s] = 1;
  return on;
}

int end_span(const Section& section, bool top) {
  return top ? section.spans.back() : section.spans.front();
}

struct Frame {
  int section = 0;
  bool end_top = false;  // where the section must end
  int onward_span = -1;
  std::vector<Join> joins;  // in the order to be looked at
  std::size_t next = 0;
};

// First what leads to the entry, then what hangs at the end where the section itself ends, and last
// what hangs at the far end: from there the section's own rows go on without travel.
Frame make_frame(const Sections& sections, int section, bool end_top, int onward,
                 const std::vector<char>& early) {
  Frame frame{section, end_top, onward, sections.list[section].joins, 0};
  std::stable_sort(frame.joins.begin(), frame.joins.end(), [&](const Join& a, const Join& b) {
    if (early[a.section] != early[b.section]) return early[a.section] > early[b.section];
    return (a.own_top == end_top) > (b.own_top == end_top);
  });
  return frame;
}

}  // namespace

std::vector<Visit> sewing_order(const Sections& sections, int last, bool ends_at_top, int first) {
  const std::vector<char> early = on_the_way(sections, last, first);
  std::vector<char> seen(sections.list.size(), 0);
  std::vector<Visit> order;
  std::vector<Frame> open;  // an explicit stack: dirty outlines make thousands of sections
  seen[last] = 1;
  open.push_back(make_frame(sections, last, ends_at_top, -1, early));
  while (!open.empty()) {
    Frame& frame = open.back();
    if (frame.next == frame.joins.size()) {
      order.push_back({frame.section, frame.end_top, frame.onward_span});
      open.pop_back();
      continue;
    }
    const Join join = frame.joins[frame.next++];
    if (seen[join.section]) continue;
    seen[join.section] = 1;
    const int onward = end_span(sections.list[frame.section], join.own_top);
    open.push_back(make_frame(sections, join.section, join.other_top, onward, early));
  }
  return order;
}

}  // namespace buckram::digitise
