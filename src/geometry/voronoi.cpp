#include "geometry/voronoi.h"

#include <boost/polygon/voronoi_builder.hpp>

#include <cstdint>
#include <utility>

namespace buckram::geometry {

namespace {

namespace bp = boost::polygon;
using SiteEvent = bp::detail::site_event<bp::detail::int32>;

VoronoiSite site_of(const SiteEvent& event) {
  const int segment = static_cast<int>(event.initial_index());
  switch (event.source_category()) {
    case bp::SOURCE_CATEGORY_SEGMENT_START_POINT:
      return {segment, VoronoiSite::Part::from};
    case bp::SOURCE_CATEGORY_SEGMENT_END_POINT:
      return {segment, VoronoiSite::Part::to};
    default:
      return {segment, VoronoiSite::Part::whole};
  }
}

bool is_end_of(const SiteEvent& point, const SiteEvent& segment) {
  return segment.point0() == point.point0() || segment.point1() == point.point0();
}

bool is_primary(const SiteEvent& a, const SiteEvent& b) {
  if (a.is_segment() == b.is_segment()) return true;
  return a.is_segment() ? !is_end_of(b, a) : !is_end_of(a, b);
}

// What the sweep writes into, in place of Boost's diagram. The sweep knows edges by opaque
// pointers to one of their halves; here such a pointer carries 2 * edge + half + 1, and the null
// pointers that a confused sweep may pass are left alone.
class EdgeList {
 public:
  explicit EdgeList(VoronoiDiagram& out) : out_(out) {}

  void _reserve(std::size_t n_sites) {
    out_.vertices.reserve(2 * n_sites);
    out_.edges.reserve(3 * n_sites);
  }
  void _process_single_site(const SiteEvent&) {}
  void _build() {}

  std::pair<void*, void*> _insert_new_edge(const SiteEvent& a, const SiteEvent& b) {
    out_.edges.push_back({{site_of(a), site_of(b)}, {-1, -1}, is_primary(a, b)});
    const std::uintptr_t first = 2 * out_.edges.size() - 1;
    return {reinterpret_cast<void*>(first), reinterpret_cast<void*>(first + 1)};
  }

  template <typename CircleEvent>
  std::pair<void*, void*> _insert_new_edge(const SiteEvent& a, const SiteEvent& c,
                                           const CircleEvent& circle, void* ab, void* bc) {
    const int vertex = static_cast<int>(out_.vertices.size());
    out_.vertices.push_back({circle.x(), circle.y()});
    start_at(ab, vertex);
    start_at(bc, vertex);
    const auto halves = _insert_new_edge(a, c);
    start_at(halves.second, vertex);
    return halves;
  }

 private:
  void start_at(void* half, int vertex) {
    const auto handle = reinterpret_cast<std::uintptr_t>(half);
    if (handle != 0) out_.edges[(handle - 1) / 2].vertices[(handle - 1) % 2] = vertex;
  }

  VoronoiDiagram& out_;
};

}  // namespace

VoronoiDiagram voronoi(const GridOutline& outline) {
  VoronoiDiagram out;
  if (outline.segments.empty()) return out;
  bp::default_voronoi_builder builder;
  for (const GridSegment& s : outline.segments) {
    const GridPoint a = outline.vertices[static_cast<std::size_t>(s.from)];
    const GridPoint b = outline.vertices[static_cast<std::size_t>(s.to)];
    builder.insert_segment(static_cast<std::int32_t>(a.x), static_cast<std::int32_t>(a.y),
                           static_cast<std::int32_t>(b.x), static_cast<std::int32_t>(b.y));
  }
  EdgeList list(out);
  builder.construct(&list);
  return out;
}

}  // namespace buckram::geometry
