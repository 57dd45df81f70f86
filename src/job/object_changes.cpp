#include "job/object_changes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace buckram::job {
namespace {

using digitise::Object;

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

// Share of the breaks that each object's stitches hold, by number.
std::map<int, double> shares(const stitch::Plan& plan, const needle::Forecast& standing) {
  std::map<int, double> all;
  if (standing.breaks_per_cap <= 0) return all;
  for (const stitch::Block& block : plan.blocks) {
    for (int i = block.first; i < block.first + block.count; ++i) {
      all[block.object] += standing.hazard[at(i)] / standing.breaks_per_cap;
    }
  }
  return all;
}

// One object to be told of and changed.
struct Carrier {
  const Object* object = nullptr;
  double share = 0;
  std::string name;   // after "object."
  std::string words;  // "the fill \"hull\""
};

std::string place_words(const Object& object) {
  const geometry::Point p = geometry::bounds(object.outline).middle();
  return fmt::format("{:.0f} mm {} and {:.0f} mm up", std::abs(p.x), p.x < 0 ? "left" : "right",
                     p.y);
}

// The element's id where it can stand in a key and is sewn as one object.
bool is_named_by_element(const Object& object, const std::vector<Object>& all) {
  const std::string& name = object.source;
  if (name.empty() || name.find_first_of(".=\"\\ ") != std::string::npos) return false;
  if (name.find_first_not_of("0123456789") == std::string::npos) return false;
  return std::count_if(all.begin(), all.end(),
                       [&](const Object& other) { return other.source == name; }) == 1;
}

std::vector<Carrier> carriers(const Resolved& job, const Planned& planned,
                              const needle::Forecast& standing) {
  const std::map<int, double> share_of = shares(*planned.plan, standing);
  std::vector<Carrier> all;
  for (const Object& object : planned.objects) {
    const auto found = share_of.find(object.id);
    if (found == share_of.end() || found->second < kLeastShare || object.order < 0) continue;
    const std::string number = std::to_string(object.id);
    const std::vector<std::string>& locked = job.job.locked;
    if (std::find(locked.begin(), locked.end(), number) != locked.end()) continue;
    // What the job says of a number goes over what it says of an element.
    const bool has_number =
        std::any_of(job.job.objects.begin(), job.job.objects.end(),
                    [&](const digitise::OwnStitches& own) { return own.of == number; });
    const bool by_element = !has_number && is_named_by_element(object, planned.objects);
    const char* kind = stitch::name(digitise::kind(object));
    all.push_back({&object, found->second, by_element ? object.source : number,
                   by_element
                       ? fmt::format("the {} \"{}\"", kind, object.source)
                       : fmt::format("object {} (a {}, {})", number, kind, place_words(object))});
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Carrier& a, const Carrier& b) { return a.share > b.share; });
  if (all.size() > kMostCarriers) all.erase(all.begin() + kMostCarriers, all.end());
  return all;
}

constexpr double kWidestRunMm = 1.5;  // where a run can stand for a column (digitise/)

// The changes of one object.
class Changes {
 public:
  Changes(const Carrier& carrier, const Resolved& job, std::vector<advise::Restitch>& all)
      : carrier_(carrier), locked_(job.job.locked), all_(all) {}

  void add(const char* key, const std::string& value, const std::string& words,
           const char* why) const {
    const auto is_locked = [&](const auto& name) {
      return advise::is_locked(fmt::format("object.{}.{}={}", name, key, value), locked_);
    };
    if (is_locked(carrier_.object->id) || is_locked(carrier_.object->source)) return;
    all_.push_back({fmt::format("object.{}.{}={}", carrier_.name, key, value), words,
                    fmt::format("{:.0f} % of the breaks are in it. {}", 100 * carrier_.share, why),
                    true, carrier_.share});
  }

 private:
  const Carrier& carrier_;
  const std::vector<std::string>& locked_;
  std::vector<advise::Restitch>& all_;
};

// Rows in the four directions, but for the one nearest to theirs.
void turn_rows(const Carrier& carrier, const digitise::Fill& fill, const Changes& changes) {
  constexpr double kAlikeDeg = 20;
  if (fill.bend) return;
  const double now_deg = fill.angle_rad * 180 / base::kPi;
  for (const double deg : {0.0, 45.0, 90.0, 135.0}) {
    const double apart = std::abs(deg - now_deg);
    if (std::min(apart, 180 - apart) < kAlikeDeg) continue;
    changes.add(
        "angle_deg", fmt::format("{:g}", deg),
        fmt::format("Lay the rows of {} at {:g} degrees, not {:.0f}", carrier.words, deg, now_deg),
        "The needle is pushed along the stitches and down the slope");
  }
}

// Back to what is usual, as stitch_changes() does for the whole design.
void lighten(const Carrier& carrier, const digitise::Recipe& recipe, const Changes& changes) {
  const bool is_fill = digitise::kind(*carrier.object) == stitch::Kind::fill;
  const bool is_column = digitise::kind(*carrier.object) == stitch::Kind::column;
  const double now_mm = is_fill ? recipe.row_mm : recipe.column_mm;
  const double usual_mm = is_fill ? kUsualRowMm : kUsualColumnMm;
  if ((is_fill || is_column) && now_mm < usual_mm - kDenser) {
    changes.add(is_fill ? "row_spacing_mm" : "column_spacing_mm", fmt::format("{:g}", usual_mm),
                fmt::format("Set the {} of {} {:g} mm apart for {:g} mm",
                            is_fill ? "rows" : "threads", carrier.words, usual_mm, now_mm),
                "Fewer holes, each with less thread around it");
  }
  if (is_fill && recipe.fill_stitch_mm < kLongestUsualFillMm - kDenser) {
    changes.add(
        "stitch_mm", fmt::format("{:g}", kLongestUsualFillMm),
        fmt::format("Lengthen the stitches of {} to {:g} mm", carrier.words, kLongestUsualFillMm),
        "Fewer times that the needle goes down");
  }
}

void reshape(const Carrier& carrier, const digitise::Column& column, const Changes& changes) {
  constexpr double kSplitMm = 3;
  if (column.width_mm > kSplitMm) {
    changes.add("stitch_mm", fmt::format("{:g}", kSplitMm),
                fmt::format("Split the threads of {} every {:g} mm", carrier.words, kSplitMm),
                "Shorter stitches leave the frame more time to come to rest");
    changes.add("sewn_as", "fill", fmt::format("Sew {} as a fill", carrier.words),
                "Fewer holes along its edges");
  }
  if (column.width_mm <= kWidestRunMm) {
    changes.add("sewn_as", "run", fmt::format("Sew {} as a run", carrier.words),
                "A double line of thread instead of threads across");
  }
}

// "7" of "object.7.angle_deg=45"; -1 where it names no number.
int object_number(const std::string& id) {
  if (!id.starts_with("object.")) return -1;
  const std::string name = id.substr(7, id.find('.', 7) - 7);
  const bool is_number = name.find_first_not_of("0123456789") == std::string::npos;
  return is_number && !name.empty() && name.size() < 9 ? std::stoi(name) : -1;
}

const Object* find(const Planned& planned, int number) {
  for (const Object& object : planned.objects) {
    if (object.id == number) return &object;
  }
  return nullptr;
}

}  // namespace

bool has_locked_object(const std::vector<std::string>& locked) {
  return std::any_of(locked.begin(), locked.end(), [](const std::string& each) {
    return each.find_first_not_of("0123456789") == std::string::npos;
  });
}

std::vector<advise::Restitch> object_changes(const Resolved& job, const Planned& planned,
                                             const needle::Forecast& standing) {
  const bool whole_stays = has_locked_object(job.job.locked);
  std::vector<advise::Restitch> all;
  for (const Carrier& carrier : carriers(job, planned, standing)) {
    const Object& object = *carrier.object;
    const Changes changes(carrier, job, all);
    if (const auto* fill = std::get_if<digitise::Fill>(&object.shape))
      turn_rows(carrier, *fill, changes);
    if (const auto* column = std::get_if<digitise::Column>(&object.shape))
      reshape(carrier, *column, changes);
    // Otherwise the same change of the whole design does it for all.
    if (whole_stays || object.own) lighten(carrier, object.own ? *object.own : job.recipe, changes);
  }
  return all;
}

bool are_same_objects(const std::vector<std::string>& ids, const Planned& before,
                      const Planned& after) {
  constexpr double kSameMm = 1;  // compensation and the other kind's reach; neighbours lie farther
  return std::all_of(ids.begin(), ids.end(), [&](const std::string& id) {
    const int number = object_number(id);
    if (number < 0) return true;
    const Object *was = find(before, number), *is = find(after, number);
    if (was == nullptr || is == nullptr || was->source != is->source) return false;
    const geometry::Box a = geometry::bounds(was->outline), b = geometry::bounds(is->outline);
    const geometry::Point moved =
        after.placement(geometry::Point{}) - before.placement(geometry::Point{});
    return geometry::distance(a.middle() + moved, b.middle()) < kSameMm &&
           std::abs(a.width() - b.width()) < kSameMm && std::abs(a.height() - b.height()) < kSameMm;
  });
}

}  // namespace buckram::job
