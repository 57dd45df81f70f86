// The crown's profile and the chart's maps to space and to the machine.
//
// The crown chart is the finished surface in true millimetres: x = arc along the parallel at that
// height from the centre line, to the right as one looks at the front; y = arc up the profile
// from the bill seam. A rotary driver turns the cap by X / R_f for a machine step X and moves it
// along its axis by Y, so machine X = x R_f / r(y), Y = z(y), with R_f = r0. Flat mounts sew the
// chart as it is.
#pragma once

#include "cap/setup.h"

#include <vector>

namespace buckram::cap {

// Look-ups by a table with steps of at most 0.25 mm and its slopes (cubic between two rows; the
// lean linear); error under 1e-4 mm. Building it takes as long as some thousand look-ups.
class Profile {
 public:
  explicit Profile(const CrownShape& shape);
  double lean(double y) const;         // psi, radians
  double radius(double y) const;       // r, mm
  double height(double y) const;       // z, mm
  double to_button() const;            // arc from bill seam to the button, mm
  double y_at_height(double z) const;  // inverse of height, on [0, s90]

 private:
  struct Row {
    double lean, radius, height;
    double inwards, up;  // of the way along the profile: sin and cos of the lean
  };
  // The row at or below `y` and how far on, in steps; the ends are held.
  struct Place {
    const Row* row;
    double on;
  };
  Place place(double y) const;

  CrownShape shape_;
  double step_mm_;
  std::vector<Row> rows_;
};

struct SpacePoint {
  double x, y, z;  // x right, y away from the viewer (front is negative), z up
};

class Chart {
 public:
  explicit Chart(const Setup& setup);
  geometry::Point to_machine(geometry::Point chart) const;  // before any half turn
  geometry::Point from_machine(geometry::Point machine) const;
  SpacePoint to_space(geometry::Point chart) const;  // on the crown, angle x / r(y)
  const Profile& profile() const;

 private:
  Profile profile_;
  MountKind kind_;
  double frame_radius_mm_;
};

// Where the needle may go, on the chart: the frame's field less eyelets, button, and the strip
// beside the bill seam (that only where the bill is on). Outline sampled to 0.25 mm.
geometry::Polygons reach(const Setup& setup);

// Name of the first obstacle that the shape meets beyond `reach`, in words ("the eyelet at
// (38, 105)", "the strip beside the bill seam", "beyond the frame's field"), or empty.
std::string obstacle(const Setup& setup, const geometry::Polygons& shape);

}  // namespace buckram::cap
