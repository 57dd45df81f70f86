#include "stitch/builder.h"

#include "base/base.h"

#include <cmath>

namespace buckram::stitch {
namespace {

double to_micrometre(double mm) {
  return std::round(mm * 1000) / 1000 + 0.0;
}  // + 0.0: no -0

}  // namespace

geometry::Point rounded(geometry::Point p) {
  return {to_micrometre(p.x), to_micrometre(p.y)};
}

Builder::Builder(std::vector<PlanThread> threads, std::vector<PlanObject> objects) {
  plan_.threads = std::move(threads);
  plan_.objects = std::move(objects);
  for (const PlanObject& object : plan_.objects) {
    index_of_.emplace(object.id, static_cast<int>(index_of_.size()));
  }
}

geometry::Point Builder::here() const {
  return plan_.op.empty() ? geometry::Point{} : plan_.at(plan_.size() - 1);
}

void Builder::put(geometry::Point at, Op op) {
  BUCKRAM_ASSERT(object_ >= 0);
  plan_.x.push_back(at.x);
  plan_.y.push_back(at.y);
  plan_.op.push_back(op);
}

void Builder::begin(int object_id, Layer layer) {
  const auto found = index_of_.find(object_id);
  BUCKRAM_ASSERT(found != index_of_.end());
  const auto thread_of = [&](int k) { return plan_.objects[static_cast<std::size_t>(k)].thread; };
  const int thread = thread_of(found->second);
  const int thread_before = object_ < 0 ? thread : thread_of(object_);
  if (thread != thread_before && !plan_.op.empty()) {
    trim();
    put(here(), Op::change);
  }
  object_ = found->second;
  layer_ = layer;
}

void Builder::sew(geometry::Point to) {
  put(rounded(to), Op::sew);
  thread_hangs_ = true;
  const PlanObject& object = plan_.objects[static_cast<std::size_t>(object_)];
  // What was put since the last `sew` goes with the block that this one belongs to.
  const bool goes_on = !plan_.blocks.empty() && plan_.blocks.back().object == object.id &&
                       plan_.blocks.back().layer == layer_;
  if (!goes_on) {
    const int first =
        plan_.blocks.empty() ? 0 : plan_.blocks.back().first + plan_.blocks.back().count;
    plan_.blocks.push_back({object.id, layer_, object.thread, first, 0});
  }
  plan_.blocks.back().count = plan_.size() - plan_.blocks.back().first;
}

void Builder::move(geometry::Point to) {
  put(rounded(to), Op::move);
}

void Builder::trim() {
  if (!thread_hangs_) return;
  put(here(), Op::trim);
  thread_hangs_ = false;
}

void Builder::stop() {
  put(here(), Op::stop);
}

Plan Builder::finish() {
  if (object_ >= 0) {
    trim();
    put(here(), Op::end);
    const PlanObject& object = plan_.objects[static_cast<std::size_t>(object_)];
    if (plan_.blocks.empty()) plan_.blocks.push_back({object.id, layer_, object.thread, 0, 0});
    plan_.blocks.back().count = plan_.size() - plan_.blocks.back().first;
  }
  Plan done = std::move(plan_);
  *this = Builder({}, {});
  return done;
}

}  // namespace buckram::stitch
