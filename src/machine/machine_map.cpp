#include "machine/machine_map.h"

namespace buckram::machine {

MachineMap::MachineMap(const cap::Setup& setup)
    : chart_(setup),
      origin_machine_(chart_.to_machine(setup.mount.origin)),
      turned_(setup.bench.turn_deg == 180 && setup.bench.turned_by == cap::TurnedBy::file) {}

geometry::Point MachineMap::to_machine(geometry::Point chart) const {
  const geometry::Point p = chart_.to_machine(chart) - origin_machine_;
  return turned_ ? p * -1 : p;
}

geometry::Point MachineMap::to_chart(geometry::Point machine) const {
  const geometry::Point p = turned_ ? machine * -1 : machine;
  return chart_.from_machine(p + origin_machine_);
}

}  // namespace buckram::machine
