#include "digitise/border.h"
#include "digitise/classify.h"
#include "digitise/column.h"
#include "digitise/digitise.h"
#include "digitise/fill.h"
#include "digitise/lines_between.h"
#include "digitise/named.h"
#include "digitise/run.h"
#include "digitise/small_rows.h"
#include "digitise/split.h"
#include "digitise/stay_inside.h"
#include "digitise/ways.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <iterator>
#include <limits>
#include <map>
#include <memory>
#include <mutex>
#include <utility>

namespace buckram::digitise {
namespace {

using geometry::Polygon;
using geometry::Polygons;

constexpr double kSimplifyMm = 0.01;
constexpr double kTinyHoleMm2 = 0.08;  // closes under two threads
constexpr double kSpeckMm2 = 0.02;     // rounding, not artwork

// The direction of all rows of one region: its parts are one surface to the eye, also where
// something else cuts it up. Found when the first of its fills asks.
class RowAngle {
 public:
  double of(const Polygons& area, const Recipe& recipe) {
    std::call_once(found_, [&] { angle_rad_ = fill_angle(area, recipe); });
    return angle_rad_;
  }

 private:
  std::once_flag found_;
  double angle_rad_ = 0;
};

// What other threads show beside one region. Found when the first of its columns asks.
class Border {
 public:
  const stitch::Within& of(const artwork::Regions& regions, std::size_t region) {
    std::call_once(found_, [&] {
      constexpr double kNearMm = 1;
      const geometry::Box box = geometry::bounds(regions.regions[region].sewn);
      others_ =
          std::make_unique<const stitch::Within>(other_colours(regions, region, box, kNearMm));
    });
    return *others_;
  }

 private:
  std::once_flag found_;
  std::unique_ptr<const stitch::Within> others_;
};

// One connected polygon of one region: the unit of work, independent of all others but for the
// rows' angle.
struct Task {
  int region = 0;
  Polygon polygon;
};

struct Surface {
  const artwork::Regions& regions;
  std::size_t region = 0;
  RowAngle& angle;
  Border& border;
  bool follows_shape = false;  // rows bend with the shape where they can
};

struct Made {
  std::vector<Object> objects;  // ids and `after` count from 0 within the task
  std::vector<Polygon> cells;   // by object
  std::vector<artwork::Note> notes;
};

std::vector<Task> tasks_of(const artwork::Regions& regions, const Recipe& recipe) {
  const std::vector<Polygons> sewn = giving_way(regions, recipe);
  std::vector<Task> tasks;
  for (int r = 0; r < static_cast<int>(regions.regions.size()); ++r) {
    for (Polygon& polygon : geometry::simplify(sewn[r], kSimplifyMm)) {
      if (geometry::area(polygon) < kSpeckMm2) continue;
      std::erase_if(polygon.holes,
                    [](const auto& hole) { return -geometry::area(hole) < kTinyHoleMm2; });
      tasks.push_back({r, std::move(polygon)});
    }
  }
  return tasks;
}

geometry::Point somewhere_in(const Polygon& polygon) {
  const auto ring = polygon.outer;
  return ring.empty() ? geometry::Point{} : geometry::bounds(polygon).middle();
}

// Keeps the ways of a fill by which all its thread stays on its cloth. Where there is none, other
// angles are tried; a shape that none suits keeps the first.
void settle_fill(Object& object, const Recipe& recipe) {
  constexpr int kTurns[] = {0, 4, 2, 6, 1, 3, 5, 7};  // of an eighth of a half turn
  const Object first = object;
  const double angle = std::get<Fill>(object.shape).angle_rad;
  for (const int turn : kTurns) {
    Fill& fill = std::get<Fill>(object.shape);
    fill.angle_rad = std::fmod(angle + turn * base::kPi / 8, base::kPi);
    object.ways = fill_ways(fill, recipe);
    drop_stray_ways(object, recipe);
    if (!object.ways.empty()) return;
  }
  object = first;
}

// Rows that follow the shape, where it has one line to follow and all thread stays on its cloth;
// otherwise nothing changes.
void bend_fill(Object& object, const Recipe& recipe) {
  Fill& fill = std::get<Fill>(object.shape);
  auto bend = bend_of(fill.area);
  if (!bend) return;
  fill.bend = std::make_shared<const Bend>(std::move(*bend));
  object.ways = fill_ways(fill, recipe);
  drop_stray_ways(object, recipe);
  if (object.ways.empty()) fill.bend = nullptr;
}

// Objects of one cell; what its column misses is cut and judged once more.
void add_cell(const Cell& cell, const Recipe& recipe, int depth, Surface& surface, Made& made,
              std::vector<int>& ids) {
  Outcome outcome = classify(cell, recipe);
  if (!outcome.note_kind.empty()) {
    made.notes.push_back({outcome.note_kind, "", somewhere_in(cell.area), outcome.note_why});
  }
  if (!outcome.shape) return;
  Object object;
  object.shape = std::move(*outcome.shape);
  object.outline = std::move(outcome.outline);
  if (auto* column = std::get_if<Column>(&object.shape))
    draw_in_at_border(*column, surface.border.of(surface.regions, surface.region), recipe);
  if (std::holds_alternative<Fill>(object.shape) && surface.follows_shape)
    bend_fill(object, recipe);
  if (object.ways.empty()) {
    if (auto* fill = std::get_if<Fill>(&object.shape))
      fill->angle_rad = surface.angle.of(surface.regions.regions[surface.region].sewn, recipe);
    object.ways = ways_of(object, recipe);
    if (std::holds_alternative<Fill>(object.shape)) settle_fill(object, recipe);
  }
  if (object.ways.empty()) {
    made.notes.push_back({"left_out", "", somewhere_in(cell.area),
                          fmt::format("{:.2f} mm², too small to sew", geometry::area(cell.area))});
    return;
  }
  // What the column misses goes under it, so that its own edge stays whole.
  if (depth < 2) {
    for (Polygon& rest : outcome.missed)
      add_cell({std::move(rest), false, 0, {}}, recipe, depth + 1, surface, made, ids);
  }
  const int id = static_cast<int>(made.objects.size());
  if (depth == 0) object.after = ids;
  ids.push_back(id);
  made.objects.push_back(std::move(object));
  made.cells.push_back(cell.area);
}

Made make(const Task& task, Surface surface, const Recipe& recipe) {
  Made made;
  const auto cells = split(task.polygon, recipe, surface.regions.regions[surface.region].drawn);
  std::vector<std::vector<int>> ids(cells.size());
  for (std::size_t c = 0; c < cells.size(); ++c)
    add_cell(cells[c], recipe, 0, surface, made, ids[c]);
  for (std::size_t c = 0; c < cells.size(); ++c) {
    for (int object : ids[c]) {
      auto& after = made.objects[object].after;
      auto& tucked = made.objects[object].tucked;
      for (int before : cells[c].after)
        after.insert(after.end(), ids[before].begin(), ids[before].end());
      for (int before : cells[c].tucked)
        tucked.insert(tucked.end(), ids[before].begin(), ids[before].end());
    }
  }
  return made;
}

void join(Made made, const Task& task, const artwork::Region& region, Digitised& all) {
  const int first = static_cast<int>(all.objects.size()) + 1;
  for (Object& object : made.objects) {
    object.id = static_cast<int>(all.objects.size()) + 1;
    object.thread = region.thread;
    object.region = task.region;
    object.order = region.order;
    object.source = region.source;
    for (std::vector<int>* list : {&object.after, &object.tucked}) {
      for (int& before : *list) before += first;
      std::sort(list->begin(), list->end());
      list->erase(std::unique(list->begin(), list->end()), list->end());
    }
    all.objects.push_back(std::move(object));
  }
  std::move(made.cells.begin(), made.cells.end(), std::back_inserter(all.cells));
  for (artwork::Note& note : made.notes) {
    note.source = region.source;
    all.notes.push_back(std::move(note));
  }
}

std::vector<Shape> shapes_of(const std::vector<Task>& tasks, const artwork::Regions& regions) {
  std::vector<Shape> shapes;
  for (const Task& task : tasks) {
    const artwork::Region& region = regions.regions[task.region];
    shapes.push_back({geometry::bounds(task.polygon), region.thread, region.source});
  }
  return shapes;
}

// The size that a note begins with ("0.82 mm wide, …"); without one it is more than any.
double told_size(const artwork::Note& note) {
  double size = 0;
  const char* end = note.why.data() + note.why.size();
  const bool is_told = std::from_chars(note.why.data(), end, size).ec == std::errc();
  return is_told ? size : std::numeric_limits<double>::infinity();
}

// "34 parts, the narrowest 0.82 mm wide, under 1.0 mm": `least` is the smallest one's note.
std::string merged_words(int n_parts, const artwork::Note& least) {
  const bool is_told = told_size(least) < std::numeric_limits<double>::infinity();
  const bool is_width = least.why.find(" mm wide") != std::string::npos;
  return fmt::format("{} parts, {}{}", n_parts,
                     !is_told   ? ""
                     : is_width ? "the narrowest "
                                : "the smallest ",
                     least.why);
}

// One note for all of one kind on parts of one element, at the place of the smallest.
std::vector<artwork::Note> merged(const std::vector<artwork::Note>& notes) {
  std::vector<artwork::Note> out;
  std::vector<int> counts;
  std::map<std::pair<std::string, std::string>, std::size_t> at;
  for (const artwork::Note& note : notes) {
    const auto [found, is_new] = at.try_emplace({note.source, note.kind}, out.size());
    if (is_new) out.push_back(note), counts.push_back(0);
    artwork::Note& least = out[found->second];
    if (told_size(note) < told_size(least)) least = note;
    ++counts[found->second];
  }
  for (std::size_t i = 0; i < out.size(); ++i)
    if (counts[i] > 1) out[i].why = merged_words(counts[i], out[i]);
  return out;
}

bool follows_shape(const artwork::Region& region, const Recipe& recipe) {
  return std::any_of(recipe.follow_shape.begin(), recipe.follow_shape.end(),
                     [&](const std::string& id) { return is_named(region, id); });
}

// Elements that were to have bent rows and have none, or not in all their parts.
void add_straight_notes(const artwork::Regions& regions, const Recipe& recipe, Digitised& all) {
  for (const std::string& id : recipe.follow_shape) {
    int n_bent = 0;
    const Object* straight = nullptr;
    int n_straight = 0;
    for (const Object& object : all.objects) {
      const auto* fill = std::get_if<Fill>(&object.shape);
      if (fill == nullptr || !is_named(regions.regions[object.region], id)) continue;
      if (fill->bend)
        ++n_bent;
      else if (++n_straight == 1)
        straight = &object;
    }
    if (n_bent > 0 && straight == nullptr) continue;
    artwork::Note note{"rows", id == "*" ? "" : id, {}, ""};
    if (n_bent == 0) {
      note.why =
          "rows do not bend: it is not a fill of this artwork, or has no one middle line that they "
          "could follow";
    } else {
      note.at = somewhere_in(straight->outline.front());
      note.why = fmt::format(
          "rows bend in {} of {} parts: the others have no one middle line that "
          "they could follow",
          n_bent, n_bent + n_straight);
    }
    all.notes.push_back(std::move(note));
  }
}

}  // namespace

Digitised make_objects(const artwork::Regions& regions, const Recipe& recipe,
                       const base::Watch& watch) {
  watch.at("deciding columns and fills", 0.2);
  const auto tasks = tasks_of(regions, recipe);
  std::vector<Made> made(tasks.size());
  std::vector<RowAngle> angles(regions.regions.size());
  std::vector<Border> borders(regions.regions.size());
  base::parallel_for(tasks.size(), [&](std::size_t i) {
    const auto r = static_cast<std::size_t>(tasks[i].region);
    const artwork::Region& region = regions.regions[r];
    made[i] =
        make(tasks[i], {regions, r, angles[r], borders[r], follows_shape(region, recipe)}, recipe);
  });
  watch.at("deciding columns and fills", 0.45);
  Digitised all;
  for (std::size_t i = 0; i < tasks.size(); ++i) {
    join(std::move(made[i]), tasks[i], regions.regions[tasks[i].region], all);
  }
  const auto lost = lost_parts(regions, all);
  all.notes.insert(all.notes.end(), lost.begin(), lost.end());
  all.notes = merged(all.notes);
  const auto small = small_rows(shapes_of(tasks, regions), recipe);
  all.notes.insert(all.notes.begin(), small.begin(), small.end());
  add_straight_notes(regions, recipe, all);
  return all;
}

}  // namespace buckram::digitise
