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
    : problem_(std::move(problem)),
      standing_(standing.coverage),
      is_idle_(problem_.changes.size(), false) {
  for (std::size_t i = 0; i < is_idle_.size(); ++i) {
    is_idle_[i] = problem_.changes[i].most_share < kLeastGain;
  }
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

double RestitchSearch::forecast(const Sewn& sewn, const cap::Setup& setup) {
  needle::ForecastOptions options;
  options.seed = problem_.options.seed;
  options.draws = problem_.options.draws;
  options.with_drivers = options.with_words = options.with_interval = false;
  options.former = &former_;
  // The latest of the set in hand is kept: what is tried beside it differs little from it.
  const std::optional<Sewn>& in_hand = known_.at(best_);
  const bool is_kept = in_hand && &sewn == &*in_hand;
  options.remember = is_kept;
  needle::Forecast found = needle::forecast(sewn.plan, setup, problem_.mechanics, options);
  const double breaks = found.breaks_per_cap;
  if (is_kept) former_ = std::move(found);
  return breaks;
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

// What is worth trying beside the set, and the set without each that is in it.
std::vector<RestitchSearch::Set> RestitchSearch::next_to(const Set& set) const {
  std::vector<Set> next = one_more(set);
  std::erase_if(next, [&](const Set& each) {
    return std::any_of(each.begin(), each.end(), [&](int i) {
      return is_idle_[static_cast<std::size_t>(i)] &&
             !std::binary_search(set.begin(), set.end(), i);
    });
  });
  for (std::size_t k = 0; k < set.size(); ++k) {
    next.push_back(set);
    next.back().erase(next.back().begin() + static_cast<std::ptrdiff_t>(k));
  }
  return next;
}

RestitchSearch::Set RestitchSearch::best_on(const cap::Setup& setup, Set start,
                                            const base::Watch& watch) {
  plan_all({start}, watch);
  best_ = std::move(start);
  std::optional<Scored> least = scores({best_}, setup, watch).front();
  while (true) {
    const std::vector<Set> next = next_to(best_);
    const auto found = scores(next, setup, watch);
    const std::optional<Scored> before = least;
    Set chosen = best_;
    for (std::size_t i = 0; i < next.size(); ++i) {
      if (!found[i] || (least && found[i]->score >= least->score)) continue;
      const bool is_fewer = next[i].size() < best_.size();
      const bool gains =
          !before || found[i]->breaks_per_cap <= (1 - kLeastGain) * before->breaks_per_cap;
      if (!is_fewer && !gains) continue;
      least = found[i];
      chosen = next[i];
    }
    if (chosen == best_) return best_;
    best_ = std::move(chosen);
    forecast(*sewn(best_), setup);  // kept, for what is tried next
  }
}

void RestitchSearch::drop_idle(const std::vector<Set>& sets,
                               const std::vector<std::optional<Scored>>& found,
                               const Scored& before) {
  for (std::size_t k = 0; k < sets.size(); ++k) {
    const auto i = static_cast<std::size_t>(sets[k].back());
    const bool helps =
        found[k] && found[k]->breaks_per_cap <= (1 - kLeastGain) * before.breaks_per_cap;
    if (problem_.changes[i].is_of_object && !helps) is_idle_[i] = true;
  }
}

std::vector<std::optional<RestitchSearch::Effect>> RestitchSearch::alone_on(
    const cap::Setup& setup, const base::Watch& watch) {
  std::vector<Set> sets = one_more({});
  std::erase_if(sets, [&](const Set& set) {
    return problem_.changes[static_cast<std::size_t>(set.front())].most_share < kLeastGain;
  });
  plan_all(sets, watch);
  const Sewn& standing = *sewn({});
  const double breaks = forecast(standing, setup), time_s = seconds(standing, setup);
  std::vector<std::optional<Effect>> all(problem_.changes.size());
  std::vector<std::optional<Scored>> found(sets.size());
  for (std::size_t k = 0; k < sets.size(); ++k) {
    watch.at("forecasting other stitches", 0.87);
    const std::optional<Sewn>& made = sewn(sets[k]);
    if (!made) continue;
    const Effect effect{forecast(*made, setup) - breaks, seconds(*made, setup) - time_s,
                        loses_artwork(made->coverage)};
    all[static_cast<std::size_t>(sets[k].front())] = effect;
    if (!effect.loses_artwork) found[k] = Scored{{}, breaks + effect.breaks_per_cap};
  }
  drop_idle(sets, found, {{}, breaks});
  return all;
}

}  // namespace buckram::advise
