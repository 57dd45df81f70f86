#include "sequence/visits.h"

#include "base/base.h"

#include <algorithm>
#include <map>
#include <optional>
#include <queue>
#include <tuple>

namespace buckram::sequence {
namespace {

// A set of sewn objects, and how it came about.
struct State {
  ObjectSet sewn;
  int from = -1;  // state before
  int thread = -1;
  int n_visits = 0;
  int n_left = 0;  // least visits still to come
  double cost = 0;
  std::vector<int> objects;  // sewn in the last visit
};

class VisitSearch {
 public:
  VisitSearch(const Precedence& precedence, const std::vector<int>& thread_of,
              const std::function<double(int, const ObjectSet&)>& cost, const base::Watch& watch)
      : p_(precedence), thread_of_(thread_of), cost_(cost), watch_(watch) {
    for (const int t : thread_of) n_threads_ = std::max(n_threads_, t + 1);
    order_ = topological_order();
    compute_forced();
  }

  // A plan with the fewest visits, or nearly so when cut short.
  VisitPlan fewest(int most_states) {
    begin(Seek::fewest);
    while (true) {
      const int k = open_.top().state;
      const int bound = open_.top().n_visits;
      if (states_[static_cast<std::size_t>(k)].n_left == 0) return plan_to(k, bound);
      if (++n_opened_ > most_states) return complete(k, bound);
      open();
    }
  }

  // Of the plans with `n_visits`, the cheapest; none when cut short.
  std::optional<VisitPlan> cheapest(int n_visits, int most_states) {
    begin(Seek::cheapest);
    while (!open_.empty() && ++n_opened_ <= most_states) {
      const int k = open_.top().state;
      if (open_.top().n_visits > n_visits) return std::nullopt;
      if (states_[static_cast<std::size_t>(k)].n_left == 0) return plan_to(k, n_visits);
      open();
    }
    return std::nullopt;
  }

 private:
  enum class Seek { fewest, cheapest };
  struct Open {
    int n_visits;   // done and at least to come
    double urgent;  // n_left to find the fewest (go deep), cost to find the cheapest
    double cost;
    int state;
    friend bool operator>(const Open& a, const Open& b) {
      return std::tie(a.n_visits, a.urgent, a.cost, a.state) >
             std::tie(b.n_visits, b.urgent, b.cost, b.state);
    }
  };

  void begin(Seek seek) {
    seek_ = seek;
    n_opened_ = 0;
    states_.clear();
    known_.clear();
    open_ = {};
    State start;
    start.sewn = ObjectSet(p_.size());
    start.n_left = visits_left(start.sewn);
    push(std::move(start));
  }

  void open() {
    watch_.at("ordering", 0.5);
    const int k = open_.top().state;
    open_.pop();
    std::vector<State> next;
    for (const int thread : threads_ready(states_[static_cast<std::size_t>(k)].sewn)) {
      next.push_back(after(k, thread));
      // A thread that can be finished needs one visit more whatever comes first, and having it sewn
      // only frees others: to find the fewest, nothing else need be looked at.
      if (seek_ == Seek::fewest && is_finished(thread, next.back().sewn)) {
        return push(std::move(next.back()));
      }
    }
    for (State& state : next) push(std::move(state));
  }

  bool is_finished(int thread, const ObjectSet& sewn) const {
    for (int i = 0; i < p_.size(); ++i) {
      if (thread_of_[static_cast<std::size_t>(i)] == thread && !sewn.has(i)) return false;
    }
    return true;
  }

  std::vector<int> topological_order() const {
    std::vector<int> order, n_waiting;
    for (const auto& list : p_.before) n_waiting.push_back(static_cast<int>(list.size()));
    for (int i = 0; i < p_.size(); ++i) {
      if (n_waiting[static_cast<std::size_t>(i)] == 0) order.push_back(i);
    }
    for (std::size_t k = 0; k < order.size(); ++k) {
      for (const int next : p_.after[static_cast<std::size_t>(order[k])]) {
        if (--n_waiting[static_cast<std::size_t>(next)] == 0) order.push_back(next);
      }
    }
    BUCKRAM_ASSERT(static_cast<int>(order.size()) == p_.size());
    return order;
  }

  int& forced(int object, int thread) {
    return forced_[static_cast<std::size_t>(object) * n_threads_ + thread];
  }

  // forced(i, t): visits of thread t that the chains starting at i force.
  void compute_forced() {
    forced_.assign(static_cast<std::size_t>(p_.size()) * n_threads_, 0);
    for (auto it = order_.rbegin(); it != order_.rend(); ++it) {
      const int i = *it, own = thread_of_[static_cast<std::size_t>(i)];
      forced(i, own) = 1;
      for (const int next : p_.after[static_cast<std::size_t>(i)]) {
        const bool same = thread_of_[static_cast<std::size_t>(next)] == own;
        for (int t = 0; t < n_threads_; ++t) {
          const int more = t == own && !same ? 1 : 0;
          forced(i, t) = std::max(forced(i, t), forced(next, t) + more);
        }
      }
    }
  }

  int visits_left(const ObjectSet& sewn) {
    std::vector<int> most(static_cast<std::size_t>(n_threads_), 0);
    for (int i = 0; i < p_.size(); ++i) {
      if (sewn.has(i)) continue;
      for (int t = 0; t < n_threads_; ++t) {
        most[static_cast<std::size_t>(t)] =
            std::max(most[static_cast<std::size_t>(t)], forced(i, t));
      }
    }
    int sum = 0;
    for (const int m : most) sum += m;
    return sum;
  }

  bool is_ready(int i, const ObjectSet& sewn) const {
    const auto& list = p_.before[static_cast<std::size_t>(i)];
    return !sewn.has(i) &&
           std::all_of(list.begin(), list.end(), [&](int b) { return sewn.has(b); });
  }

  std::vector<int> threads_ready(const ObjectSet& sewn) const {
    std::vector<int> threads;
    for (int i = 0; i < p_.size(); ++i) {
      if (is_ready(i, sewn)) threads.push_back(thread_of_[static_cast<std::size_t>(i)]);
    }
    std::sort(threads.begin(), threads.end());
    threads.erase(std::unique(threads.begin(), threads.end()), threads.end());
    return threads;
  }

  // Everything of the thread that may be sewn now.
  State after(int k, int thread) {
    const State& before = states_[static_cast<std::size_t>(k)];
    State next{before.sewn, k, thread, before.n_visits + 1, 0, before.cost, {}};
    for (const int i : order_) {
      if (thread_of_[static_cast<std::size_t>(i)] != thread || !is_ready(i, next.sewn)) continue;
      next.cost += cost_(i, next.sewn);
      next.sewn.add(i);
      next.objects.push_back(i);
    }
    next.n_left = visits_left(next.sewn);
    return next;
  }

  void push(State state) {
    // The same set reached by no more visits and no more cost needs no second look.
    const auto [it, is_new] = known_.try_emplace(state.sewn.words(), state.n_visits, state.cost);
    const std::pair<int, double> reached{state.n_visits, state.cost};
    if (!is_new && it->second <= reached) return;
    it->second = reached;
    const double urgent = seek_ == Seek::fewest ? state.n_left : state.cost;
    open_.push(
        {state.n_visits + state.n_left, urgent, state.cost, static_cast<int>(states_.size())});
    states_.push_back(std::move(state));
  }

  VisitPlan plan_to(int k, int bound) const {
    VisitPlan plan;
    plan.least_visits = bound;
    for (; states_[static_cast<std::size_t>(k)].from >= 0;
         k = states_[static_cast<std::size_t>(k)].from) {
      const State& state = states_[static_cast<std::size_t>(k)];
      plan.visits.push_back({state.thread, state.objects});
    }
    std::reverse(plan.visits.begin(), plan.visits.end());
    return plan;
  }

  // Goes on from state k by the thread that leaves the least to come.
  VisitPlan complete(int k, int bound) {
    while (states_[static_cast<std::size_t>(k)].n_left > 0) {
      State best;
      best.n_left = -1;
      for (const int thread : threads_ready(states_[static_cast<std::size_t>(k)].sewn)) {
        State next = after(k, thread);
        const bool better =
            best.n_left < 0 || std::tie(next.n_left, next.cost) < std::tie(best.n_left, best.cost);
        if (better) best = std::move(next);
      }
      k = static_cast<int>(states_.size());
      states_.push_back(std::move(best));
    }
    return plan_to(k, bound);
  }

  const Precedence& p_;
  const std::vector<int>& thread_of_;
  const std::function<double(int, const ObjectSet&)>& cost_;
  const base::Watch& watch_;
  Seek seek_ = Seek::fewest;
  int n_threads_ = 0, n_opened_ = 0;
  std::vector<int> order_, forced_;
  std::vector<State> states_;
  std::map<std::vector<std::uint64_t>, std::pair<int, double>> known_;
  std::priority_queue<Open, std::vector<Open>, std::greater<>> open_;
};

}  // namespace

VisitPlan plan_visits(const Precedence& precedence, const std::vector<int>& thread_of,
                      const std::function<double(int, const ObjectSet&)>& cost, int most_states,
                      const base::Watch& watch) {
  BUCKRAM_ASSERT(static_cast<int>(thread_of.size()) == precedence.size());
  if (thread_of.empty()) return {};
  VisitSearch search(precedence, thread_of, cost, watch);
  VisitPlan plan = search.fewest(most_states);
  const int n_visits = static_cast<int>(plan.visits.size());
  if (n_visits > plan.least_visits) return plan;
  if (auto cheaper = search.cheapest(n_visits, most_states)) return *cheaper;
  return plan;
}

}  // namespace buckram::sequence
