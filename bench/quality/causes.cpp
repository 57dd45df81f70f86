#include "causes.h"

#include "sewn.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace quality {
namespace {

using namespace buckram;

// Where librsvg blends two colours at an edge (0.02 mm) a cell of 0.05 mm may show a third one.
constexpr float kBlendMm = 0.08F;

struct Maps {
  std::vector<int> region;             // thread of the region that the planner sees, -1: none
  std::vector<std::vector<float>> to;  // by thread: distance to where the artwork wants it
  std::vector<Mask> planned;           // by thread: where its objects are meant to cover
  std::map<int, const digitise::Object*> object;
};

Maps make_maps(const job::Planned& planned, const std::vector<int>& wanted, const Frame& frame) {
  Maps maps;
  maps.region.assign(frame.size(), -1);
  for (const artwork::Region& region : planned.regions.regions)
    each_cell(region.visible, frame, [&](std::size_t at) { maps.region[at] = region.thread; });
  const std::size_t n = planned.plan->threads.size();
  maps.planned.assign(n, Mask(frame.size(), 0));
  for (const digitise::Object& object : planned.objects) {
    maps.object[object.id] = &object;
    Mask& mask = maps.planned[static_cast<std::size_t>(object.thread)];
    each_cell(object.outline, frame, [&](std::size_t at) { mask[at] = 1; });
  }
  for (std::size_t t = 0; t < n; ++t) {
    Mask mask(frame.size());
    for (std::size_t i = 0; i < frame.size(); ++i) mask[i] = wanted[i] == int(t);
    maps.to.push_back(distance_to(mask, frame));
  }
  return maps;
}

const char* width_of(float mm) {
  return mm <= 0.1F ? "by 0.1 mm" : mm <= 0.2F ? "by 0.1 to 0.2 mm" : "by more than 0.2 mm";
}

// What a wrong cell is put down to.
std::string cause_of(std::size_t at, int wanted, const Maps& maps, const Sewn& sewn,
                     const Mask& has_wanted) {
  const auto top = static_cast<std::size_t>(sewn.top[at]);
  const char* kind = stitch::name(digitise::kind(*maps.object.at(sewn.object[at])));
  const int region = maps.region[at];
  if (region != wanted) {
    const bool is_blend = region >= 0 && maps.to[static_cast<std::size_t>(region)][at] < kBlendMm;
    if (is_blend) return "artwork: blend of two colours at an edge";
    return region < 0 ? "artwork: no region there" : "artwork: read otherwise";
  }
  const std::string far = width_of(maps.to[top][at]);
  if (maps.planned[top][at] == 0) {
    const char* what = has_wanted[at] != 0 ? "past its outline, over" : "past its outline, beside";
    return fmt::format("{} {} {}", kind, what, far);
  }
  const std::string meant = has_wanted[at] != 0 ? "as planned, over" : "as planned, underlap bare";
  return fmt::format("{} {} {}", kind, meant, far);
}

void tally_colours(const job::Planned& planned, const Painted& art, const Frame& frame,
                   std::map<std::string, double>& tally) {
  const Sewn sewn = paint_thread(*planned.plan, frame);
  Colours colours(*planned.plan);
  std::vector<int> wanted(frame.size(), -1);
  double total = 0;
  for (std::size_t i = 0; i < frame.size(); ++i) {
    if (art.is_art[i] == 0) continue;
    wanted[i] = colours.thread_of(art.rgb[i]), ++total;
  }
  const Maps maps = make_maps(planned, wanted, frame);
  for (std::size_t t = 0; t < colours.threads.size(); ++t) {
    const Mask has = thread_mask(*planned.plan, int(t), frame);
    for (std::size_t i = 0; i < frame.size(); ++i) {
      if (wanted[i] != int(t) || sewn.count[i] == 0) continue;
      if (!colours.is_wrong(wanted[i], sewn.top[i])) continue;
      tally[cause_of(i, wanted[i], maps, sewn, has)] += 100 / total;
    }
  }
}

// Hidden thread that is seen: under-stitching, travel and locks that nothing covers and that show
// another colour than the artwork's, or lie past it. None of it is in the score, which sees the top
// layer alone.
void tally_hidden(const job::Planned& planned, const Painted& art, const Frame& frame,
                  std::map<std::string, double>& tally) {
  const Seen seen = paint_all(*planned.plan, frame);
  Colours colours(*planned.plan);
  const std::vector<float> to_art = distance_to(art.is_art, frame);
  double total = 0;
  for (const auto cell : art.is_art) total += cell;
  for (std::size_t i = 0; i < frame.size(); ++i) {
    const auto layer = stitch::Layer(int(seen.layer[i]) - 1);
    if (seen.layer[i] == 0 || layer == stitch::Layer::top) continue;
    const bool is_past = art.is_art[i] == 0 && to_art[i] > 0.2F;
    const bool is_wrong =
        art.is_art[i] != 0 && colours.is_wrong(colours.thread_of(art.rgb[i]), seen.top[i]);
    if (is_past) tally[fmt::format("{} past the artwork", stitch::name(layer))] += 100 / total;
    if (is_wrong) tally[fmt::format("{} of another colour", stitch::name(layer))] += 100 / total;
  }
}

struct Hole {
  Spot at;
  int entry;
};

void tally_holes(const job::Planned& planned, std::map<std::string, double>& tally) {
  const stitch::Plan& plan = *planned.plan;
  std::map<std::pair<int, int>, std::vector<Hole>> holes;
  std::map<int, stitch::Kind> kinds;
  for (const stitch::PlanObject& object : plan.objects) kinds[object.id] = object.kind;
  double all = 0;
  for (const stitch::Block& block : plan.blocks) {
    if (block.layer == stitch::Layer::lock) continue;
    for (int i = block.first; i < block.first + block.count; ++i) {
      if (plan.op[i] != stitch::Op::sew) continue;
      holes[{block.object, int(block.layer)}].push_back({{plan.x[i], plan.y[i]}, i});
      ++all;
    }
  }
  for (const auto& [key, spots] : holes) {
    for (std::size_t i = 0; i < spots.size(); ++i) {
      double best = 0.25;
      int apart = 0;
      for (std::size_t k = 0; k < spots.size(); ++k) {
        const double d = std::hypot(spots[k].at.x - spots[i].at.x, spots[k].at.y - spots[i].at.y);
        if (k != i && d < best) best = d, apart = std::abs(spots[k].entry - spots[i].entry);
      }
      if (apart == 0) continue;
      const std::string far = apart <= 3   ? fmt::format("{} stitches on", apart)
                              : apart <= 8 ? "4 to 8 on"
                                           : "later";
      const char* near = best < 0.1    ? "under 0.1"
                         : best < 0.2  ? "0.1 to 0.2"
                         : best < 0.24 ? "0.2 to 0.24"
                                       : "0.24 to 0.25";
      tally[fmt::format("{} {}, {}, {} mm", stitch::name(kinds[key.first]),
                        stitch::name(stitch::Layer(key.second)), far, near)] += 100 / all;
    }
  }
}

}  // namespace

bool find_causes(const Picture& picture, const job::Planned& planned, double pitch,
                 Causes& causes) {
  Frame frame;
  Painted art;
  if (!paint_planned(picture, planned, pitch, frame, art)) return false;
  tally_colours(planned, art, frame, causes.wrong_colour);
  tally_hidden(planned, art, frame, causes.hidden_seen);
  tally_holes(planned, causes.crowded);
  return true;
}

}  // namespace quality
