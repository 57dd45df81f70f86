#include "sequence/sequence.h"

#include "sequence/bound.h"
#include "sequence/search.h"
#include "sequence/travel.h"
#include "sequence/visits.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

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
  std::vector<int> left(objects.size()), order;
  std::iota(left.begin(), left.end(), 0);
  std::stable_sort(left.begin(), left.end(), [&](int a, int b) { return key(a) < key(b); });
  ObjectSet done(precedence.size());
  while (!left.empty()) {
    const auto next = std::find_if(left.begin(), left.end(), [&](int i) {
      return done.contains(precedence.all_before[at(i)]);
    });
    order.push_back(*next);
    done.add(*next);
    left.erase(next);
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

// Sews visit after visit: the order within each, and the ways of its travel.
class Orderer {
 public:
  Orderer(const std::vector<digitise::Object>& objects, const OrderOptions& options)
      : objects_(objects),
        options_(options),
        precedence_(precedence_of(objects)),
        grid_(objects, options.hide_inset_mm),
        links_(objects, grid_, options, Weights{}),
        inward_(objects, grid_, options.inward),
        is_free_(options.mode == Mode::planned),
        sewn_(precedence_.size()) {}

  Order run(const base::Watch& watch) {
    std::vector<int> thread_of;
    for (const digitise::Object& object : objects_) thread_of.push_back(object.thread);
    const VisitPlan fewest =
        plan_visits(precedence_, thread_of, VisitCost{inward_, objects_.size()});
    const std::vector<Visit> visits =
        is_free_ ? fewest.visits
                 : visits_in_order(objects_, asked_order(objects_, options_.mode, precedence_));
    order_.least_thread_changes = std::max(fewest.least_visits - 1, 0);
    for (const Visit& visit : visits) {
      watch.at("ordering", 0.5);
      sew(visit.objects);
    }
    return std::move(order_);
  }

 private:
  // Where travel that the search counts on is not to be had, the search is told so and asked again.
  void sew(const std::vector<int>& members) {
    constexpr int kMostRounds = 6;
    VisitLinks links(links_, precedence_, members, sewn_);
    std::optional<geometry::Point> from = options_.start;
    if (!order_.steps.empty())
      from = links_.exit({order_.steps.back().object, order_.steps.back().way});
    const Judge judge{precedence_, links, inward_, from};
    add_bound(bound_of(judge, members, options_.trim_mm));
    SearchOptions search;
    search.seed = order_.steps.size() + 1;
    const double share = double(members.size()) / double(objects_.size());
    search.most_tries = static_cast<int>(options_.most_tries * share);
    Chain chain = is_free_ ? best_chain(judge, members, search) : with_best_ways(judge, members);
    for (int round = 1;; ++round) {
      std::vector<Step> steps = laid(chain);
      const bool is_as_guessed = forbid_what_failed(steps, links);
      if (is_as_guessed || round == kMostRounds) {
        finish(std::move(steps));
        return;
      }
      chain = is_free_ ? searched_again(judge, chain, search) : with_best_ways(judge, members);
    }
  }

  // From where the search stood; what is dear there only since the last round is soon mended.
  static Chain searched_again(const Judge& judge, const Chain& chain, SearchOptions search) {
    search.most_tries /= 4;
    if (chain.size() > kMostExact) return improved(judge, chain, search);
    std::vector<int> members;
    for (const Stop& stop : chain) members.push_back(stop.object);
    return best_chain(judge, members, search);
  }

  void add_bound(const VisitBound& bound) {
    order_.islands_bound += bound.islands - 1;
    order_.least_trims += bound.least_trims;
    order_.least_visible_mm += bound.visible_mm;
  }

  std::vector<Step> laid(const Chain& chain) {
    const int first = static_cast<int>(order_.steps.size());
    std::vector<int> step_of(objects_.size(), first + static_cast<int>(chain.size()));
    for (int i = 0; i < first; ++i) step_of[at(order_.steps[at(i)].object)] = i;
    for (std::size_t i = 0; i < chain.size(); ++i) step_of[at(chain[i].object)] = first + int(i);
    TravelOptions travel;
    travel.stitch_mm = options_.travel_stitch_mm;
    TravelFinder finder(grid_, step_of, travel);
    std::vector<Step> steps;
    for (std::size_t i = 0; i < chain.size(); ++i) {
      Step step{chain[i].object, chain[i].way, Link::trim, {}};
      if (i == 0) {
        if (first == 0) step.link = Link::first;
      } else {
        const geometry::Point a = links_.exit(chain[i - 1]), b = links_.entry(chain[i]);
        step.link = links_.visible_link(a, b).link;

        if (auto way = finder.way(a, b, first + int(i), chain[i - 1].object)) {
          step.link = Link::hidden;
          step.travel = std::move(*way);
        }
      }
      steps.push_back(std::move(step));
    }
    return steps;
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
  Precedence precedence_;
  CoverGrid grid_;
  Links links_;
  Inward inward_;
  bool is_free_;
  ObjectSet sewn_;
  Order order_;
};

void measure(const std::vector<digitise::Object>& objects, Order& order) {
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

}  // namespace

Order order_objects(const std::vector<digitise::Object>& objects, const OrderOptions& options,
                    const base::Watch& watch) {
  if (objects.empty()) return {};
  Orderer orderer(objects, options);
  Order order = orderer.run(watch);
  measure(objects, order);
  return order;
}

}  // namespace buckram::sequence
