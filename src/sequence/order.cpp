#include "sequence/sequence.h"

#include "sequence/chain.h"
#include "sequence/travel.h"
#include "sequence/visits.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace buckram::sequence {
namespace {

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

geometry::Point middle_of(const digitise::Object& object) {
  return geometry::bounds(object.outline).middle();
}

// From the middle out and from the bill up: distance from the middle of the bill edge.
std::vector<double> strays(const std::vector<digitise::Object>& objects) {
  std::vector<double> all;
  for (const digitise::Object& object : objects) all.push_back(geometry::norm(middle_of(object)));
  return all;
}

// A fixed order of all objects for the modes that ask for one.
std::vector<int> asked_order(const std::vector<digitise::Object>& objects, Mode mode,
                             const Precedence& precedence) {
  const std::vector<double> stray = strays(objects);
  const auto key = [&](int i) {
    switch (mode) {
      case Mode::inward:
        return -stray[at(i)];
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

struct Plan {
  std::vector<Chain> chains;  // one a visit
  int least_visits = 0;
};

Plan plan_chains(const std::vector<digitise::Object>& objects, const OrderOptions& options,
                 const Precedence& precedence, const Links& links, const base::Watch& watch) {
  std::vector<int> thread_of;
  for (const digitise::Object& object : objects) thread_of.push_back(object.thread);
  Judge judge{objects,   precedence,      links,
              Weights{}, strays(objects), options.mode == Mode::planned};
  const VisitPlan fewest = plan_visits(precedence, thread_of,
                                       [&](int i, const ObjectSet&) { return judge.stray[at(i)]; });
  const bool is_free = options.mode == Mode::planned;
  const std::vector<Visit> visits =
      is_free ? fewest.visits
              : visits_in_order(objects, asked_order(objects, options.mode, precedence));
  Plan plan;
  plan.least_visits = fewest.least_visits;
  ObjectSet sewn(precedence.size());
  geometry::Point here = options.start;
  for (const Visit& visit : visits) {
    watch.at("ordering", 0.5);
    const double share = double(visit.objects.size()) / double(objects.size());
    const int tries = static_cast<int>(options.most_tries * share);
    plan.chains.push_back(is_free ? best_chain(judge, visit.objects, here, sewn, tries)
                                  : with_best_ways(judge, visit.objects, here, sewn));
    for (const Stop& stop : plan.chains.back()) sewn.add(stop.object);
    const Stop& last = plan.chains.back().back();
    here = objects[at(last.object)].ways[at(last.way)].exit;
  }
  return plan;
}

// Connected parts of the visit's objects, by moves up to the trim limit and by cover that later
// objects could give: what no search can join.
int n_islands(const Chain& chain, const Links& links) {
  std::vector<std::size_t> parent(chain.size());
  std::iota(parent.begin(), parent.end(), 0U);
  const auto root = [&](std::size_t i) {
    while (parent[i] != i) i = parent[i] = parent[parent[i]];
    return i;
  };
  std::size_t n = chain.size();
  for (std::size_t a = 0; a < chain.size(); ++a) {
    for (std::size_t b = a + 1; b < chain.size(); ++b) {
      if (root(a) == root(b) || !links.can_join(chain[a].object, chain[b].object)) continue;
      parent[root(a)] = root(b);
      --n;
    }
  }
  return static_cast<int>(n);
}

// How the step is reached once the whole order is known.
Step linked(const std::vector<digitise::Object>& objects, const Stop* before, const Stop& stop,
            int index, TravelFinder& finder, const Links& links) {
  Step step{stop.object, stop.way, Link::first, {}};
  if (before == nullptr) return step;
  const geometry::Point from = objects[at(before->object)].ways[at(before->way)].exit;
  const geometry::Point to = objects[at(stop.object)].ways[at(stop.way)].entry;
  if (auto way = finder.way(from, to, index)) {
    step.link = Link::hidden;
    step.travel = std::move(*way);
    return step;
  }
  step.link = links.visible_link(from, to).link;
  return step;
}

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
    } else {
      order.visible_mm += geometry::distance(from, to);
      order.trims += b.link == Link::trim && !changes;
    }
  }
}

}  // namespace

Order order_objects(const std::vector<digitise::Object>& objects, const OrderOptions& options,
                    const base::Watch& watch) {
  Order order;
  if (objects.empty()) return order;
  const Precedence precedence = precedence_of(objects);
  const CoverGrid grid(objects, options.hide_inset_mm);
  const Links links(objects, grid, options, Weights{});
  const Plan plan = plan_chains(objects, options, precedence, links, watch);

  std::vector<int> step_of(objects.size(), 0);
  int index = 0;
  for (const Chain& chain : plan.chains) {
    for (const Stop& stop : chain) step_of[at(stop.object)] = index++;
  }
  TravelOptions travel;
  travel.stitch_mm = options.travel_stitch_mm;
  TravelFinder finder(grid, step_of, travel);
  index = 0;
  for (const Chain& chain : plan.chains) {
    const Stop* before = nullptr;
    for (const Stop& stop : chain) {
      Step step = linked(objects, before, stop, index++, finder, links);
      if (before == nullptr && !order.steps.empty()) step.link = Link::trim;
      order.steps.push_back(std::move(step));
      before = &stop;
    }
    order.islands_bound += n_islands(chain, links) - 1;
  }
  order.least_thread_changes = std::max(plan.least_visits - 1, 0);
  measure(objects, order);
  return order;
}

}  // namespace buckram::sequence
