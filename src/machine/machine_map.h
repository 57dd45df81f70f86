// Which way up, and where the needle starts.
#pragma once

#include "cap/cap.h"
#include "geometry/geometry.h"

namespace buckram::machine {

// Chart to machine and back, with the half turn where the file carries it (turned_by file and
// turn_deg 180), counted from the origin, where the needle stands at the start and end. When the
// controller turns the cap the file is not turned, so that the two never add up.
// Laws: to_chart(to_machine(p)) = p within 0.001 mm inside the frame's field; the origin goes to
// (0, 0); the map with the file's half turn is minus the map without it.
class MachineMap {
 public:
  explicit MachineMap(const cap::Setup& setup);
  geometry::Point to_machine(geometry::Point chart) const;
  geometry::Point to_chart(geometry::Point machine) const;
  bool is_turned() const { return turned_; }

 private:
  cap::Chart chart_;
  geometry::Point origin_machine_;
  bool turned_;
};

}  // namespace buckram::machine
