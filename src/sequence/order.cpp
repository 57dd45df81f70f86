#include "sequence/sequence.h"

#include "sequence/bound.h"
#include "sequence/search.h"
#include "sequence/travel.h"
#include "sequence/visits.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <set>

namespace buckram::sequence {
namespace {

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

geometry::Point middle_of(const digitise::Object& object) {
  return geometry::bounds(object.outline).middle();
}

// A fixed order of all objects for the modes that ask for one.
std::vector<int> asked_order(const std::vector<digitise::Object>& objects, Mode mode,
                             const Precedence& precedence) {
  const auto key = [&](int i) {
    switch (mode) {
      case Mode::inward:
        return -geometry::norm(middle_of(objects[at(i)]));
      case Mode::across:
        return middle_of(objects[at(i)]).x;
      default:
        return static_cast<double>(objects[at(i)].order);
    }
  };
  const int n = precedence.size();
  std::vector<int> by_key(at(n)), rank(at(n)), n_before(at(n)), order;
  std::iota(by_key.begin(), by_key.end(), 0);
  std::stable_sort(by_key.begin(), by_key.end(), [&](int a, int b) { return key(a) < key(b); });
  std::set<int> ready;  // ranks
  for (int r = 0; r < n; ++r) {
    const int i = by_key[at(r)];
    rank[at(i)] = r;
    n_before[at(i)] = static_cast<int>(precedence.before[at(i)].size());
    if (n_before[at(i)] == 0) ready.insert(r);
  }
  while (!ready.empty()) {
    const int i = by_key[at(*ready.begin())];
    ready.erase(ready.begin());
    order.push_back(i);
    for (const int next : precedence.after[at(i)]) {
      if (--n_before[at(next)] == 0) ready.insert(rank[at(next)]);
    }
  }
  return order;
}

std::vector<Visit> visits_in_order(const std::vector<digitise::Object>& objects,
                                   const std::vector<int>& order) {
  std::vector<Visit> visits;
  for (const int i : order) {
    if (visits.empty() || visits.back().thread != objects[at(i)].thread) {
      visits.push_back({objects[at(i)].thread, {}});
    }
    visits.back().objects.push_back(i);
  }
  return visits;
}

// Between visits as within them, and where nothing decides: what lies low and in the middle first.
struct VisitCost {
  const Inward& inward;
  std::size_t n_objects;

  double operator()(int object, const ObjectSet& sewn) const {
    constexpr double kLateMm = 1, kFarMm = 200;  // small beside one flank
    const double near_mm = std::max(0.0, kFarMm - inward.stray_mm(object));
    return inward.cost(object, sewn) +
           kLateMm * near_mm / kFarMm * sewn.count() / double(n_objects);
  }
};

// Sets of sewn objects looked at for the visits: each costs a look at all objects.
int most_states(std::size_t n_objects) {
  constexpr std::size_t kMost = 3000, kMostLooks = 900'000;
  return static_cast<int>(std::clamp<std::size_t>(kMostLooks / n_objects, 30, kMost));
}

// Sews visit after visit: the order within each, and the ways of its travel.
class Orderer {
 public:
  Orderer(const std::vector<digitise::Object>& objects, const OrderOptions& options,
          const base::Watch& watch)
      : objects_(objects),
        options_(options),
        watch_(watch),
        precedences_(precedences_of(objects)),
        grid_(objects, options.hide_inset_mm),
        links_(objects, grid_, options, Weights{}),
        inward_(objects, grid_, options.inward, watch),
        finder_(grid_, links_.n_objects(), travel_options(options)),
        is_free_(options.mode == Mode::planned),
        sewn_(precedences_.covering.size()) {
    inward_.settle(precedences_.tucks, links_.weights().tuck / links_.weights().inward_mm);
    for (const digitise::Object& object : objects) {
      boxes_.push_back(geometry::bounds(object.outline));
    }
  }

  Order run() {
    const VisitPlan fewest = planned_visits();
    const std::vector<Visit> visits =
        is_free_
            ? fewest.visits
            : visits_in_order(objects_, asked_order(objects_, options_.mode, precedences_.tidy));
    order_.least_thread_changes = std::max(fewest.least_visits - 1, 0);
    for (const Visit& visit : visits) {
      watch_.at("ordering", 0.5);
      sew(visit.objects);
    }
    count_tucks();
    return std::move(order_);
  }

 private:
  // Between visits every tuck is kept, unless that would cost a thread change.
  VisitPlan planned_visits() const {
    std::vector<int> thread_of;
    for (const digitise::Object& object : objects_) thread_of.push_back(object.thread);
    const std::size_t n_threads = std::set<int>(thread_of.begin(), thread_of.end()).size();
    const auto plan = [&](const Precedence& precedence) {
      return plan_visits(precedence, thread_of, VisitCost{inward_, objects_.size()},
                         most_states(objects_.size()), watch_);
    };
    VisitPlan tidy = plan(precedences_.tidy);
    if (precedences_.tucks.empty() || tidy.visits.size() == n_threads) return tidy;
    VisitPlan fewest = plan(precedences_.covering);
    if (fewest.visits.size() < tidy.visits.size()) return fewest;
    tidy.least_visits = fewest.least_visits;
    return tidy;
  }

  void count_tucks() {
    std::vector<int> place(objects_.size());
    for (std::size_t k = 0; k < order_.steps.size(); ++k) {
      place[at(order_.steps[k].object)] = static_cast<int>(k);
    }
    ObjectSet sewn(precedences_.covering.size());
    for (const Step& step : order_.steps) {
      order_.inward_mm += inward_.cost(step.object, sewn);
      sewn.add(step.object);
    }
    order_.n_tucks = static_cast<int>(precedences_.tucks.size());
    for (const Arrow& tuck : precedences_.tucks) {
      order_.n_tucks_over += place[at(tuck.from)] > place[at(tuck.to)];
    }
    order_.inward_mm -= order_.n_tucks_over * links_.weights().tuck / links_.weights().inward_mm;
  }

  // Where travel that the search counts on is not to be had, the search is told so and asked again;
  // of the orders laid the cheapest is sewn.
  void sew(const std::vector<int>& members) {
    constexpr int kMostRounds = 12, kMostInVain = 4;
    VisitLinks links(links_, precedences_.covering, members, sewn_);
    std::optional<geometry::Point> from = options_.start;
    if (!order_.steps.empty())
      from = links_.exit({order_.steps.back().object, order_.steps.back().way});
    const Judge judge{precedences_.covering, links, inward_, from, watch_};
    add_bound(bound_of(judge, members, options_.trim_mm));
    SearchOptions search;
    search.seed = order_.steps.size() + 1;
    const double share = double(members.size()) / double(objects_.size());
    constexpr std::size_t kLeastTries = 200;  // an object: once round all of them
    search.most_tries = std::max(static_cast<int>(options_.most_tries * share),
                                 static_cast<int>(kLeastTries * members.size()));
    Nearest nearest;
    if (is_free_ && members.size() > kMostExact) {
      nearest = nearest_of(judge, members);
      search.nearest = &nearest;
    }
    Chain chain = is_free_ ? best_chain(judge, members, search) : with_best_ways(judge, members);
    std::vector<Step> best;
    double least = 1e300;
    for (int round = 1, n_in_vain = 0;; ++round) {
      std::vector<Step> steps = laid(chain);
      const bool is_as_guessed = forbid_what_failed(steps, links);
      const double cost = cost_of(steps);
      ++n_in_vain;
      if (cost < least) least = cost, best = std::move(steps), n_in_vain = 0;
      if (is_as_guessed || round == kMostRounds || n_in_vain == kMostInVain) {
        finish(std::move(best));
        return;
      }
      chain = is_free_ ? searched_again(judge, chain, search) : with_best_ways(judge, members);
    }
  }

  // From where the search stood; what is dear there only since the last round is soon mended.
  static Chain searched_again(const Judge& judge, const Chain& chain, SearchOptions search) {
    search.most_tries /= 8;
    if (chain.size() > kMostExact) return improved(judge, chain, search);
    std::vector<int> members;
    for (const Stop& stop : chain) members.push_back(stop.object);
    return best_chain(judge, members, search);
  }

  static TravelOptions travel_options(const OrderOptions& options) {
    TravelOptions travel;
    travel.stitch_mm = options.travel_stitch_mm;
    return travel;
  }

  void add_bound(const VisitBound& bound) {
    order_.n_unbounded_visits += !bound.is_known;
    order_.islands_bound += bound.islands - 1;
    order_.least_trims += bound.least_trims;
    order_.least_visible_mm += bound.visible_mm;
  }

  std::vector<Step> laid(const Chain& chain) {
    const int first = static_cast<int>(order_.steps.size());
    std::vector<int> members;
    for (const Stop& stop : chain) members.push_back(stop.object);
    finder_.stand(members, first, boxes_);
    std::vector<Step> steps;
    for (std::size_t i = 0; i < chain.size(); ++i) {
      if (i % 64 == 63) watch_.at("ordering", 0.5);
      Step step{chain[i].object, chain[i].way, Link::trim, {}};
      if (i == 0) {
        if (first == 0) step.link = Link::first;
      } else {
        const geometry::Point a = links_.exit(chain[i - 1]), b = links_.entry(chain[i]);
        step.link = links_.visible_link(a, b).link;
        if (auto way = finder_.way(a, b, first + int(i), chain[i - 1].object)) {
          step.link = Link::hidden;
          step.travel = std::move(*way);
        }
      }
      steps.push_back(std::move(step));
    }
    return steps;
  }

  // What the visit costs as it is laid.
  double cost_of(const std::vector<Step>& steps) const {
    const Weights& weights = links_.weights();
    ObjectSet sewn = sewn_;
    double sum = 0;
    for (std::size_t i = 0; i < steps.size(); ++i) {
      const Stop to{steps[i].object, steps[i].way};
      sum += weights.inward_mm * inward_.cost(to.object, sewn);
      sewn.add(to.object);
      if (i == 0) continue;
      const Stop from{steps[i - 1].object, steps[i - 1].way};
      sum += steps[i].link == Link::hidden
                 ? links_.hidden_cost(from, to)
                 : links_.visible_link(links_.exit(from), links_.entry(to)).cost;
    }
    return sum;
  }

  // Forbids links that were taken for hidden and are not; true when there are none.
  bool forbid_what_failed(const std::vector<Step>& steps, VisitLinks& links) {
    bool is_as_guessed = true;
    ObjectSet open = links.later();
    for (const Step& step : steps) open.add(step.object);
    for (std::size_t i = 1; i < steps.size(); ++i) {
      const Stop a{steps[i - 1].object, steps[i - 1].way}, b{steps[i].object, steps[i].way};
      open.remove(a.object);
      if (!links.is_hidden(a, b, open)) continue;
      ++order_.n_guesses;
      if (steps[i].link == Link::hidden) continue;
      ++order_.n_wrong_guesses;
      links.forbid(a, b);
      is_as_guessed = false;
    }
    return is_as_guessed;
  }

  void finish(std::vector<Step> steps) {
    for (Step& step : steps) {
      sewn_.add(step.object);
      order_.steps.push_back(std::move(step));
    }
  }

  const std::vector<digitise::Object>& objects_;
  const OrderOptions& options_;
  const base::Watch& watch_;
  Precedences precedences_;
  CoverGrid grid_;
  Links links_;
  Inward inward_;
  TravelFinder finder_;
  std::vector<geometry::Box> boxes_;
  bool is_free_;
  ObjectSet sewn_;
  Order order_;
};

}  // namespace

void measure(const std::vector<digitise::Object>& objects, Order& order) {
  order.thread_changes = order.trims = 0;
  order.visible_mm = order.hidden_mm = 0;
  for (std::size_t i = 1; i < order.steps.size(); ++i) {
    const Step &a = order.steps[i - 1], &b = order.steps[i];
    const geometry::Point from = objects[at(a.object)].ways[at(a.way)].exit;
    const geometry::Point to = objects[at(b.object)].ways[at(b.way)].entry;
    const bool changes = objects[at(a.object)].thread != objects[at(b.object)].thread;
    order.thread_changes += changes;
    if (b.link == Link::hidden) {
      geometry::Polyline way = b.travel;
      way.insert(way.begin(), from);
      way.push_back(to);
      order.hidden_mm += geometry::length(way);
    } else if (!changes) {
      order.visible_mm += geometry::distance(from, to);
      order.trims += b.link == Link::trim;
    }
  }
}

Order order_objects(const std::vector<digitise::Object>& objects, const OrderOptions& options,
                    const base::Watch& watch) {
  if (objects.empty()) return {};
  Orderer orderer(objects, options, watch);
  Order order = orderer.run();
  measure(objects, order);
  return order;
}

}  // namespace buckram::sequence
