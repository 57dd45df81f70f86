#include "needle/drivers.h"

#include "needle/evaluate.h"

#include <algorithm>
#include <functional>
#include <utility>

namespace buckram::needle {
namespace {

constexpr int kCaps = 32;

struct Cause {
  double Drivers::* share;
  double breaks;  // without it
};

cap::Setup without_seam(cap::Setup setup) {
  setup.cap.has_seam = false;
  return setup;
}

}  // namespace

void without_gap(Place& place) {
  place.gap.clearance_mm = -1000;
  place.gap.tape_mm = 0;
  for (double& mode : place.gap.modes_mm) mode = 0;
}

void without_slope(Place& place) {
  place.gap.bulge_slope = {};
  place.gap.lean_slope = {};
}

cap::Setup without_stiffener(cap::Setup setup) {
  std::erase_if(setup.cap.layers, [](const cap::Layer& layer) { return layer.is_stiffener; });
  return setup;
}

Drivers drivers(const stitch::Plan& plan, const cap::Setup& setup, const Mechanics& mechanics,
                const std::vector<double>& layers, const Sample& sample, std::uint64_t seed) {
  const std::vector<int>& entries = sample.entries;
  if (entries.empty()) return {};
  const std::vector<WeightedCap> caps = draw_caps(mechanics, kCaps, seed);
  const std::vector<double> none(layers.size(), 0);
  const Places standing = places_of(plan, setup, mechanics, layers, entries);
  const auto breaks = [&](const Places& places) {
    return weighted_sum(sample.weights, evaluate(places, mechanics, caps).hazard);
  };
  const auto with = [&](const std::function<void(Place&)>& change) {
    Places places = standing;
    for (Place& place : places.places) change(place);
    return breaks(places);
  };
  Mechanics stiff = mechanics;
  stiff.buckle_q = 0;
  const Cause causes[] = {
      {&Drivers::gap, with(without_gap)},
      {&Drivers::slope, with(without_slope)},
      {&Drivers::seam, breaks(places_of(plan, without_seam(setup), mechanics, layers, entries))},
      {&Drivers::crowding, breaks(places_of(plan, setup, mechanics, none, entries))},
      {&Drivers::motion, with([](Place& place) { place.motion = {}; })},
      {&Drivers::hardness,
       breaks(places_of(plan, without_stiffener(setup), mechanics, layers, entries))},
      {&Drivers::buckling, weighted_sum(sample.weights, evaluate(standing, stiff, caps).hazard)}};
  const double all = breaks(standing);
  Drivers shares;
  double sum = 0;
  for (const Cause& cause : causes) {
    shares.*cause.share = std::max(0.0, all - cause.breaks);
    sum += shares.*cause.share;
  }
  for (const Cause& cause : causes) shares.*cause.share = sum > 0 ? shares.*cause.share / sum : 0;
  return shares;
}

}  // namespace buckram::needle
