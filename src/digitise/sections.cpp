#include "digitise/sections.h"

#include <algorithm>
#include <numeric>

namespace buckram::digitise {

namespace {

int find(std::vector<int>& parent, int i) {
  while (parent[i] != i) i = parent[i] = parent[parent[i]];
  return i;
}
void join_sets(std::vector<int>& parent, int a, int b) {
  a = find(parent, a), b = find(parent, b);
  parent[std::max(a, b)] = std::min(a, b);
}

// Each span has a lower half 2 s and an upper half 2 s + 1, each in the strip on its side.
std::vector<int> strip_parts(const Rows& rows) {
  std::vector<int> parent(rows.spans.size() * 2);
  std::iota(parent.begin(), parent.end(), 0);
  for (const Crossing& c : rows.crossings) {
    const Crossing& d = rows.crossings[c.next];
    if (c.span < 0 || d.span < 0) continue;
    join_sets(parent, 2 * c.span + (c.rising ? 1 : 0), 2 * d.span + (d.rising ? 0 : 1));
  }
  for (std::size_t i = 0; i < parent.size(); ++i) parent[i] = find(parent, static_cast<int>(i));
  return parent;
}

// Halves of one strip part: the spans below it (their upper halves) and above it, by x.
struct Part {
  std::vector<int> below, above;
};

std::vector<Part> gather(const std::vector<int>& parent) {
  std::vector<int> index(parent.size(), -1);
  std::vector<Part> parts;
  for (std::size_t i = 0; i < parent.size(); ++i) {
    int& at = index[parent[i]];
    if (at < 0) at = static_cast<int>(parts.size()), parts.emplace_back();
    (i % 2 == 1 ? parts[at].below : parts[at].above).push_back(static_cast<int>(i / 2));
  }
  return parts;
}

struct Stack {
  std::vector<int> up, down;  // the span a section goes on with, or -1
};

Stack stack(const std::vector<Part>& parts, std::size_t n_spans) {
  Stack s{std::vector<int>(n_spans, -1), std::vector<int>(n_spans, -1)};
  for (const Part& part : parts) {
    if (part.below.size() != 1 || part.above.size() != 1) continue;
    s.up[part.below[0]] = part.above[0];
    s.down[part.above[0]] = part.below[0];
  }
  return s;
}

struct End {
  int span = 0;
  bool top = false;  // of its section
};

void add_join(Sections& sections, End a, End b) {
  const int sa = sections.of_span[a.span], sb = sections.of_span[b.span];
  sections.list[sa].joins.push_back({sb, a.top, b.top});
  sections.list[sb].joins.push_back({sa, b.top, a.top});
}

// Joins what lies over each other; then, so that nothing is left apart, neighbours in x.
void join_part(const Rows& rows, Sections& sections, const Part& part) {
  std::vector<End> ends;
  for (int s : part.below) ends.push_back({s, true});
  for (int s : part.above) ends.push_back({s, false});
  std::vector<int> parent(ends.size());
  std::iota(parent.begin(), parent.end(), 0);
  const std::size_t n_below = part.below.size();
  std::size_t i = 0, j = 0;
  while (i < n_below && j < part.above.size()) {
    const RowSpan &low = rows.spans[part.below[i]], &high = rows.spans[part.above[j]];
    if (std::min(low.x1, high.x1) > std::max(low.x0, high.x0)) {
      add_join(sections, ends[i], ends[n_below + j]);
      join_sets(parent, static_cast<int>(i), static_cast<int>(n_below + j));
    }
    low.x1 < high.x1 ? ++i : ++j;
  }
  std::vector<int> by_x(ends.size());
  std::iota(by_x.begin(), by_x.end(), 0);
  std::stable_sort(by_x.begin(), by_x.end(), [&](int a, int b) {
    return rows.spans[ends[a].span].x0 < rows.spans[ends[b].span].x0;
  });
  for (std::size_t k = 0; k + 1 < by_x.size(); ++k) {
    if (find(parent, by_x[k]) == find(parent, by_x[k + 1])) continue;
    add_join(sections, ends[by_x[k]], ends[by_x[k + 1]]);
    join_sets(parent, by_x[k], by_x[k + 1]);
  }
}

}  // namespace

Sections make_sections(const Rows& rows) {
  const std::vector<Part> parts = gather(strip_parts(rows));
  const Stack links = stack(parts, rows.spans.size());
  Sections sections;
  sections.of_span.assign(rows.spans.size(), -1);
  sections.place_in.assign(rows.spans.size(), 0);
  for (std::size_t s = 0; s < rows.spans.size(); ++s) {
    if (links.down[s] >= 0) continue;
    Section section;
    for (int t = static_cast<int>(s); t >= 0; t = links.up[t]) {
      sections.of_span[t] = static_cast<int>(sections.list.size());
      sections.place_in[t] = static_cast<int>(section.spans.size());
      section.spans.push_back(t);
    }
    sections.list.push_back(std::move(section));
  }
  for (const Part& part : parts) {
    if (part.below.size() + part.above.size() == 1) {
      const bool top = part.above.empty();
      Section& section = sections.list[sections.of_span[top ? part.below[0] : part.above[0]]];
      (top ? section.open_top : section.open_bottom) = true;
    } else if (part.below.size() != 1 || part.above.size() != 1) {
      join_part(rows, sections, part);
    }
  }
  return sections;
}

void cut_section(Sections& sections, int s, int at) {
  const int upper = static_cast<int>(sections.list.size());
  Section high;
  Section& low = sections.list[s];
  high.spans.assign(low.spans.begin() + at, low.spans.end());
  low.spans.resize(static_cast<std::size_t>(at));
  high.open_top = low.open_top;
  low.open_top = false;
  std::vector<Join> kept;
  for (const Join& j : low.joins) (j.own_top ? high.joins : kept).push_back(j);
  low.joins = std::move(kept);
  for (const Join& j : high.joins)
    for (Join& back : sections.list[j.section].joins)
      if (back.section == s && back.other_top) back.section = upper;
  low.joins.push_back({upper, true, false});
  high.joins.push_back({s, false, true});
  sections.list.push_back(std::move(high));
  const Section& added = sections.list.back();
  for (std::size_t i = 0; i < added.spans.size(); ++i) {
    sections.of_span[added.spans[i]] = upper;
    sections.place_in[added.spans[i]] = static_cast<int>(i);
  }
}

}  // namespace buckram::digitise
