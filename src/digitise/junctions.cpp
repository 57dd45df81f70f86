#include "digitise/junctions.h"

#include "base/base.h"
#include "digitise/alike.h"
#include "digitise/feet.h"
#include "digitise/spine.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <tuple>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polygon;

constexpr double kSharpestPair = 100 * base::kPi / 180;
constexpr double kMouthMm = 0.05;     // how far from its junction an arm's mouth is measured
constexpr double kClearOfDisc = 1.1;  // radii from a junction: the axis has its own direction
constexpr double kCourseRadii = 1.6;  // length over which that direction is taken
constexpr double kLeastEndMm = 0.3;   // a stroke's end that sticks out less is a bump
constexpr double kAtNotch = 0.2;      // radii from a reflex corner
constexpr double kLongestMouth =
    2.1;  // times the shortest, for straight sides of what runs through
// No step ends at an angle that people draw.
constexpr double kBendStep = 5.1 * base::kPi / 180;
constexpr double kShortArm = 2;  // times: its direction is less sure
constexpr int kStraight = 7;     // steps: of straight strokes the wider runs through
constexpr double kNotch = 35 * base::kPi / 180;

double angle_between(Point a, Point b) {
  return std::abs(std::atan2(geometry::cross(a, b), geometry::dot(a, b)));
}

// An arm beyond its junction's disc: a place on it and its direction away from the junction.
struct Course {
  Point at;
  std::optional<Point> along;  // none: the arm ends within the disc or little beyond
};

Point walked(const AxisGraph& graph, Arm arm, double reach_mm) {
  Point at = graph.node(start_node(graph, arm)).at;
  const int n = static_cast<int>(graph.branches[arm.branch].nodes.size());
  for (int k = 1; k < n; ++k) {
    const Point p = graph.node(node_along(graph, arm, k)).at;
    const double step = geometry::distance(at, p);
    if (step >= reach_mm) return step > 0 ? geometry::mix(at, p, reach_mm / step) : p;
    reach_mm -= step;
    at = p;
  }
  return at;
}

Course course(const AxisGraph& graph, Arm arm) {
  const double r = graph.node(start_node(graph, arm)).radius_mm;
  const double length = graph.branches[arm.branch].length_mm;
  const double from = kClearOfDisc * r, to = std::min(length, from + kCourseRadii * r);
  if (to < from + 0.3 * r) return {walked(graph, arm, length), std::nullopt};
  const Point a = walked(graph, arm, from);
  return {a, geometry::unit(walked(graph, arm, to) - a)};
}

// The way an arm goes off, unit.
Point direction(const AxisGraph& graph, Arm arm) {
  const Course line = course(graph, arm);
  return line.along ? *line.along : geometry::unit(line.at - graph.node(start_node(graph, arm)).at);
}

// By how much the way in along one arm and out along the other bends. Across two nodes the courses
// beyond both discs count, since between them the axis bends towards their link; at one node the
// way the arms leave it, which tells a bowl from a stem. A short arm is judged by where it ends
// beside the other's line.
double bend_between(const AxisGraph& graph, Arm a, Arm b, bool is_linked) {
  const Course in = course(graph, a), out = course(graph, b);
  if (in.along && out.along) {
    if (!is_linked) {
      const auto reach = [&](Arm arm) {
        return 1.5 * graph.node(start_node(graph, arm)).radius_mm;
      };
      return angle_between(heading(graph, a, reach(a)) * -1, heading(graph, b, reach(b)));
    }
    const Point across = out.at - in.at;
    return std::max(
        angle_between(*in.along * -1, *out.along),
        (angle_between(*in.along * -1, across) + angle_between(across, *out.along)) / 2);
  }
  if (!in.along && !out.along) {
    const Point here = graph.node(start_node(graph, a)).at;
    return angle_between(here - in.at, out.at - here);
  }
  const Course& line = in.along ? in : out;
  const Point tip = in.along ? out.at : in.at;
  const Point node = graph.node(start_node(graph, in.along ? a : b)).at;
  const Point foot = line.at + *line.along * geometry::dot(node - line.at, *line.along);
  return kShortArm * angle_between(*line.along * -1, tip - foot);
}

struct Pairing {
  int bend = 0;  // steps of kBendStep, up to kStraight alike
  int thinner = 0;
  int straight = 0;  // steps of kBendStep
  Precedence precedence;
  Arm a, b;
  int via = -1;  // short branch between the two
  double bend_rad = 0;
};

bool before(const Pairing& x, const Pairing& y) {
  return std::tie(x.bend, x.thinner, x.straight, x.precedence, x.via, x.a, x.b) <
         std::tie(y.bend, y.thinner, y.straight, y.precedence, y.via, y.a, y.b);
}

std::vector<std::vector<Arm>> arms_by_node(const AxisGraph& graph) {
  std::vector<std::vector<Arm>> arms(graph.axis.nodes.size());
  for (int b = 0; b < static_cast<int>(graph.branches.size()); ++b) {
    if (graph.branches[b].closed) continue;
    for (int end : {0, 1}) {
      const int node = start_node(graph, {b, end});
      if (graph.degree(node) > 2) arms[node].push_back({b, end});
    }
  }
  return arms;
}

// Half the width of an arm beyond its junction.
double own_radius(const AxisGraph& graph, Arm arm) {
  const double clear = kClearOfDisc * graph.node(start_node(graph, arm)).radius_mm;
  std::vector<double> radii;
  double at = 0;
  const int n = static_cast<int>(graph.branches[arm.branch].nodes.size());
  for (int k = 1; k < n; ++k) {
    const auto& node = graph.node(node_along(graph, arm, k));
    at += geometry::distance(node.at, graph.node(node_along(graph, arm, k - 1)).at);
    if (at < clear && k + 1 < n) continue;
    if (at > 3 * clear && !radii.empty()) break;
    radii.push_back(node.radius_mm);
  }
  std::nth_element(radii.begin(), radii.begin() + static_cast<std::ptrdiff_t>(radii.size() / 2),
                   radii.end());
  return radii[radii.size() / 2];
}

Pairing pairing(const AxisGraph& graph, Point middle, Arm a, Arm b, int via) {
  const Course in = course(graph, a), out = course(graph, b);
  const double bend = bend_between(graph, a, b, via >= 0);
  const auto far_end = [&](Arm arm) {
    return graph.node(start_node(graph, {arm.branch, 1 - arm.end})).at;
  };
  const double length = graph.branches[a.branch].length_mm + graph.branches[b.branch].length_mm;
  const Point along = out.at - in.at;
  const Precedence first = std::min(precedence(length, along, far_end(a), middle),
                                    precedence(length, along, far_end(b), middle));
  const int steps = static_cast<int>(std::lround(bend / kBendStep));
  const double half_width = std::min(own_radius(graph, a), own_radius(graph, b));
  return {std::max(kStraight, steps),
          -static_cast<int>(std::lround(half_width / 0.1)),
          steps,
          first,
          a,
          b,
          via,
          bend};
}

// All ways to run through: straight across one node, or across two joined by a short branch.
std::vector<Pairing> pairings(const AxisGraph& graph, const std::vector<std::vector<Arm>>& arms,
                              Point middle) {
  std::vector<Pairing> all;
  for (const auto& here : arms) {
    for (std::size_t i = 0; i < here.size(); ++i) {
      for (std::size_t j = i + 1; j < here.size(); ++j)
        all.push_back(pairing(graph, middle, here[i], here[j], -1));
    }
  }
  for (int b = 0; b < static_cast<int>(graph.branches.size()); ++b) {
    const auto& branch = graph.branches[b];
    const int p = branch.nodes.front(), q = branch.nodes.back();
    if (branch.closed || p == q || graph.degree(p) < 3 || graph.degree(q) < 3) continue;
    if (branch.length_mm > 2 * std::min(graph.node(p).radius_mm, graph.node(q).radius_mm)) continue;
    for (const Arm& x : arms[p]) {
      for (const Arm& y : arms[q]) {
        if (x.branch == b || y.branch == b || x.branch == y.branch) continue;
        all.push_back(pairing(graph, middle, x, y, b));
      }
    }
  }
  std::sort(all.begin(), all.end(), before);
  return all;
}

// What runs through each junction.
struct Passages {
  std::vector<std::array<bool, 2>> joined;  // by branch and end: the arm runs through there
  std::vector<Point> along;                 // by node: direction of what runs through, or none
};

// Of what runs through: the longer arms' own, since a short one's end stands askew.
Point direction_through(const AxisGraph& graph, Arm a, Arm b) {
  const Course in = course(graph, a), out = course(graph, b);
  if (in.along && !out.along) return *in.along * -1;
  if (out.along && !in.along) return *out.along;
  return geometry::unit(out.at - in.at);
}

Passages passages(const AxisGraph& graph, const std::vector<std::vector<Arm>>& arms, Point middle) {
  Passages out{std::vector<std::array<bool, 2>>(graph.branches.size(), {false, false}),
               std::vector<Point>(graph.axis.nodes.size())};
  std::vector<bool> passed(graph.axis.nodes.size(), false);  // one pair runs through each
  const auto taken = [&](Arm arm) -> bool& { return out.joined[arm.branch][arm.end]; };
  for (const auto& pair : pairings(graph, arms, middle)) {
    if (pair.bend_rad > kSharpestPair || taken(pair.a) || taken(pair.b)) continue;
    const int from = start_node(graph, pair.a), to = start_node(graph, pair.b);
    if (passed[from] || passed[to]) continue;
    if (pair.via >= 0) {
      auto& link = out.joined[pair.via];
      if (link[0] || link[1]) continue;
      link = {true, true};
    }
    taken(pair.a) = taken(pair.b) = true;
    passed[from] = passed[to] = true;
    out.along[from] = out.along[to] = direction_through(graph, pair.a, pair.b);
  }
  return out;
}

double ray_length(const Polygon& polygon, Point p, Point d) {
  for (double t : crossings(polygon, p, d)) {
    if (t > 0.02) return t;
  }
  return INFINITY;
}

// A mouth with a notch on one side only is turned about the notch towards the side of what runs
// through, so that this keeps straight edges, as far as that makes it little longer.
Feet along_the_side(const Polygon& polygon, Feet mouth, Point through, double r) {
  const Notch left = notch_near(polygon, mouth.left, kAtNotch * r);
  const Notch right = notch_near(polygon, mouth.right, kAtNotch * r);
  if (left.is_there) mouth.left = left.at;
  if (right.is_there) mouth.right = right.at;
  if (left.is_there == right.is_there || through == Point{}) return mouth;
  const Point notch = left.is_there ? left.at : right.at;
  const Point other = left.is_there ? mouth.right : mouth.left;
  const double width = geometry::distance(notch, other);
  const Point straight = geometry::unit(other - notch);
  if (geometry::dot(straight, through) < 0) through = through * -1;
  if (geometry::dot(straight, through) < 0.4) return mouth;
  for (const double share : {1.0, 0.8, 0.6, 0.4, 0.2}) {
    const Point d = geometry::unit(straight * (1 - share) + through * share);
    const double length = ray_length(polygon, notch, d);
    if (length > kLongestMouth * width + 0.1) continue;
    const Point end = notch + d * length;
    return left.is_there ? Feet{notch, end} : Feet{end, notch};
  }
  return mouth;
}

// A cut and the arm that it cuts off.
struct CutArm {
  std::size_t cut = 0;
  Arm arm;
};

// How far an arm with a free end sticks out of its junction, in its own widths; else many.
double widths_out(const AxisGraph& graph, Arm arm) {
  const int far = start_node(graph, {arm.branch, 1 - arm.end});
  if (graph.degree(far) != 1) return INFINITY;
  const double tip = graph.node(far).radius_mm, disc = graph.node(start_node(graph, arm)).radius_mm;
  return (graph.branches[arm.branch].length_mm + tip - disc) / (2 * tip);
}

// Joins the first pair of arms across from each other of which one is too short for an object.
void join_opposite(const AxisGraph& graph, const std::vector<CutArm>& here, Cuts& out) {
  constexpr double kShortWidths = 0.9, kAcross = base::kPi / 9;
  for (const CutArm& a : here) {
    for (const CutArm& b : here) {
      if (b.cut <= a.cut ||
          std::min(widths_out(graph, a.arm), widths_out(graph, b.arm)) > kShortWidths)
        continue;
      const Point p = out.cuts[a.cut].arm, q = out.cuts[b.cut].arm;
      const Point in = direction(graph, a.arm) * -1, on = direction(graph, b.arm);
      if (angle_between(in, q - p) > kAcross || angle_between(q - p, on) > kAcross) continue;
      out.cuts[a.cut].opposite = static_cast<int>(b.cut);
      out.cuts[b.cut].opposite = static_cast<int>(a.cut);
      return;
    }
  }
}

// A sharp corner between two legs of one width, where the third arm is its point.
struct Mitre {
  Arm cut;            // the leg that is tucked under the other
  Point inside, tip;  // where both end: from the inner corner to the outer one
};

// The vertex of the outline nearest to p, and how far it turns to the left there.
struct Corner {
  Point at;
  double turn_rad = 0;
};

Corner corner_near(const Polygon& polygon, Point p) {
  Corner best;
  double best_mm = INFINITY;
  const auto look = [&](const geometry::Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const double mm = geometry::distance(ring[i], p);
      if (mm >= best_mm) continue;
      const Point in = ring[i] - ring[(i + ring.size() - 1) % ring.size()],
                  out = ring[(i + 1) % ring.size()] - ring[i];
      best_mm = mm;
      best = {ring[i], std::atan2(geometry::cross(in, out), geometry::dot(in, out))};
    }
  };
  look(polygon.outer);
  for (const auto& hole : polygon.holes) look(hole);
  return best;
}

// The mitre at a node with these arms: both legs end on the line from corner to corner, so that
// neither lies across the other's point and a shape's points come out alike. Corners of more than
// kWidest are sewn with one leg through, as are legs too narrow for the short threads of a half
// point.
std::optional<Mitre> mitre_at(const AxisGraph& graph, const Polygon& polygon,
                              const std::vector<Arm>& arms, const Passages& through) {
  constexpr double kWidest = 80 * base::kPi / 180, kLeastRadiusMm = 0.8, kUnlike = 0.2,
                   kPoint = 0.15, kAskew = 20 * base::kPi / 180;
  if (arms.size() != 3) return std::nullopt;
  for (std::size_t k = 0; k < 3; ++k) {
    const Arm point = arms[k], a = arms[(k + 1) % 3], b = arms[(k + 2) % 3];
    const auto joined = [&](Arm arm) { return through.joined[arm.branch][arm.end]; };
    const auto& node = graph.node(start_node(graph, point));
    const auto& end = graph.node(start_node(graph, {point.branch, 1 - point.end}));
    if (!joined(point) || joined(a) == joined(b) || a.branch == b.branch) continue;
    if (graph.degree(start_node(graph, {point.branch, 1 - point.end})) != 1 ||
        end.radius_mm > kPoint * node.radius_mm)
      continue;
    const double ra = own_radius(graph, a), rb = own_radius(graph, b);
    if (std::min(ra, rb) < kLeastRadiusMm || std::abs(ra - rb) > kUnlike * std::max(ra, rb))
      continue;
    const double between = angle_between(direction(graph, a), direction(graph, b));
    const Corner tip = corner_near(polygon, end.at);
    const Notch inside = notch_near(polygon, node.at, 1.2 * node.radius_mm);
    const double wedge = geometry::distance(tip.at, node.at) * std::sin(between / 2);
    if (between > kWidest || !inside.is_there ||
        std::abs(tip.turn_rad + between - base::kPi) > kAskew ||
        std::abs(wedge - node.radius_mm) > kUnlike * node.radius_mm)
      continue;
    return Mitre{joined(a) ? b : a, inside.at, tip.at};
  }
  return std::nullopt;
}

}  // namespace

Notch notch_near(const Polygon& polygon, Point p, double reach_mm) {
  Notch best;
  double best_mm = reach_mm;
  const auto look = [&](const geometry::Ring& ring) {
    const std::size_t n = ring.size();
    for (std::size_t i = 0; i < n; ++i) {
      const double mm = geometry::distance(ring[i], p);
      if (mm > best_mm) continue;
      const Point in = ring[i] - ring[(i + n - 1) % n], out = ring[(i + 1) % n] - ring[i];
      if (std::atan2(geometry::cross(in, out), geometry::dot(in, out)) > -kNotch) continue;
      best_mm = mm;
      best = {true, ring[i]};
    }
  };
  look(polygon.outer);
  for (const auto& hole : polygon.holes) look(hole);
  return best;
}

bool is_stroke_end(const AxisGraph& graph, const Polygon& polygon,
                   const geometry::MedialBranch& branch) {
  const int b = static_cast<int>(&branch - graph.branches.data());
  const int end = graph.degree(branch.nodes.front()) == 1 ? 1 : 0;
  const Arm stub{b, end};
  const auto& foot = graph.node(start_node(graph, stub));
  const auto& tip = graph.node(start_node(graph, {b, 1 - end}));
  if (branch.length_mm + tip.radius_mm - foot.radius_mm < kLeastEndMm) return false;
  const Feet feet = feet_at(graph, polygon, start_node(graph, stub), node_along(graph, stub, 1), 0);
  const double reach = kAtNotch * foot.radius_mm;
  if (!notch_near(polygon, feet.left, reach).is_there &&
      !notch_near(polygon, feet.right, reach).is_there)
    return false;
  for (int other = 0; other < static_cast<int>(graph.branches.size()); ++other) {
    if (other == b || graph.branches[other].closed) continue;
    for (const int side : {0, 1}) {
      const Arm arm{other, side};
      if (start_node(graph, arm) != start_node(graph, stub)) continue;
      const Point along = direction(graph, arm), ahead = tip.at - course(graph, arm).at;
      const bool is_ahead = geometry::dot(along, ahead) < 0;
      const double off = std::abs(geometry::cross(along, ahead));
      if (is_ahead && off < 0.35 * tip.radius_mm) return true;
    }
  }
  return false;
}

void cut_junctions(const AxisGraph& graph, const Polygon& polygon, const std::vector<bool>& wide,
                   double tuck_mm, Cuts& out) {
  const auto arms = arms_by_node(graph);
  const Passages through = passages(graph, arms, geometry::bounds(polygon).middle());
  for (std::size_t node = 0; node < arms.size(); ++node) {
    if (wide[node]) continue;
    if (const auto mitre = mitre_at(graph, polygon, arms[node], through)) {
      const Point on_leg = walked(graph, mitre->cut, graph.node(static_cast<int>(node)).radius_mm);
      out.cuts.push_back({mitre->inside, mitre->tip, on_leg, false, tuck_mm, {}});
      continue;
    }
    std::vector<CutArm> here;
    for (const Arm& arm : arms[node]) {
      const int next = node_along(graph, arm, 1);
      if (through.joined[arm.branch][arm.end] || wide[next]) continue;
      const auto& start = graph.node(static_cast<int>(node));
      const double length = geometry::distance(start.at, graph.node(next).at);
      const double t = length > 0 ? std::min(0.5, kMouthMm / length) : 0.5;
      const Feet mouth =
          along_the_side(polygon, feet_at(graph, polygon, static_cast<int>(node), next, t),
                         through.along[node], start.radius_mm);
      const Course line = course(graph, arm);
      const Point along = line.along ? *line.along : heading(graph, arm, 1.5 * start.radius_mm);
      const Point arm_side = geometry::mix(mouth.left, mouth.right, 0.5) + along * 0.05;
      here.push_back({out.cuts.size(), arm});
      out.cuts.push_back({mouth.left, mouth.right, arm_side, false, tuck_mm, along});
    }
    join_opposite(graph, here, out);
  }
}

}  // namespace buckram::digitise
