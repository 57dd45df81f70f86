// The forecast against brute force of the whole chain (tests/job/whole_chain.h) on the examples'
// plans: the ratio of the two, with brute force drawn towards breaks so that its error is small;
// how far the forecast is from its own closed forms on every place and 8,192 caps; and how much
// longer plain brute force takes for a standard error of 2 %.
// usage: whole_chain [CAPS, 6000]
#include "../../tests/job/practice_matrix.h"
#include "../../tests/job/whole_chain.h"

#include "needle/draws.h"
#include "needle/evaluate.h"
#include "needle/penetration.h"

#include <fmt/format.h>

#include <cstdlib>
#include <ctime>

namespace {

using namespace buckram;
using namespace buckram::practice;

double processor_s() {  // of all threads
  return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

void compare(const Shop& shop, const Logo& logo, bool is_sound, int caps) {
  const std::string svg =
      base::read_file(std::string(BUCKRAM_ROOT "/examples/") + logo.file, 1 << 20);
  const stitch::Plan plan = planned(shop, svg, {logo.size});
  const cap::Setup setup = chain_setup(shop, logo, is_sound);
  const double start = processor_s();
  const double told =
      needle::forecast(plan, setup, *shop.mechanics,
                       {.with_drivers = false, .with_interval = false, .with_words = false})
          .breaks_per_cap;
  const double forecast_s = processor_s() - start;
  const needle::Mechanics& m = *shop.mechanics;
  const needle::Places places = needle::places_of(plan, setup, m, needle::crowding(plan, m));
  const double closed = needle::evaluate(places, m, needle::draw_caps(m, 8192, 5)).breaks;
  const WholeChain chain(plan, setup, m);
  const Simulated brute = chain.run(caps, 7, true);
  const double error = brute.standard_error / brute.breaks_per_cap;
  const double before = processor_s();
  const Simulated plain = chain.run(caps / 4, 8);
  const double plain_s = processor_s() - before;
  // Poisson's own scatter, and what differs from cap to cap, both as measured.
  const double plain_error = plain.standard_error / brute.breaks_per_cap;
  const double for_two_percent_s = plain_s * plain_error * plain_error / (0.02 * 0.02);
  fmt::print(
      "{:9} {:9} forecast {:7.3f} all places {:7.3f} brute force {:7.3f} +- {:3.1f} %  ratio "
      "{:.3f} "
      "of all places {:.3f}  {:.3f} s against {:.0f} s: {:.0f} times\n",
      logo.name, is_sound ? "sound" : "careless", 100 * told, 100 * closed,
      100 * brute.breaks_per_cap, 100 * error, told / brute.breaks_per_cap,
      closed / brute.breaks_per_cap, forecast_s, for_two_percent_s, for_two_percent_s / forecast_s);
  std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
  const Shop shop(BUCKRAM_ROOT "/data");
  const int caps = argc > 1 ? std::atoi(argv[1]) : 6000;
  fmt::print("needle breaks per 100 caps; processor time for a standard error of 2 %\n");
  for (const bool is_sound : {false, true}) {
    for (const Logo& logo : kLogos) compare(shop, logo, is_sound, caps);
  }
  return 0;
}
