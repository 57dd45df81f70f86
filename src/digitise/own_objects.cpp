// Single objects' own stitches: each made anew from its part of the artwork, by its own recipe.
#include "digitise/border.h"
#include "digitise/classify.h"
#include "digitise/column.h"
#include "digitise/digitise.h"
#include "digitise/fill.h"
#include "digitise/named.h"
#include "digitise/run.h"
#include "digitise/stay_inside.h"
#include "digitise/ways.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <utility>

namespace buckram::digitise {
namespace {

using stitch::Kind;

// As the job file writes them.
constexpr const char* kUnderWords[] = {"none", "centre", "edge", "zigzag", "lattice"};

[[noreturn]] void fail(const OwnStitches& own, const std::string& key, const std::string& what,
                       const std::string& hint) {
  throw base::Error{base::ErrorCode::bad_job, what,
                    "object." + own.of + (key.empty() ? "" : "." + key), hint};
}

std::optional<int> number(const std::string& text) {
  int value = 0;
  const char* end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, value);
  return read.ec == std::errc() && read.ptr == end ? std::optional(value) : std::nullopt;
}

std::string known_elements(const Digitised& made) {
  constexpr std::size_t kMost = 12;
  std::vector<std::string> names;
  for (const Object& object : made.objects) {
    if (std::find(names.begin(), names.end(), object.source) == names.end())
      names.push_back(object.source);
  }
  const bool is_long = names.size() > kMost;
  if (is_long) names.resize(kMost);
  return fmt::format("{}{}", fmt::join(names, ", "), is_long ? ", ..." : "");
}

std::vector<int> meant(const OwnStitches& own, const Digitised& made,
                       const artwork::Regions& regions) {
  const int n = static_cast<int>(made.objects.size());
  const std::string there = fmt::format("Objects: 1 to {}; elements: {}", n, known_elements(made));
  if (const auto id = number(own.of)) {
    if (*id < 1 || *id > n) fail(own, "", "there is no object of that number", there);
    return {*id - 1};
  }
  std::vector<int> all;
  for (int i = 0; i < n; ++i) {
    const artwork::Region& region =
        regions.regions[static_cast<std::size_t>(made.objects[static_cast<std::size_t>(i)].region)];
    if (is_named(region, own.of)) all.push_back(i);
  }
  if (all.empty()) fail(own, "", "no object is sewn from an element of that name", there);
  return all;
}

bool is_fit(UnderKind under, Kind kind) {
  if (kind == Kind::run) return false;
  if (kind == Kind::column) return under != UnderKind::lattice;
  return under != UnderKind::centre && under != UnderKind::zigzag;
}

// Without the keys that this kind of object has no use for.
OwnStitches fit_for(OwnStitches own, Kind kind) {
  if (kind != Kind::fill) own.angle_deg.reset(), own.row_mm.reset();
  if (kind != Kind::column) own.column_mm.reset();
  if (own.under && !is_fit(*own.under, kind)) own.under.reset();
  return own;
}

void lay_over(OwnStitches& below, const OwnStitches& above) {
  const auto lay = [](auto& under, const auto& over) {
    if (over) under = over;
  };
  below.of = above.of;
  lay(below.sewn_as, above.sewn_as);
  lay(below.angle_deg, above.angle_deg);
  lay(below.row_mm, above.row_mm);
  lay(below.column_mm, above.column_mm);
  lay(below.stitch_mm, above.stitch_mm);
  lay(below.under, above.under);
}

// Fails for the first key that is asked for and not among those used.
void refuse_unused(const OwnStitches& asked, const OwnStitches& used, const std::string& what_is) {
  const auto check = [&](bool is_unused, const char* key, const char* why) {
    if (is_unused) fail(asked, key, what_is + ": " + why, "Leave the key out, or set sewn_as too");
  };
  check(asked.angle_deg && !used.angle_deg, "angle_deg", "only fills have rows to turn");
  check(asked.row_mm && !used.row_mm, "row_spacing_mm", "only fills have rows");
  check(asked.column_mm && !used.column_mm, "column_spacing_mm",
        "only columns have threads across");
  check(asked.under && !used.under, "under",
        "columns have none, centre, edge or zigzag under them; fills none, edge or lattice; runs "
        "nothing");
}

Recipe own_recipe(const OwnStitches& own, Kind kind, const Recipe& recipe) {
  Recipe mine = recipe;
  mine.own.clear();
  if (own.row_mm) mine.row_mm = *own.row_mm;
  if (own.column_mm) mine.column_mm = *own.column_mm;
  if (own.under) mine.under = own.under;
  if (!own.stitch_mm) return mine;
  constexpr double kLeastSplitMm = 2;  // shorter, and pieces fall under the shortest stitch
  const bool is_column = kind == Kind::column;
  if (*own.stitch_mm > recipe.longest_mm || (is_column && *own.stitch_mm < kLeastSplitMm)) {
    fail(own, "stitch_mm",
         fmt::format("is {:g}; it must be between {:g} and {:g} mm for a {}", *own.stitch_mm,
                     is_column ? kLeastSplitMm : 1, recipe.longest_mm, stitch::name(kind)),
         "Choose a value between them, or leave the key out");
  }
  (is_column            ? mine.longest_mm
   : kind == Kind::fill ? mine.fill_stitch_mm
                        : mine.run_mm) = *own.stitch_mm;
  mine.run_mm = std::min(mine.run_mm, mine.longest_mm);
  mine.fill_stitch_mm = std::min(mine.fill_stitch_mm, mine.longest_mm);
  return mine;
}

// One object to be made anew.
struct Task {
  const OwnStitches& own;
  const Object& before;
  const geometry::Polygon& cell;
  const artwork::Regions& regions;
  const Recipe& recipe;
};

// Another kind, or the same with its holes elsewhere. (Fills find theirs when they are sewn.)
void reshape(const Task& task, Kind kind, const Recipe& mine, Object& object) {
  const bool keeps_holes = kind == digitise::kind(task.before) && kind != Kind::run;
  if (keeps_holes && !task.own.column_mm) return;
  auto outcome = shaped_as(kind, task.cell, mine);
  if (!outcome) {
    fail(task.own, task.own.sewn_as ? "sewn_as" : "",
         fmt::format("object {} cannot be sewn as a {}", task.before.id, stitch::name(kind)),
         kind == Kind::run ? fmt::format("A run needs one middle line and no more than {:g} mm "
                                         "width",
                                         kWidestRunMm)
                           : "Threads across do not cover its shape; a fill does");
  }
  object.shape = std::move(*outcome->shape);
  object.outline = std::move(outcome->outline);
  const auto region = static_cast<std::size_t>(task.before.region);
  if (auto* column = std::get_if<Column>(&object.shape)) {
    constexpr double kNearMm = 1;
    const geometry::Box box = geometry::bounds(task.regions.regions[region].sewn);
    draw_in_at_border(*column, stitch::Within(other_colours(task.regions, region, box, kNearMm)),
                      mine);
  }
  if (auto* fill = std::get_if<Fill>(&object.shape))
    fill->angle_rad = fill_angle(task.regions.regions[region].sewn, mine);
}

void turn_rows(const Task& task, Object& object) {
  if (!task.own.angle_deg) return;
  Fill& fill = std::get<Fill>(object.shape);
  fill.angle_rad = std::fmod(*task.own.angle_deg * base::kPi / 180, base::kPi);
  fill.bend = nullptr;
}

// Ways by which all thread stays on its cloth. As for all objects, one that has none such keeps
// those that it has, unless its rows were turned by hand.
void find_ways(const Task& task, const Recipe& mine, Object& object) {
  object.ways = ways_of(object, mine);
  const std::vector<Way> all = object.ways;
  drop_stray_ways(object, mine);
  if (!object.ways.empty()) return;
  if (task.own.angle_deg || all.empty()) {
    fail(task.own, task.own.angle_deg ? "angle_deg" : "",
         fmt::format("object {} cannot be sewn so with all thread on its cloth", task.before.id),
         task.own.angle_deg ? "Choose another direction" : "Leave the key out");
  }
  object.ways = all;
}

Object remade(const Task& task) {
  const Kind kind = task.own.sewn_as.value_or(digitise::kind(task.before));
  const Recipe mine = own_recipe(task.own, kind, task.recipe);
  Object object = task.before;
  reshape(task, kind, mine, object);
  turn_rows(task, object);
  find_ways(task, mine, object);
  object.own = std::make_shared<const Recipe>(mine);
  return object;
}

// "rows at 45 degrees, 0.50 mm apart".
std::string words(const OwnStitches& own) {
  std::vector<std::string> parts;
  if (own.sewn_as) parts.push_back(fmt::format("sewn as a {}", stitch::name(*own.sewn_as)));
  if (own.angle_deg) parts.push_back(fmt::format("rows at {:g} degrees", *own.angle_deg));
  if (own.row_mm) parts.push_back(fmt::format("rows {:g} mm apart", *own.row_mm));
  if (own.column_mm) parts.push_back(fmt::format("threads {:g} mm apart", *own.column_mm));
  if (own.stitch_mm) parts.push_back(fmt::format("stitches up to {:g} mm", *own.stitch_mm));
  if (own.under)
    parts.push_back(
        fmt::format("under-stitching: {}", kUnderWords[static_cast<std::size_t>(*own.under)]));
  return fmt::format("{}", fmt::join(parts, ", "));
}

// By object: what it is to have. Elements first, so that an object's number goes over its element.
using Asked = std::map<int, OwnStitches>;
Asked asked_of(const Digitised& made, const artwork::Regions& regions,
               std::vector<OwnStitches> own) {
  std::stable_partition(own.begin(), own.end(),
                        [](const OwnStitches& each) { return !number(each.of); });
  std::vector<std::vector<int>> objects;
  std::map<int, Kind> kinds;
  for (const OwnStitches& each : own) {
    objects.push_back(meant(each, made, regions));
    for (const int i : objects.back()) {
      const Kind is = digitise::kind(made.objects[static_cast<std::size_t>(i)]);
      const Kind was = kinds.try_emplace(i, is).first->second;
      kinds[i] = each.sewn_as.value_or(was);
    }
  }
  Asked asked;
  for (std::size_t k = 0; k < own.size(); ++k) {
    OwnStitches used;
    for (const int i : objects[k]) {
      const OwnStitches fit = fit_for(own[k], kinds.at(i));
      lay_over(asked[i], fit);
      lay_over(used, fit);
    }
    const bool is_one = objects[k].size() == 1;
    refuse_unused(own[k], used,
                  is_one ? fmt::format("object {} is a {}", objects[k].front() + 1,
                                       stitch::name(kinds.at(objects[k].front())))
                         : std::string("no object of this element can have it"));
  }
  return asked;
}

}  // namespace

OwnObjects own_objects(const Digitised& made, const artwork::Regions& regions,
                       const Recipe& recipe) {
  const Asked asked = asked_of(made, regions, recipe.own);
  OwnObjects all;
  for (const auto& [i, own] : asked) {
    const auto at = static_cast<std::size_t>(i);
    const Object& before = made.objects[at];
    all.indices.push_back(i);
    all.objects.push_back(remade({own, before, made.cells[at], regions, recipe}));
    all.notes.push_back({"object", before.source, geometry::bounds(before.outline).middle(),
                         fmt::format("object {}: {}, as the job asks", before.id, words(own))});
  }
  return all;
}

}  // namespace buckram::digitise
