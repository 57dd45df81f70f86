// A second opinion on polygons: GEOS (LGPL, linked into tests only), through its C API. It shares
// no code and no grid with geometry/.
#pragma once

#include "geometry/geometry.h"

#include <geos_c.h>

#include <memory>
#include <utility>
#include <vector>

namespace buckram::test {

class Geos {
 public:
  using Shape = std::shared_ptr<GEOSGeometry>;

  Geos() : context_(GEOS_init_r()) {}
  ~Geos() { GEOS_finish_r(context_); }
  Geos(const Geos&) = delete;
  Geos& operator=(const Geos&) = delete;

  Shape shape(const geometry::Polygons& polygons) const {
    std::vector<GEOSGeometry*> parts;
    for (const geometry::Polygon& polygon : polygons) {
      std::vector<GEOSGeometry*> holes;
      for (const geometry::Ring& hole : polygon.holes) holes.push_back(ring(hole));
      parts.push_back(GEOSGeom_createPolygon_r(context_, ring(polygon.outer), holes.data(),
                                               static_cast<unsigned>(holes.size())));
    }
    return own(GEOSGeom_createCollection_r(context_, GEOS_MULTIPOLYGON, parts.data(),
                                           static_cast<unsigned>(parts.size())));
  }
  Shape line(const geometry::Polyline& points) const {
    return own(GEOSGeom_createLineString_r(context_, sequence(points, false)));
  }

  Shape unite(const Shape& a, const Shape& b) const {
    return own(GEOSUnion_r(context_, a.get(), b.get()));
  }
  Shape intersect(const Shape& a, const Shape& b) const {
    return own(GEOSIntersection_r(context_, a.get(), b.get()));
  }
  Shape subtract(const Shape& a, const Shape& b) const {
    return own(GEOSDifference_r(context_, a.get(), b.get()));
  }
  Shape symmetric_difference(const Shape& a, const Shape& b) const {
    return own(GEOSSymDifference_r(context_, a.get(), b.get()));
  }
  // What a ring that crosses itself encloses an odd number of times: its lines noded, faces
  // built, and kept by the crossing parity of an inner point.
  Shape even_odd(const geometry::Ring& r) const {
    const Shape lines = own(GEOSUnaryUnion_r(context_, own(ring(r)).get()));
    const GEOSGeometry* one[] = {lines.get()};
    const Shape faces = own(GEOSPolygonize_r(context_, one, 1));
    std::vector<GEOSGeometry*> kept;
    for (int i = 0; i < GEOSGetNumGeometries_r(context_, faces.get()); ++i) {
      const GEOSGeometry* face = GEOSGetGeometryN_r(context_, faces.get(), i);
      const Shape inner = own(GEOSPointOnSurface_r(context_, face));
      geometry::Point p;
      GEOSGeomGetX_r(context_, inner.get(), &p.x);
      GEOSGeomGetY_r(context_, inner.get(), &p.y);
      if (is_odd(r, p)) kept.push_back(GEOSGeom_clone_r(context_, face));
    }
    const Shape all = own(GEOSGeom_createCollection_r(context_, GEOS_MULTIPOLYGON, kept.data(),
                                                      static_cast<unsigned>(kept.size())));
    return own(GEOSUnaryUnion_r(context_, all.get()));
  }

  // style: GEOSBUF_JOIN_..., GEOSBUF_CAP_...
  Shape buffer(const Shape& a, double distance, int join = GEOSBUF_JOIN_ROUND,
               int cap = GEOSBUF_CAP_ROUND, double miter_limit = 4) const {
    constexpr int kQuarterCircle = 64;
    return own(
        GEOSBufferWithStyle_r(context_, a.get(), distance, kQuarterCircle, cap, join, miter_limit));
  }

  double area(const Shape& a) const {
    double value = 0;
    GEOSArea_r(context_, a.get(), &value);
    return value;
  }
  double length(const Shape& a) const {
    double value = 0;
    GEOSLength_r(context_, a.get(), &value);
    return value;
  }
  bool is_valid(const Shape& a) const { return GEOSisValid_r(context_, a.get()) == 1; }
  // Area in which two shapes differ, mm^2.
  double difference(const Shape& a, const Shape& b) const {
    return area(symmetric_difference(a, b));
  }
  double hausdorff(const Shape& a, const Shape& b) const {
    double value = 0;
    GEOSHausdorffDistanceDensify_r(context_, a.get(), b.get(), 0.02, &value);
    return value;
  }

 private:
  Shape own(GEOSGeometry* geometry) const {
    if (geometry == nullptr) return shape({});  // an oracle that gives up counts as empty
    return {geometry, [context = context_](GEOSGeometry* g) { GEOSGeom_destroy_r(context, g); }};
  }
  GEOSCoordSequence* sequence(const std::vector<geometry::Point>& points, bool close) const {
    const std::size_t n = points.size() + (close ? 1 : 0);
    GEOSCoordSequence* s = GEOSCoordSeq_create_r(context_, static_cast<unsigned>(n), 2);
    for (std::size_t i = 0; i < n; ++i) {
      const geometry::Point p = points[i % points.size()];
      GEOSCoordSeq_setXY_r(context_, s, static_cast<unsigned>(i), p.x, p.y);
    }
    return s;
  }
  GEOSGeometry* ring(const geometry::Ring& r) const {
    return GEOSGeom_createLinearRing_r(context_, sequence(r, true));
  }
  // Crossing number, written down again from its definition.
  static bool is_odd(const geometry::Ring& r, geometry::Point p) {
    bool odd = false;
    for (std::size_t i = 0; i < r.size(); ++i) {
      const geometry::Point a = r[i], b = r[(i + 1) % r.size()];
      if ((a.y > p.y) == (b.y > p.y)) continue;
      odd ^= p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x);
    }
    return odd;
  }

  GEOSContextHandle_t context_;
};

}  // namespace buckram::test
