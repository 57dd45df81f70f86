#include "hostile.h"

#include "job/job.h"

#include <fmt/format.h>
#include <sys/resource.h>

#include <chrono>
#include <cmath>

namespace buckram::bench {
namespace {

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

std::string svg(double side, const std::string& inside) {
  return fmt::format("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {0} {0}'>{1}</svg>",
                     side, inside);
}

void run(const std::string& name, const std::string& bytes, double height_mm) {
  const job::Resolved job = job::resolve(
      job::read_job("", "bench", "", {"artwork.file='a.svg'", "bench.mount=loose-panels"}),
      {BUCKRAM_ROOT "/data"});
  const artwork::Drawing drawing = artwork::read_svg(bytes, name);
  const auto matrix = artwork::placement_matrix(
      drawing, {{0, 16 + height_mm / 2}, height_mm / drawing.painted.height()});
  auto start = std::chrono::steady_clock::now();
  const artwork::Regions regions = artwork::visible_regions(drawing, matrix, job.threads);
  const double regions_s = seconds_since(start);
  start = std::chrono::steady_clock::now();
  const digitise::Digitised digitised = digitise::make_objects(regions, job.recipe);
  const double objects_s = seconds_since(start);
  start = std::chrono::steady_clock::now();
  const sequence::Order order = sequence::order_objects(digitised.objects, {});
  const double order_s = seconds_since(start);
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  fmt::print(
      "  {:28} {:6} objects: regions {:.2f} s, objects {:.2f}, order {:.2f}; {} trims, "
      "visible {:.0f} mm; peak {} MB so far\n",
      name, digitised.objects.size(), regions_s, objects_s, order_s, order.trims, order.visible_mm,
      usage.ru_maxrss / 1024);
}

}  // namespace

std::string squares(int n) {
  const int across = static_cast<int>(std::ceil(std::sqrt(n)));
  std::string inside;
  for (int k = 0; k < n; ++k) {
    inside +=
        fmt::format("<rect x='{}' y='{}' width='2' height='2'/>", k % across * 3, k / across * 3);
  }
  return svg(3 * across, inside);
}

std::string lattice(int n) {
  std::string path;
  for (int k = 0; k < n; ++k) path += fmt::format("M0 {0}h{1}M{0} 0v{1}", 4 * k + 1, 4 * n);
  return svg(4 * n, "<path fill='none' stroke='#000' stroke-width='0.8' d='" + path + "'/>");
}

void hostile() {
  fmt::print("hostile artwork\n");
  run("2,000 squares, 45 mm", squares(2000), 45);
  run("2,000 squares, 100 mm", squares(2000), 100);
  run("10,000 squares, 100 mm", squares(10000), 100);
  run("lattice of 24 x 24, 45 mm", lattice(24), 45);
  run("lattice of 24 x 24, 100 mm", lattice(24), 100);
}

}  // namespace buckram::bench
