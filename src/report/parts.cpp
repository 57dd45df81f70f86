#include "report/parts.h"

#include "report/words.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <set>
#include <tuple>
#include <vector>

namespace buckram::report {
namespace {

using geometry::Box;

constexpr double kTouch_mm = 0.4;  // boxes this near belong together

struct Part {
  int thread = 0;
  std::string source;
  std::vector<int> objects;  // ids
  int first_id = 0;          // the least of them
  Box box;
  stitch::Kind kind = stitch::Kind::run;
  std::vector<double> widths;  // of the column stitches on top, mm
  std::size_t n_widest = 0;    // stitches of the object that gave the kind
  std::size_t in_row = 0, of_row = 0;
  Box row;
};

// One part an object, in plan order.
std::vector<Part> single_parts(const stitch::Plan& plan) {
  std::map<int, Part> found;
  for (const stitch::PlanObject& object : plan.objects) {
    Part& part = found[object.id];
    part.thread = object.thread, part.source = object.source, part.kind = object.kind;
    part.objects = {object.id}, part.first_id = object.id;
  }
  for (const stitch::Block& block : plan.blocks) {
    Part& part = found[block.object];
    for (int i = block.first; i < block.first + block.count; ++i) {
      if (plan.op[static_cast<std::size_t>(i)] != stitch::Op::sew) continue;
      part.box.add(plan.at(i));
      ++part.n_widest;
      if (block.layer == stitch::Layer::top && part.kind == stitch::Kind::column &&
          stitch::has_thread(plan, i))
        part.widths.push_back(geometry::distance(plan.at(i - 1), plan.at(i)));
    }
  }
  std::vector<Part> parts;
  for (auto& [id, part] : found)
    if (!part.box.empty()) parts.push_back(std::move(part));
  return parts;
}

// Moves all of `other` into `part`; `other` is left without objects.
void join(Part& part, Part& other) {
  const bool is_wider =
      std::tuple(other.n_widest, part.first_id) > std::tuple(part.n_widest, other.first_id);
  if (is_wider) part.kind = other.kind, part.n_widest = other.n_widest;
  part.first_id = std::min(part.first_id, other.first_id);
  part.objects.insert(part.objects.end(), other.objects.begin(), other.objects.end());
  part.widths.insert(part.widths.end(), other.widths.begin(), other.widths.end());
  part.box.add(geometry::Point{other.box.x0, other.box.y0});
  part.box.add(geometry::Point{other.box.x1, other.box.y1});
  other.objects.clear();
}

bool is_of_one_element(const Part& a, const Part& b) {
  return a.thread == b.thread && a.source == b.source;
}

// Joins what touches, from left to right; whether there was anything to join. Looks no farther to
// the right than a part reaches.
bool join_touching(std::vector<Part>& parts) {
  std::sort(parts.begin(), parts.end(), [](const Part& a, const Part& b) {
    return std::tie(a.thread, a.source, a.box.x0, a.first_id) <
           std::tie(b.thread, b.source, b.box.x0, b.first_id);
  });
  const std::size_t n_before = parts.size();
  for (std::size_t a = 0; a < parts.size(); ++a) {
    if (parts[a].objects.empty()) continue;  // joined to one before
    for (std::size_t b = a + 1; b < parts.size() && is_of_one_element(parts[a], parts[b]); ++b) {
      if (parts[b].box.x0 > parts[a].box.x1 + kTouch_mm) break;
      const bool is_touching =
          !parts[b].objects.empty() && parts[a].box.meets(parts[b].box, kTouch_mm);
      if (is_touching) join(parts[a], parts[b]);
    }
  }
  std::erase_if(parts, [](const Part& part) { return part.objects.empty(); });
  return parts.size() < n_before;
}

// Until nothing more touches: a part that has grown may reach others. In plan order.
std::vector<Part> joined_parts(std::vector<Part> parts) {
  while (join_touching(parts)) {
  }
  std::sort(parts.begin(), parts.end(),
            [](const Part& a, const Part& b) { return a.first_id < b.first_id; });
  return parts;
}

constexpr double kUnlike = 2.2;  // times as high: not a letter of the same row
constexpr double kGap = 1.5;     // heights between neighbours of a row

// Farther to the right nothing follows `a`.
bool is_in_reach(const Part& a, const Part& b) {
  return b.box.x0 - a.box.x1 < kGap * kUnlike * a.box.height();
}

// Whether `b` stands right of `a` as the next letter would.
bool follows(const Part& a, const Part& b) {
  const double least = std::min(a.box.height(), b.box.height());
  const double most = std::max(a.box.height(), b.box.height());
  const double shared = std::min(a.box.y1, b.box.y1) - std::max(a.box.y0, b.box.y0);
  const double gap = b.box.x0 - a.box.x1;
  return a.thread == b.thread && most < kUnlike * least && shared > 0.6 * least &&
         gap > -0.25 * std::min(a.box.width(), b.box.width()) && gap < kGap * most &&
         b.box.x1 > a.box.x1;
}

void find_rows(std::vector<Part>& parts) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < parts.size(); ++i) order.push_back(i);
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::tuple(parts[a].box.x0, a) < std::tuple(parts[b].box.x0, b);
  });
  std::vector<bool> is_taken(parts.size(), false);
  for (std::size_t at = 0; at < order.size(); ++at) {
    if (is_taken[order[at]]) continue;
    std::vector<std::size_t> row{order[at]};
    for (std::size_t k = at + 1;
         k < order.size() && is_in_reach(parts[row.back()], parts[order[k]]); ++k) {
      if (!is_taken[order[k]] && follows(parts[row.back()], parts[order[k]]))
        row.push_back(order[k]);
    }
    if (row.size() < 3) continue;
    Box all;
    for (const std::size_t i : row) {
      all.add(geometry::Point{parts[i].box.x0, parts[i].box.y0});
      all.add(geometry::Point{parts[i].box.x1, parts[i].box.y1});
    }
    for (std::size_t k = 0; k < row.size(); ++k) {
      is_taken[row[k]] = true;
      parts[row[k]].in_row = k + 1, parts[row[k]].of_row = row.size(), parts[row[k]].row = all;
    }
  }
}

// "top left", "middle", "round the edge".
std::string place_words(const Box& box, const Box& all) {
  const double wide = std::max(all.width(), 1e-9), tall = std::max(all.height(), 1e-9);
  if (box.width() > 0.85 * wide && box.height() > 0.85 * tall) return "over the whole design";
  const auto third = [](double share, double edge) {
    return share < edge ? 0 : share > 1 - edge ? 2 : 1;
  };
  // Worst places tell the side of the seam: what lies beside it is not called the middle here.
  const int column = box.width() > 0.7 * wide ? 1 : third((box.middle().x - all.x0) / wide, 0.44);
  const int row = box.height() > 0.7 * tall ? 1 : third((box.middle().y - all.y0) / tall, 0.36);
  static const char* const kRows[] = {"bottom", "", "top"};
  static const char* const kColumns[] = {"left", "", "right"};
  const std::string words =
      std::string(kRows[row]) + (row != 1 && column != 1 ? " " : "") + kColumns[column];
  return words.empty() ? "middle" : words;
}

std::string ordinal(std::size_t n) {
  const std::size_t tens = n % 100, ones = n % 10;
  const bool is_teen = tens >= 11 && tens <= 13;
  return std::to_string(n) + (is_teen     ? "th"
                              : ones == 1 ? "st"
                              : ones == 2 ? "nd"
                              : ones == 3 ? "rd"
                                          : "th");
}

// "column 2.3 mm wide", "fill 12 × 8 mm".
std::string form_words(Part& part) {
  if (part.kind == stitch::Kind::run) return "line";
  if (part.kind == stitch::Kind::fill)
    return "fill " + figure(part.box.width(), 0) + " × " + millimetres(part.box.height(), 0);
  if (part.widths.empty()) return "column";
  const auto middle = part.widths.begin() + static_cast<std::ptrdiff_t>(part.widths.size() / 2);
  std::nth_element(part.widths.begin(), middle, part.widths.end());
  return "column " + millimetres(*middle) + " wide";
}

std::string place_first(const std::string& place, const std::string& kind) {
  const bool is_whole = place == "over the whole design";
  return is_whole ? kind + " " + place : place + " " + kind;
}

PartName name_of(Part& part, const stitch::Plan& plan, const Box& all) {
  const std::string own = own_name(part.source);
  // What the artwork itself writes with a capital, as a name on it, keeps it.
  const bool has_capital = part.source.empty() || part.source != lower_first(part.source);
  if (!own.empty()) return {own, own, has_capital ? own : lower_first(own)};
  const auto thread = static_cast<std::size_t>(part.thread);
  std::string colour = thread < plan.threads.size() ? plan.threads[thread].name : "";
  if (colour.empty()) colour = "thread " + std::to_string(part.thread + 1);
  colour = upper_first(colour);
  if (part.of_row > 0) {
    const std::string count =
        ordinal(part.in_row) + " of " + std::to_string(part.of_row) + " in a row";
    const std::string place = place_words(part.row, all);
    return {colour + " shape, " + count + " from the left, " + place, colour + " shape, " + count,
            place_first(place, "row of " + std::to_string(part.of_row))};
  }
  const bool is_edge =
      part.kind == stitch::Kind::column && place_words(part.box, all) == "over the whole design";
  const std::string place = is_edge ? "round the edge" : place_words(part.box, all);
  return {colour + " " + form_words(part) + ", " + place, colour + " " + stitch::name(part.kind),
          is_edge ? "column round the edge" : place_first(place, stitch::name(part.kind))};
}

// Parts of one name are counted along the way they lie apart.
void tell_apart(std::vector<Part>& parts, std::vector<PartName>& names) {
  std::map<std::string, std::vector<std::size_t>> alike;
  for (std::size_t i = 0; i < parts.size(); ++i) alike[names[i].full].push_back(i);
  for (auto& [name, group] : alike) {
    if (group.size() < 2) continue;
    Box spread;
    for (const std::size_t i : group) spread.add(parts[i].box.middle());
    const bool is_across = spread.width() >= spread.height();
    std::sort(group.begin(), group.end(), [&](std::size_t a, std::size_t b) {
      const geometry::Point p = parts[a].box.middle(), q = parts[b].box.middle();
      return is_across ? std::tuple(p.x, a) < std::tuple(q.x, b)
                       : std::tuple(-p.y, a) < std::tuple(-q.y, b);
    });
    for (std::size_t k = 0; k < group.size(); ++k)
      names[group[k]].full += ", " + ordinal(k + 1) + " of " + std::to_string(group.size()) +
                              (is_across ? " from the left" : " from the top");
  }
}

}  // namespace

PartNames name_parts(const stitch::Plan& plan) {
  std::vector<Part> parts = joined_parts(single_parts(plan));
  find_rows(parts);
  Box all;
  for (const Part& part : parts) {
    all.add(geometry::Point{part.box.x0, part.box.y0});
    all.add(geometry::Point{part.box.x1, part.box.y1});
  }
  std::vector<PartName> names;
  for (Part& part : parts) names.push_back(name_of(part, plan, all));
  tell_apart(parts, names);
  PartNames out;
  for (std::size_t i = 0; i < parts.size(); ++i)
    for (const int id : parts[i].objects) out[id] = names[i];
  return out;
}

const PartName& part_name(const PartNames& names, int object_id) {
  static const PartName kNone{"Stitches", "Stitches", "stitches"};
  const auto found = names.find(object_id);
  return found == names.end() ? kNone : found->second;
}

}  // namespace buckram::report
