#include "options.h"
#include "verbs.h"

#include "machine/machine.h"

#include <fmt/format.h>

#include <filesystem>

namespace buckram::app {
namespace {

constexpr std::uint64_t kMaxBytes = 4'000'000;

std::string shipped(const job::DataFolder& data, const std::string& name) {
  return base::read_file((std::filesystem::path(data.path) / name).string(), kMaxBytes);
}

void list_caps(const job::DataFolder& data) {
  for (const std::string& name : job::shipped_names(data, "caps")) {
    const cap::Cap cap = cap::read_cap(shipped(data, "caps/" + name + ".toml"), name);
    fmt::print("{:<28} {}\n", name, cap.title);
  }
}

void list_mounts(const job::DataFolder& data) {
  for (const std::string& name : job::shipped_names(data, "mounts")) {
    const cap::Mount mount = cap::read_mount(shipped(data, "mounts/" + name + ".toml"), name);
    fmt::print("{:<18} {:<44} field {:g} to {:g}, {:g} to {:g} mm\n", name, mount.title,
               mount.field.x0, mount.field.x1, mount.field.y0, mount.field.y1);
  }
}

void list_fabrics(const job::DataFolder& data) {
  for (const cap::Fabric& f : cap::read_fabrics(shipped(data, "fabrics.toml"), "fabrics.toml")) {
    fmt::print("{:<18} {:<44} {:g} mm{}\n", f.name, f.title, f.layer.thickness_mm,
               f.is_backing ? ", backing" : "");
  }
}

void list_needles(const job::DataFolder& data) {
  for (const cap::Needle& n : cap::read_needles(shipped(data, "needles.toml"), "needles.toml")) {
    fmt::print("{:<10} {:.2f} mm, {} point\n", n.name, n.d_mm,
               n.point == cap::NeedlePoint::sharp ? "sharp" : "ball");
  }
}

void list_threads(const job::DataFolder& data) {
  const std::string name = "threads/harbour.csv";
  for (const artwork::Thread& t : artwork::read_threads(shipped(data, name), name)) {
    fmt::print("{:<6} {:<20} {}  {:g} tex\n", t.number, t.name, artwork::hex(t.colour), t.tex);
  }
}

void list_layouts(const job::DataFolder& data) {
  for (const std::string& name : job::shipped_names(data, "layouts")) {
    const machine::Layout l =
        machine::read_layout(shipped(data, "layouts/" + name + ".toml"), name);
    fmt::print("{:<16} {:<52} .{:<8} {:g} mm a unit\n", name, l.title, l.extension, l.unit_mm);
  }
}

// Without a word: the words it takes.
int list_kinds() {
  fmt::print(
      "buckram list caps      caps that are shipped\n"
      "buckram list mounts    what holds the cap at the machine\n"
      "buckram list fabrics   cloths, buckrams and backings\n"
      "buckram list needles   sizes and points\n"
      "buckram list threads   the thread list\n"
      "buckram list layouts   machine files, invented to show how a shop describes its own\n");
  return 0;
}

int list(const std::string& what) {
  if (what.empty()) return list_kinds();
  const job::DataFolder data = find_data();
  if (what == "caps") list_caps(data);
  if (what == "mounts") list_mounts(data);
  if (what == "fabrics") list_fabrics(data);
  if (what == "needles") list_needles(data);
  if (what == "threads") list_threads(data);
  if (what == "layouts") list_layouts(data);
  return 0;
}

}  // namespace

void add_list(CLI::App& app, Run& run) {
  auto what = std::make_shared<std::string>();
  CLI::App* verb = app.add_subcommand("list", "what is shipped");
  verb->footer("Example: buckram list caps");
  verb->add_option("WHAT", *what, "caps, mounts, fabrics, needles, threads or layouts")
      ->check(CLI::IsMember({"caps", "mounts", "fabrics", "needles", "threads", "layouts"}));
  verb->callback([what, &run] { run = [what] { return list(*what); }; });
}

}  // namespace buckram::app
