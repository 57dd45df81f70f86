// The shipped data as tests and benches use it.
#pragma once

#include "needle/hazard.h"
#include "needle/mechanics.h"

#include "base/base.h"

#include <memory>
#include <string>
#include <utility>

namespace buckram::needle::testing {

// The data folder, and set-ups made from it.
struct Shop {
  std::string folder;
  std::shared_ptr<const Mechanics> mechanics;

  explicit Shop(std::string data) : folder(std::move(data)) {
    mechanics = read_mechanics(file("mechanics.toml"), "mechanics.toml");
  }
  std::string file(const std::string& name) const {
    return base::read_file(folder + "/" + name, 1 << 20);
  }
  cap::Needle needle(const std::string& name) const {
    return cap::find_needle(cap::read_needles(file("needles.toml"), "needles.toml"), name);
  }
  // Needle 80:sharp, one layer of tear-away, 650 a minute; the rest is the mount's own.
  cap::Setup setup(const std::string& cap_name, const std::string& mount_name) const {
    cap::Setup setup;
    setup.cap = cap::read_cap(file("caps/" + cap_name + ".toml"), cap_name);
    setup.mount = cap::read_mount(file("mounts/" + mount_name + ".toml"), mount_name);
    const auto fabrics = cap::read_fabrics(file("fabrics.toml"), "fabrics.toml");
    setup.bench = cap::bench_of(setup.mount, needle("80:sharp"),
                                {cap::find_fabric(fabrics, "tear-away").layer});
    return setup;
  }
};

}  // namespace buckram::needle::testing
