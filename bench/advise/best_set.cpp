// Does the search find the best set of bench settings? On plans of the three examples, on benches
// as a hurried shop leaves them: against every set of a catalogue cut to at most N of them, and on
// the whole catalogue against a long random search (random sets, each improved lever by lever). All
// on the same screened forecasts. usage: best_set [--sets N] [--starts N] [--every N]
#include "advise/bench_search.h"

#include "job/job.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <map>
#include <string>
#include <vector>

namespace {

using namespace buckram;
using advise::Choice;

const job::DataFolder kData{BUCKRAM_ROOT "/data"};

const std::vector<std::vector<std::string>> kArt{
    {"artwork.file=" BUCKRAM_ROOT "/examples/tern-and-tide-wordmark.svg", "artwork.width_mm=95"},
    {"artwork.file=" BUCKRAM_ROOT "/examples/keld-harbour-crest.svg", "artwork.height_mm=44"},
    {"artwork.file=" BUCKRAM_ROOT "/examples/skerry-light-badge.svg", "artwork.height_mm=46"}};
const std::vector<std::vector<std::string>> kBenches{
    {"bench.speed_spm=950", "bench.tautness=0.4", "bench.needle=80:ball"},
    {"bench.speed_spm=800", "bench.foot_mm=5", "bench.needle=75:sharp",
     "bench.backing=[\"tear-away\",\"tear-away\",\"tear-away\"]"},
    {"bench.mount=rotary-raised", "bench.speed_spm=900", "bench.tautness=0.5"}};

struct Options {
  double most_sets = 4096;
  int n_starts = 150, every = 1;
};

double n_sets(const advise::SearchProblem& problem) {
  double n = 1;
  for (const int levels : problem.n_levels) n *= levels + 1;
  return n;
}

// Levers with fewer levels, those with most first, until no more than `most` sets are left.
void cut(advise::SearchProblem& problem, double most) {
  while (n_sets(problem) > most)
    --*std::max_element(problem.n_levels.begin(), problem.n_levels.end());
}

// Breaks by set, so that no set is forecast twice.
class Known {
 public:
  explicit Known(const advise::SearchProblem& problem) : problem_(problem) {}
  double breaks(const Choice& choice) {
    const auto [at, is_new] = known_.try_emplace(choice, 0.0);
    if (is_new) at->second = problem_.breaks(choice);
    return at->second;
  }
  advise::Tried tried(const Choice& choice) {
    return {choice, breaks(choice), problem_.seconds(choice)};
  }
  std::size_t size() const { return known_.size(); }

 private:
  const advise::SearchProblem& problem_;
  std::map<Choice, double> known_;
};

advise::Score score(const advise::SearchProblem& p, const advise::Tried& each) {
  const auto n = each.choice.size() -
                 static_cast<std::size_t>(std::count(each.choice.begin(), each.choice.end(), 0));
  return advise::score_of(each.breaks, each.seconds, static_cast<double>(n), p.limit, p.break_s,
                          p.bother_s);
}

// Of every set; calls are in lexicographic order.
advise::Tried exhaustive(const advise::SearchProblem& p, Known& known) {
  Choice choice(p.n_levels.size(), 0);
  advise::Tried best = known.tried(choice);
  while (true) {
    std::size_t k = choice.size();
    while (k > 0 && choice[k - 1] == p.n_levels[k - 1]) choice[--k] = 0;
    if (k == 0) return best;
    ++choice[k - 1];
    if (!p.is_allowed(choice)) continue;
    const advise::Tried each = known.tried(choice);
    if (score(p, each) < score(p, best)) best = each;
  }
}

advise::Tried climbed(const advise::SearchProblem& p, Known& known, Choice from) {
  advise::Tried best = known.tried(from);
  for (bool is_better = true; is_better;) {
    is_better = false;
    for (std::size_t k = 0; k < from.size(); ++k) {
      for (int level = 0; level <= p.n_levels[k]; ++level) {
        Choice one = best.choice;
        one[k] = level;
        if (!p.is_allowed(one)) continue;
        const advise::Tried each = known.tried(one);
        if (!(score(p, each) < score(p, best))) continue;
        best = each, is_better = true;
      }
    }
  }
  return best;
}

advise::Tried at_random(const advise::SearchProblem& p, Known& known, int n_starts) {
  base::Random random(11);
  advise::Tried best = known.tried(Choice(p.n_levels.size(), 0));
  for (int start = 0; start < n_starts; ++start) {
    Choice choice;
    for (const int levels : p.n_levels) choice.push_back(random.below(levels + 1));
    if (!p.is_allowed(choice)) continue;
    const advise::Tried each = climbed(p, known, choice);
    if (score(p, each) < score(p, best)) best = each;
  }
  return best;
}

// How much worse ours is, in per cent of what counts; seconds are beside the bench as it stands, so
// the price of its breaks is added to both.
double worse(const advise::SearchProblem& p, const advise::Tried& ours, const advise::Tried& best,
             double standing) {
  const advise::Score a = score(p, ours), b = score(p, best);
  if (a.is_over != b.is_over) return a.is_over ? 100 : -100;
  const double base = a.is_over ? 0 : standing * p.break_s;
  return 100 * (a.cost - b.cost) / (b.cost + base);
}

void compare(const std::string& name, const advise::SearchProblem& problem, const Options& options,
             bool is_whole, int& n_worse, double& most) {
  const auto start = std::chrono::steady_clock::now();
  const advise::SearchResult found = advise::search(problem);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  Known known(problem);
  const advise::Tried ours = known.tried(found.best);
  const advise::Tried best =
      is_whole ? at_random(problem, known, options.n_starts) : exhaustive(problem, known);
  const double off = worse(problem, ours, best, found.standing);
  n_worse += off > 1e-9;
  most = std::max(most, off);
  fmt::print("{} {:9} {:8.0f} {:6} {:6.2f} {:8} {:10.4f} {:10.4f} {:8.2f}\n", name,
             is_whole ? "random" : "all", n_sets(problem), found.n_forecasts, took.count(),
             known.size(), 100 * ours.breaks, 100 * best.breaks, off);
  std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
  Options options;
  for (int i = 1; i + 1 < argc; i += 2) {
    const std::string word = argv[i];
    if (word == "--sets") options.most_sets = std::stod(argv[i + 1]);
    if (word == "--starts") options.n_starts = std::stoi(argv[i + 1]);
    if (word == "--every") options.every = std::max(1, std::stoi(argv[i + 1]));
  }
  fmt::print("plan {:9} {:>8} {:>6} {:>6} {:>8} {:>10} {:>10} {:>8}\n", "against", "sets", "tried",
             "s", "of them", "breaks", "best", "worse %");
  int n = 0, n_worse_all = 0, n_worse_random = 0;
  double most_all = 0, most_random = 0;
  for (std::size_t a = 0; a < kArt.size(); ++a) {
    for (std::size_t b = 0; b < kBenches.size(); ++b) {
      if (n++ % options.every != 0) continue;
      std::vector<std::string> sets = kArt[a];
      sets.insert(sets.end(), kBenches[b].begin(), kBenches[b].end());
      sets.emplace_back("order.caps=48");
      const job::Resolved job = job::resolve(job::read_job("", "best set", "", sets), kData);
      const job::Planned planned = job::plan_stitches(job, job::read_artwork(job.job));
      if (!planned.plan) continue;
      const base::Watch watch;
      advise::JudgeOptions judging;
      judging.caps = 48;
      judging.times = job.times;
      const advise::Judged judged{*planned.plan, job.setup, *job.mechanics, judging, watch};
      const advise::BenchLevers levers = advise::bench_levers(judged, job.needles);
      const double full = advise::breaks_on(judged, *planned.plan, job.setup.bench);
      advise::SearchProblem problem = advise::bench_problem(judged, levers, full);
      const std::string name = fmt::format("{} {} ", a, b);
      compare(name, problem, options, true, n_worse_random, most_random);
      cut(problem, options.most_sets);
      compare(name, problem, options, false, n_worse_all, most_all);
    }
  }
  fmt::print(
      "\nworse than the best of all sets: {} plans, {:.2f} % at most; than the random search: "
      "{} plans, {:.2f} % at most\n",
      n_worse_all, most_all, n_worse_random, most_random);
}
