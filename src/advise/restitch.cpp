#include "advise/restitch.h"

#include <algorithm>
#include <utility>

namespace buckram::advise {
namespace {

std::string key_of(const std::string& id) {
  return id.substr(0, id.find('='));
}

// For work on other threads: nothing is reported from there, but the flag stops it.
base::Watch silent(const base::Watch& watch) {
  return {{}, watch.stop};
}

}  // namespace

RestitchSearch::RestitchSearch(RestitchProblem problem, Sewn standing)
    : problem_(std::move(problem)), standing_(standing.coverage) {
  known_.emplace(Set{}, std::move(standing));
}

std::vector<std::string> RestitchSearch::ids(const Set& set) const {
  std::vector<std::string> all;
  for (const int i : set) all.push_back(problem_.changes[static_cast<std::size_t>(i)].id);
  return all;
}

const std::optional<Sewn>& RestitchSearch::sewn(const Set& set) {
  const auto found = known_.find(set);
  BUCKRAM_ASSERT(found != known_.end());
  return found->second;
}

void RestitchSearch::plan_all(const std::vector<Set>& sets, const base::Watch& watch) {
  std::vector<Set> fresh;
  for (const Set& set : sets) {
    if (!known_.contains(set)) fresh.push_back(set);
  }
  std::vector<std::optional<Sewn>> made(fresh.size());
  watch.at("trying other stitches", 0.85);
  base::parallel_for(fresh.size(), [&](std::size_t i) {
    silent(watch).at("", 0);
    made[i] = problem_.replan(ids(fresh[i]));
  });
  for (std::size_t i = 0; i < fresh.size(); ++i) known_.emplace(fresh[i], std::move(made[i]));
}

bool RestitchSearch::loses_artwork(const Coverage& c) const {
  return c.missed + c.left_out > standing_.missed + standing_.left_out + kMostLost ||
         c.spilled > standing_.spilled + kMostSpilled;
}

double RestitchSearch::forecast(const Sewn& sewn, const cap::Setup& setup) const {
  needle::ForecastOptions options;
  options.seed = problem_.options.seed;
  options.draws = problem_.options.draws;
  options.with_drivers = options.with_words = options.with_interval = false;
  return needle::forecast(sewn.plan, setup, problem_.mechanics, options).breaks_per_cap;
}

double RestitchSearch::seconds(const Sewn& sewn, const cap::Setup& setup) const {
  return sewing_share_s(sewn.plan, setup.bench.speed_spm, problem_.options.times, setup.bench.heads,
                        problem_.options.caps);
}

std::vector<std::optional<RestitchSearch::Scored>> RestitchSearch::scores(
    const std::vector<Set>& sets, const cap::Setup& setup, const base::Watch& watch) {
  plan_all(sets, watch);
  std::vector<std::optional<Scored>> all(sets.size());
  for (std::size_t i = 0; i < sets.size(); ++i) {
    watch.at("forecasting other stitches", 0.88);
    const std::optional<Sewn>& made = sewn(sets[i]);
    if (!made || (!sets[i].empty() && loses_artwork(made->coverage))) continue;
    const double breaks = forecast(*made, setup);
    all[i] = Scored{
        score_of(breaks, seconds(*made, setup), static_cast<double>(sets[i].size()),
                 problem_.options.limit_breaks_per_100 / 100, problem_.options.times.break_cost_s),
        breaks};
  }
  return all;
}

// Each change that is not in the set, in place of the one with its key.
std::vector<RestitchSearch::Set> RestitchSearch::one_more(const Set& set) const {
  std::vector<Set> all;
  for (int i = 0; i < static_cast<int>(problem_.changes.size()); ++i) {
    if (std::binary_search(set.begin(), set.end(), i)) continue;
    const std::string key = key_of(problem_.changes[static_cast<std::size_t>(i)].id);
    Set more{i};
    for (const int k : set) {
      if (key_of(problem_.changes[static_cast<std::size_t>(k)].id) != key) more.push_back(k);
    }
    std::sort(more.begin(), more.end());
    all.push_back(std::move(more));
  }
  return all;
}

RestitchSearch::Set RestitchSearch::best_on(const cap::Setup& setup, Set start,
                                            const base::Watch& watch) {
  Set best = std::move(start);
  std::optional<Scored> least = scores({best}, setup, watch).front();
  while (true) {
    std::vector<Set> next = one_more(best);
    for (std::size_t k = 0; k < best.size(); ++k) {  // and without each that is in it
      next.push_back(best);
      next.back().erase(next.back().begin() + static_cast<std::ptrdiff_t>(k));
    }
    const auto found = scores(next, setup, watch);
    const std::optional<Scored> before = least;
    Set chosen = best;
    for (std::size_t i = 0; i < next.size(); ++i) {
      if (!found[i] || (least && found[i]->score >= least->score)) continue;
      const bool is_fewer = next[i].size() < best.size();
      const bool gains =
          !before || found[i]->breaks_per_cap <= (1 - kLeastGain) * before->breaks_per_cap;
      if (!is_fewer && !gains) continue;
      least = found[i];
      chosen = next[i];
    }
    if (chosen == best) return best;
    best = std::move(chosen);
  }
}

std::vector<std::optional<RestitchSearch::Effect>> RestitchSearch::alone_on(
    const cap::Setup& setup, const base::Watch& watch) {
  const std::vector<Set> sets = one_more({});
  plan_all(sets, watch);
  const Sewn& standing = *sewn({});
  const double breaks = forecast(standing, setup), time_s = seconds(standing, setup);
  std::vector<std::optional<Effect>> all;
  for (const Set& set : sets) {
    watch.at("forecasting other stitches", 0.87);
    const std::optional<Sewn>& made = sewn(set);
    all.emplace_back();
    if (!made) continue;
    all.back() = Effect{forecast(*made, setup) - breaks, seconds(*made, setup) - time_s,
                        loses_artwork(made->coverage)};
  }
  return all;
}

}  // namespace buckram::advise
