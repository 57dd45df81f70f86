#include "digitise/corners.h"

#include "base/base.h"
#include "digitise/alike.h"
#include "digitise/feet.h"
#include "digitise/spine.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;

constexpr double kCorner = 60 * base::kPi / 180;

double angle_between(Point a, Point b) {
  return std::abs(std::atan2(geometry::cross(a, b), geometry::dot(a, b)));
}

// A branch of the axis as a line with the places of the outline that it is nearest to.
struct Track {
  geometry::Polyline line;
  std::vector<double> at_mm;  // arc length
  std::vector<double> radius_mm;
  std::vector<int> node;
  bool closed = false;

  double length() const { return at_mm.back(); }
};

Track track_of(const AxisGraph& graph, const geometry::MedialBranch& branch) {
  Track track;
  track.closed = branch.closed;
  auto nodes = branch.nodes;
  if (branch.closed) nodes.push_back(nodes.front());
  for (std::size_t k = 0; k < nodes.size(); ++k) {
    const auto& node = graph.node(nodes[k]);
    const double step = k == 0 ? 0 : geometry::distance(track.line.back(), node.at);
    track.at_mm.push_back(k == 0 ? 0 : track.at_mm.back() + step);
    track.line.push_back(node.at);
    track.radius_mm.push_back(node.radius_mm);
    track.node.push_back(nodes[k]);
  }
  return track;
}

struct TrackPlace {
  Point at;
  double radius_mm = 0;
  int from = 0, to = 0;  // nodes
  double share = 0;      // between them
};

TrackPlace place(const Track& track, double s) {
  const double length = track.length();
  if (track.closed) s -= length * std::floor(s / length);
  s = std::clamp(s, 0.0, length);
  const auto after = std::upper_bound(track.at_mm.begin(), track.at_mm.end(), s);
  const auto i = static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(
      after - track.at_mm.begin() - 1, 0, static_cast<std::ptrdiff_t>(track.line.size()) - 2));
  const double step = track.at_mm[i + 1] - track.at_mm[i];
  const double t = step > 0 ? (s - track.at_mm[i]) / step : 0;
  return {geometry::mix(track.line[i], track.line[i + 1], t),
          track.radius_mm[i] + (track.radius_mm[i + 1] - track.radius_mm[i]) * t, track.node[i],
          track.node[i + 1], t};
}

struct Bend {
  double at_mm = 0, turn_rad = 0;
};

double turn_at(const Track& track, double s, double window) {
  const Point here = place(track, s).at;
  const Point in = here - place(track, s - window).at, out = place(track, s + window).at - here;
  return std::atan2(geometry::cross(in, out), geometry::dot(in, out));
}

double window_at(const Track& track, double s) {
  return 2 * place(track, s).radius_mm;
}

bool has_room(const Track& track, double s) {
  const double r = place(track, s).radius_mm;
  return r >= 0.1 && (track.closed || (s >= 0.8 * r && track.length() - s >= 0.8 * r));
}

// Local maxima of the turn over a window of two radii to either side: a square corner's axis bends
// over one and a half.
std::vector<Bend> bends(const Track& track) {
  std::vector<Bend> found;
  for (double s = 0; s < track.length(); s += 0.1) {
    if (!has_room(track, s)) continue;
    const double turn = turn_at(track, s, window_at(track, s));
    if (std::abs(turn) < kCorner) continue;
    const bool same = !found.empty() && s - found.back().at_mm < window_at(track, s);
    if (!same) {
      found.push_back({s, turn});
    } else if (std::abs(turn) > std::abs(found.back().turn_rad)) {
      found.back() = {s, turn};
    }
  }
  const bool wraps = track.closed && found.size() > 1 &&
                     found.front().at_mm + track.length() - found.back().at_mm <
                         window_at(track, found.back().at_mm);
  if (wraps) found.pop_back();
  return found;
}

// The foot on the inside of the turn at s.
Point inner_foot(const AxisGraph& graph, const geometry::Polygon& polygon, const Track& track,
                 double s, double turn_rad) {
  const TrackPlace here = place(track, s);
  const Feet feet = feet_at(graph, polygon, here.from, here.to, here.share);
  return turn_rad > 0 ? feet.left : feet.right;
}

// First place where the ray from p leaves the polygon, or p when it does not get inside.
Point ray_end(const geometry::Polygon& polygon, Point p, Point d) {
  for (double t : crossings(polygon, p, d)) {
    if (t > 0.02) return p + d * t;
  }
  return p;
}

// The place of the outline that the inside of a bend turns about: the foot at which the axis
// dwells longest, and for how long.
struct Pivot {
  Point at;
  double dwell_mm = 0;
};

// The nearest vertex within `reach_mm`, else p.
Point vertex_near(const geometry::Polygon& polygon, Point p, double reach_mm) {
  Point best = p;
  double best_mm = reach_mm;
  const auto ring_nearest = [&](const geometry::Ring& ring) {
    for (const Point& vertex : ring) {
      const double mm = geometry::distance(vertex, p);
      if (mm < best_mm) best_mm = mm, best = vertex;
    }
  };
  ring_nearest(polygon.outer);
  for (const auto& hole : polygon.holes) ring_nearest(hole);
  return best;
}

Pivot pivot_of(const AxisGraph& graph, const geometry::Polygon& polygon, const Track& track,
               const Bend& bend) {
  const double r = place(track, bend.at_mm).radius_mm;
  constexpr int kSamples = 31;
  const double step = 3 * r / (kSamples - 1);
  std::vector<Point> feet;
  for (int k = 0; k < kSamples; ++k) {
    feet.push_back(
        inner_foot(graph, polygon, track, bend.at_mm + (k - kSamples / 2) * step, bend.turn_rad));
  }
  Pivot best{feet[kSamples / 2], 0};
  for (const Point& foot : feet) {
    const auto same = std::count_if(feet.begin(), feet.end(), [&](Point other) {
      return geometry::distance(foot, other) < 0.06 * r;
    });
    if (static_cast<double>(same - 1) * step > best.dwell_mm)
      best = {foot, static_cast<double>(same - 1) * step};
  }
  best.at = vertex_near(polygon, best.at, 0.12 * r);
  return best;
}

// Whether the outline turns left by more than 35 degrees at a vertex within `reach_mm` of p.
bool has_corner(const geometry::Polygon& polygon, Point p, double reach_mm) {
  constexpr double kTurn = 35 * base::kPi / 180;
  const geometry::Ring& ring = polygon.outer;
  const std::size_t n = ring.size();
  for (std::size_t i = 0; i < n; ++i) {
    if (geometry::distance(ring[i], p) > reach_mm) continue;
    const Point in = ring[i] - ring[(i + n - 1) % n], out = ring[(i + 1) % n] - ring[i];
    if (std::atan2(geometry::cross(in, out), geometry::dot(in, out)) > kTurn) return true;
  }
  return false;
}

// Whether the inside is a corner, or rounded so little against an outside that is one.
bool is_sharp(const AxisGraph& graph, const geometry::Polygon& polygon, const Track& track,
              const Bend& bend, const Pivot& pivot) {
  constexpr double kRound = 1.35;     // widths from the inside across; of a square corner 1.41
  constexpr double kLongDwell = 1.4;  // radii: about a corner of 80 degrees, however round outside
  const TrackPlace here = place(track, bend.at_mm);
  const double r = here.radius_mm;
  const Point outside = ray_end(polygon, pivot.at, geometry::unit(here.at - pivot.at));
  const double across = geometry::distance(pivot.at, outside);
  const double width =
      place(track, bend.at_mm - 2 * r).radius_mm + place(track, bend.at_mm + 2 * r).radius_mm;
  const bool is_round = across < kRound * width && !has_corner(polygon, outside, 1.2 * r);
  if (is_round && pivot.dwell_mm < kLongDwell * r) return false;
  if (pivot.dwell_mm > 0.7 * r) return true;
  const Point before = inner_foot(graph, polygon, track, bend.at_mm - 0.8 * r, bend.turn_rad);
  const Point after = inner_foot(graph, polygon, track, bend.at_mm + 0.8 * r, bend.turn_rad);
  const double rounding = geometry::distance(before, after);
  if (rounding > 0.95 * r || (rounding > 0.5 * r && !has_corner(polygon, outside, r))) return false;
  const double mitre = 1 / std::cos(std::min(std::abs(bend.turn_rad), 2.4) / 2);
  return across > width * (1 + 0.6 * (mitre - 1));
}

// One leg of a corner as the one that runs through: along its own inner side to the outer edge.
struct Through {
  Point end;  // on the outer edge
  double chord_mm = 0;
  double merit = -1;  // 1: straight and square to the outer edge; no leg: -1
};

Point edge_at(const geometry::Polygon& polygon, Point p) {
  Point best{1, 0};
  double best_mm = INFINITY;
  const auto look = [&](const geometry::Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point a = ring[i], d = ring[(i + 1) % ring.size()] - a;
      const double dd = geometry::dot(d, d);
      const double t = dd > 0 ? std::clamp(geometry::dot(p - a, d) / dd, 0.0, 1.0) : 0;
      const double mm = geometry::distance(a + d * t, p);
      if (mm < best_mm) best_mm = mm, best = geometry::unit(d);
    }
  };
  look(polygon.outer);
  for (const auto& hole : polygon.holes) look(hole);
  return best;
}

// `side`: -1 the leg before the bend, 1 the one after.
Through through(const geometry::Polygon& polygon, const Track& track, const Bend& bend,
                const Pivot& pivot, double side) {
  const double r = place(track, bend.at_mm).radius_mm;
  const auto at = [&](double radii) { return place(track, bend.at_mm + side * radii * r).at; };
  const Point d = geometry::unit(at(1.2) - at(2.6));
  if (d == Point{}) return {};
  Through leg;
  leg.end = ray_end(polygon, pivot.at, d);
  leg.chord_mm = geometry::distance(pivot.at, leg.end);
  const double bent = std::min(1.0, angle_between(d, at(2.6) - at(5)));
  leg.merit = std::abs(geometry::cross(d, edge_at(polygon, leg.end))) - 0.5 * bent;
  return leg;
}

// The leg of more merit runs through, of two alike the one that comes first by precedence(): mostly
// the longer. `legs_mm`: how far the legs reach.
void cut_corner(const AxisGraph& graph, const geometry::Polygon& polygon, const Track& track,
                const Bend& bend, std::array<double, 2> legs_mm, double tuck_mm, Cuts& out) {
  constexpr double kAlike = 0.15, kLongerMm = 0.55;
  const Pivot pivot = pivot_of(graph, polygon, track, bend);
  if (!is_sharp(graph, polygon, track, bend, pivot)) return;
  const double r = place(track, bend.at_mm).radius_mm;
  const Through first = through(polygon, track, bend, pivot, -1);
  const Through second = through(polygon, track, bend, pivot, 1);
  const bool is_alike = std::abs(first.merit - second.merit) < kAlike;
  const Point middle = geometry::bounds(polygon).middle();
  // The place of the bend is known to a step of the search.
  const bool longer = std::abs(legs_mm[0] - legs_mm[1]) > kLongerMm;
  const auto rank = [&](int k) {
    const Point end = place(track, bend.at_mm + (k == 0 ? -1 : 1) * legs_mm[k]).at;
    return precedence(longer ? legs_mm[k] : 0, end - place(track, bend.at_mm).at, end, middle);
  };
  const bool first_runs = is_alike ? rank(0) <= rank(1) : first.merit > second.merit;
  const Through& leg = first_runs ? first : second;
  const double side = first_runs ? -1 : 1;
  if (leg.merit < -0.9 || leg.chord_mm < 0.2 * r || leg.chord_mm > 6 * r) return;
  const auto at = [&](double radii) { return place(track, bend.at_mm - side * radii * r).at; };
  out.cuts.push_back(
      {pivot.at, leg.end, at(1.3), false, tuck_mm, geometry::unit(at(2.6) - at(1.2))});
}

}  // namespace

void cut_corners(const AxisGraph& graph, const geometry::Polygon& polygon,
                 const std::vector<bool>& wide, double tuck_mm, Cuts& out) {
  for (const auto& branch : graph.branches) {
    const bool any_wide =
        std::any_of(branch.nodes.begin(), branch.nodes.end(), [&](int n) { return wide[n]; });
    if (any_wide || branch.nodes.size() < 2) continue;
    const Track track = track_of(graph, branch);
    if (track.length() < 0.5) continue;
    const auto found = bends(track);
    for (std::size_t k = 0; k < found.size(); ++k) {
      const double from = k > 0 ? found[k - 1].at_mm : 0;
      const double to = k + 1 < found.size() ? found[k + 1].at_mm : track.length();
      cut_corner(graph, polygon, track, found[k], {found[k].at_mm - from, to - found[k].at_mm},
                 tuck_mm, out);
    }
  }
}

}  // namespace buckram::digitise
