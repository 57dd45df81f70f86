// Door of geometry/: points, polygons, curves, the medial axis, rows, grids.
#pragma once

#include "geometry/curve.h"
#include "geometry/hatch.h"
#include "geometry/medial_axis.h"
#include "geometry/point.h"
#include "geometry/point_grid.h"
#include "geometry/polygon.h"
#include "geometry/raster.h"
