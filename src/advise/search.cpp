#include "advise/search.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <tuple>

namespace buckram::advise {
namespace {

struct Ranked {
  Score score;
  Choice choice;
  bool operator<(const Ranked& other) const {
    return std::tie(score.is_over, score.cost, choice) <
           std::tie(other.score.is_over, other.score.cost, other.choice);
  }
};

Score score_in(const SearchProblem& problem, const Choice& choice, double breaks_per_cap) {
  const auto n_changed = static_cast<double>(
      choice.size() - static_cast<std::size_t>(std::count(choice.begin(), choice.end(), 0)));
  return score_of(breaks_per_cap, problem.seconds(choice), n_changed, problem.limit,
                  problem.break_s, problem.bother_s);
}

constexpr double kFloor = 1e-12;  // breaks a cap, under a logarithm

class Search {
 public:
  explicit Search(const SearchProblem& problem) : problem_(problem) {}

  SearchResult run() && {
    const Choice standing(problem_.n_levels.size(), 0);
    result_.standing = breaks(standing);
    best_ = {score(standing, result_.standing), standing};
    try_alone(standing);
    double exponent = 1;
    for (int round = 0; round < 2; ++round) {
      const std::vector<Ranked> ranked = rank(exponent);
      for (const Ranked& each : ranked) consider(each.choice);
      exponent = fitted_exponent(ranked);
    }
    Choice before;
    do {
      look_back();
      before = best_.choice;
      for (const Ranked& each : rank_beside(before)) consider(each.choice);
    } while (best_.choice != before);
    result_.best = best_.choice;
    result_.breaks = breaks(best_.choice);
    result_.is_under_limit = !best_.score.is_over;
    result_.tried = tried();
    result_.n_forecasts = static_cast<int>(known_.size());
    return std::move(result_);
  }

 private:
  double breaks(const Choice& choice) {
    const auto [at, is_new] = known_.try_emplace(choice, 0.0);
    if (is_new) at->second = problem_.breaks(choice);
    return at->second;
  }

  std::vector<Tried> tried() const {
    std::vector<Tried> all;
    for (const auto& [choice, breaks] : known_) {
      if (problem_.is_allowed(choice)) all.push_back({choice, breaks, problem_.seconds(choice)});
    }
    return all;
  }

  Score score(const Choice& choice, double breaks_per_cap) const {
    return score_in(problem_, choice, breaks_per_cap);
  }

  void consider(const Choice& choice) {
    if (!problem_.is_allowed(choice)) return;
    const Ranked found{score(choice, breaks(choice)), choice};
    if (found < best_) best_ = found;
  }

  void try_alone(const Choice& standing) {
    for (std::size_t k = 0; k < standing.size(); ++k) {
      result_.alone.emplace_back();
      for (int level = 1; level <= problem_.n_levels[k]; ++level) {
        Choice choice = standing;
        choice[k] = level;
        consider(choice);
        result_.alone[k].push_back(problem_.is_allowed(choice) ? breaks(choice) : -1);
      }
    }
  }

  // Logarithm of what the set does, if its levels acted each on its own.
  double log_effect(const Choice& choice) const {
    double sum = 0;
    for (std::size_t k = 0; k < choice.size(); ++k) {
      if (choice[k] == 0) continue;
      const double alone = result_.alone[k][static_cast<std::size_t>(choice[k]) - 1];
      sum += std::log(std::max(alone, kFloor) / std::max(result_.standing, kFloor));
    }
    return sum;
  }

  std::vector<Ranked> rank(double exponent) const {
    return rank_by([&](const Choice& choice) {
      return result_.standing * std::exp(exponent * log_effect(choice));
    });
  }

  // By what each level does beside that set, as look_back() found it. A level that is not allowed
  // beside it does what it does alone.
  std::vector<Ranked> rank_beside(const Choice& set) {
    const double here = std::log(std::max(breaks(set), kFloor));
    std::vector<std::vector<double>> effect;
    for (std::size_t k = 0; k < set.size(); ++k) {
      effect.emplace_back();
      Choice one = set, alone(set.size(), 0);
      alone[k] = set[k];
      const double from = log_effect(alone);
      for (int level = 0; level <= problem_.n_levels[k]; ++level) {
        one[k] = alone[k] = level;
        effect.back().push_back(problem_.is_allowed(one)
                                    ? std::log(std::max(breaks(one), kFloor)) - here
                                    : log_effect(alone) - from);
      }
    }
    return rank_by([&](const Choice& choice) {
      double sum = here;
      for (std::size_t k = 0; k < choice.size(); ++k) {
        sum += effect[k][static_cast<std::size_t>(choice[k])];
      }
      return std::exp(sum);
    });
  }

  // The n_full best sets by a guess at their breaks, best first.
  template <class Guess>
  std::vector<Ranked> rank_by(const Guess& guess) const {
    std::vector<Ranked> top;
    Choice choice(problem_.n_levels.size(), 0);
    do {
      if (!problem_.is_allowed(choice)) continue;
      top.push_back({score(choice, guess(choice)), choice});
      if (top.size() >= 4096) keep_best(top);
    } while (next(choice));
    keep_best(top);
    return top;
  }

  void keep_best(std::vector<Ranked>& top) const {
    std::sort(top.begin(), top.end());
    if (top.size() > static_cast<std::size_t>(problem_.n_full)) {
      top.resize(static_cast<std::size_t>(problem_.n_full));
    }
  }

  // The next set in lexicographic order; false after the last.
  bool next(Choice& choice) const {
    for (std::size_t k = choice.size(); k-- > 0;) {
      if (++choice[k] <= problem_.n_levels[k]) return true;
      choice[k] = 0;
    }
    return false;
  }

  // Mean over the sets of (what came out) / (what the guess with exponent 1 said), in logarithms.
  double fitted_exponent(const std::vector<Ranked>& ranked) {
    double sum = 0;
    int count = 0;
    for (const Ranked& each : ranked) {
      const double guess = log_effect(each.choice);
      if (std::abs(guess) < 0.05) continue;
      sum += std::log(std::max(breaks(each.choice), kFloor) / std::max(result_.standing, kFloor)) /
             guess;
      ++count;
    }
    return count > 0 ? std::clamp(sum / count, 0.2, 2.0) : 1;
  }

  void look_back() {
    Choice before;
    do {
      before = best_.choice;
      for (std::size_t k = 0; k < before.size(); ++k) {
        for (int level = 0; level <= problem_.n_levels[k]; ++level) {
          Choice choice = best_.choice;
          choice[k] = level;
          consider(choice);
        }
      }
    } while (best_.choice != before);
  }

  const SearchProblem& problem_;
  std::map<Choice, double> known_;
  Ranked best_;
  SearchResult result_;
};

}  // namespace

double breaks_of(const SearchResult& found, const Choice& choice) {
  const auto at = std::find_if(found.tried.begin(), found.tried.end(),
                               [&](const Tried& each) { return each.choice == choice; });
  BUCKRAM_ASSERT(at != found.tried.end());
  return at->breaks;
}

Choice best_of(const SearchProblem& problem, const std::vector<Tried>& tried) {
  BUCKRAM_ASSERT(!tried.empty());
  Ranked best{score_in(problem, tried[0].choice, tried[0].breaks), tried[0].choice};
  for (const Tried& each : tried) {
    best = std::min(best, Ranked{score_in(problem, each.choice, each.breaks), each.choice});
  }
  return best.choice;
}

SearchResult search(const SearchProblem& problem) {
  return Search(problem).run();
}

}  // namespace buckram::advise
