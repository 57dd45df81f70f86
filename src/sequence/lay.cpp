#include "sequence/sequence.h"

#include <algorithm>
#include <cmath>

namespace buckram::sequence {
namespace {

using digitise::Object;
using digitise::Piece;
using geometry::Point;

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

std::vector<stitch::PlanThread> plan_threads(const std::vector<artwork::Thread>& threads,
                                             const std::vector<Object>& objects,
                                             const Order& order) {
  std::vector<stitch::PlanThread> all;
  for (const artwork::Thread& thread : threads) {
    all.push_back({thread.name, artwork::hex(thread.colour), thread.tex, 0, thread.number});
  }
  int needle = 0;
  for (const Step& step : order.steps) {
    stitch::PlanThread& thread = all[at(objects[at(step.object)].thread)];
    if (thread.needle == 0) thread.needle = ++needle;
  }
  for (stitch::PlanThread& thread : all) {
    if (thread.needle == 0) thread.needle = ++needle;  // sews nothing
  }
  return all;
}

std::vector<stitch::PlanObject> plan_objects(const std::vector<Object>& objects) {
  std::vector<stitch::PlanObject> all;
  for (const Object& object : objects) {
    all.push_back({object.id, digitise::kind(object), object.thread, object.source, ""});
  }
  return all;
}

// A short move in sight leaves a thread that can catch: one lock before it holds both objects.
// Travel under later stitches is held by them, and a step no longer than a stitch holds itself.
bool is_loose(const std::vector<Object>& objects, const Step& step, const Step& next) {
  constexpr double kHoldsItselfMm = 1.5;
  if (next.link != Link::step) return false;
  const Point from = objects[at(step.object)].ways[at(step.way)].exit;
  return geometry::distance(from, objects[at(next.object)].ways[at(next.way)].entry) >
         kHoldsItselfMm;
}

// Sews on from where the needle last went down; a hole too near to the last is left out, and what
// is longer than the longest stitch is split.
class Sewer {
 public:
  Sewer(stitch::Builder& builder, double longest_mm) : builder_(builder), longest_mm_(longest_mm) {}

  void needle_down(Point p) {
    builder_.move(p);
    builder_.sew(p);
    here_ = p;
  }

  void sew(Point p, stitch::Layer layer) {
    const double mm = geometry::distance(here_, p);
    if (mm < least_mm(layer)) return;
    const int n = std::max(1, static_cast<int>(std::ceil(mm / longest_mm_ - 1e-9)));
    const Point from = here_;
    for (int k = 1; k < n; ++k) builder_.sew(geometry::mix(from, p, double(k) / n));
    builder_.sew(p);
    here_ = p;
  }

 private:
  // Two holes nearer than this cut the cloth; only a lock may come close to where it began. Under
  // later cloth a hole more or less does not matter.
  static double least_mm(stitch::Layer layer) {
    const stitch::Limits limits;
    switch (layer) {
      case stitch::Layer::lock:
        return 1e-3;
      case stitch::Layer::top:
        return limits.shortest_any_mm;
      default:
        return limits.shortest_mm;
    }
  }

  stitch::Builder& builder_;
  double longest_mm_;
  Point here_;
};

}  // namespace

stitch::Plan lay(const std::vector<Object>& objects, const Order& order,
                 const std::vector<artwork::Thread>& threads, const digitise::Recipe& recipe) {
  stitch::Builder builder(plan_threads(threads, objects, order), plan_objects(objects));
  Sewer sewer(builder, recipe.longest_mm);
  for (std::size_t i = 0; i < order.steps.size(); ++i) {
    const Step& step = order.steps[i];
    const Object& object = objects[at(step.object)];
    const bool is_cut = step.link == Link::trim || step.link == Link::first;
    const bool is_last = i + 1 == order.steps.size();
    const bool is_cut_after = is_last || order.steps[i + 1].link == Link::trim ||
                              is_loose(objects, step, order.steps[i + 1]);
    const std::vector<Piece> pieces =
        digitise::sew(object, object.ways[at(step.way)], recipe, {is_cut, is_cut_after});
    if (step.link == Link::hidden) {
      builder.begin(object.id, stitch::Layer::travel);
      for (const Point p : step.travel) sewer.sew(p, stitch::Layer::travel);
    } else if (step.link == Link::trim) {
      builder.trim();
    }
    bool is_down = step.link == Link::hidden;
    for (const Piece& piece : pieces) {
      builder.begin(object.id, piece.layer);
      for (const Point p : piece.points) {
        is_down ? sewer.sew(p, piece.layer) : sewer.needle_down(p);
        is_down = true;
      }
    }
  }
  return builder.finish();
}

}  // namespace buckram::sequence
