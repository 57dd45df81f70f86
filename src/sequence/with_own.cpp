// An order kept while single objects change: their ends, and what lies between objects, anew.
#include "sequence/cover_grid.h"
#include "sequence/links.h"
#include "sequence/sequence.h"
#include "sequence/travel.h"

#include <algorithm>
#include <optional>
#include <utility>

namespace buckram::sequence {
namespace {

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

TravelOptions travel_options(const OrderOptions& options) {
  TravelOptions travel;
  travel.stitch_mm = options.travel_stitch_mm;
  return travel;
}

class Relinker {
 public:
  Relinker(const std::vector<digitise::Object>& objects, const std::vector<int>& changed,
           const OrderOptions& options)
      : objects_(objects),
        options_(options),
        grid_(objects, options.hide_inset_mm),
        finder_(grid_, static_cast<int>(objects.size()), travel_options(options)),
        is_changed_(objects.size(), false) {
    for (const int i : changed) is_changed_[at(i)] = true;
    for (const digitise::Object& object : objects) {
      boxes_.push_back(geometry::bounds(object.outline));
    }
  }

  // One visit: the steps from `first` up to `end`, all of one thread.
  void relink(std::vector<Step>& steps, std::size_t first, std::size_t end) {
    std::vector<int> members;
    for (std::size_t i = first; i < end; ++i) members.push_back(steps[i].object);
    finder_.stand(members, static_cast<int>(first), boxes_);
    for (std::size_t i = first; i < end; ++i) {
      if (is_changed_[at(steps[i].object)]) choose_way(steps, i, first, end);
      if (i > first) lay(steps, i);
    }
  }

 private:
  struct Between {
    Link link = Link::trim;
    geometry::Polyline travel;
    double cost = 0;
  };

  geometry::Point entry(const Step& step) const {
    return objects_[at(step.object)].ways[at(step.way)].entry;
  }
  geometry::Point exit(const Step& step) const {
    return objects_[at(step.object)].ways[at(step.way)].exit;
  }

  // From the end of `a` to the beginning of `b`, which is sewn at step `i`.
  Between between(const Step& a, const Step& b, std::size_t i) {
    const geometry::Point from = exit(a), to = entry(b);
    if (auto way = finder_.way(from, to, static_cast<int>(i), a.object)) {
      return {Link::hidden, std::move(*way), weights_.hidden_mm * geometry::distance(from, to)};
    }
    const LinkGuess visible = visible_link(from, to, options_, weights_);
    return {visible.link, {}, visible.cost};
  }

  // By what lies before and behind; an object behind that is changed too has no way yet.
  void choose_way(std::vector<Step>& steps, std::size_t i, std::size_t first, std::size_t end) {
    const int n = static_cast<int>(objects_[at(steps[i].object)].ways.size());
    std::optional<double> least;
    int best = 0;
    for (int w = 0; w < n; ++w) {
      Step tried{steps[i].object, w, Link::trim, {}};
      double cost = 0;
      if (i > first) cost += between(steps[i - 1], tried, i).cost;
      if (i + 1 < end && !is_changed_[at(steps[i + 1].object)])
        cost += between(tried, steps[i + 1], i + 1).cost;
      if (least && cost >= *least) continue;
      least = cost;
      best = w;
    }
    steps[i].way = best;
  }

  void lay(std::vector<Step>& steps, std::size_t i) {
    Between found = between(steps[i - 1], steps[i], i);
    steps[i].link = found.link;
    steps[i].travel = std::move(found.travel);
  }

  const std::vector<digitise::Object>& objects_;
  const OrderOptions& options_;
  Weights weights_;
  CoverGrid grid_;
  TravelFinder finder_;
  std::vector<bool> is_changed_;
  std::vector<geometry::Box> boxes_;
};

}  // namespace

Order with_own(const std::vector<digitise::Object>& objects, Order order,
               const std::vector<int>& changed, const OrderOptions& options,
               const base::Watch& watch) {
  if (changed.empty()) return order;
  Relinker relinker(objects, changed, options);
  const auto thread = [&](std::size_t i) { return objects[at(order.steps[i].object)].thread; };
  for (std::size_t first = 0, end = 0; first < order.steps.size(); first = end) {
    for (end = first; end < order.steps.size() && thread(end) == thread(first);) ++end;
    watch.at("ordering", 0.55);
    relinker.relink(order.steps, first, end);
  }
  measure(objects, order);
  return order;
}

}  // namespace buckram::sequence
