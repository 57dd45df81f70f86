#include "needle/hazard.h"

#include "needle/draws.h"
#include "needle/evaluate.h"
#include "needle/penetration.h"
#include "needle/sample.h"

namespace buckram::needle {
namespace {

constexpr int kCaps = 64;
constexpr std::size_t kPlaces = 256;

}  // namespace

struct Screen::State {
  const stitch::Plan& plan;
  const Mechanics& mechanics;
  cap::Bench standing;
  std::vector<double> layers;
  std::vector<WeightedCap> caps;
  Sample sample;
};

Screen::Screen(const stitch::Plan& plan, const cap::Setup& standing, const Mechanics& mechanics,
               std::uint64_t seed) {
  auto state = std::make_shared<State>(State{plan,
                                             mechanics,
                                             standing.read_with.value_or(standing.bench),
                                             crowding(plan, mechanics),
                                             draw_caps(mechanics, kCaps, seed),
                                             {}});
  const Places all = places_of(plan, standing, mechanics, state->layers);
  const Evaluation pilot = evaluate(all, mechanics, pilot_caps(mechanics));
  state->sample = sample_places(all.entries, pilot.hazard, kPlaces);
  state_ = std::move(state);
}

double Screen::breaks_per_cap(const cap::Setup& setup) const {
  const State& s = *state_;
  if (s.sample.entries.empty()) return 0;
  cap::Setup changed = setup;
  if (!changed.read_with) changed.read_with = s.standing;
  const Places places = places_of(s.plan, changed, s.mechanics, s.layers, s.sample.entries);
  return weighted_sum(s.sample.weights, evaluate(places, s.mechanics, s.caps).hazard);
}

}  // namespace buckram::needle
