// The whole table of the trade's facts on the examples' plans: levels, then every pair with its
// range and whether it is kept. usage: practice_table [DATA FOLDER], so that changed constants can
// be tried.
#include "../../tests/job/practice_matrix.h"

#include <fmt/format.h>

namespace {

using namespace buckram;
using namespace buckram::practice;

void print_levels(const Shop& shop, const Case& c) {
  const auto level = [&](const char* mount, const auto& change) {
    cap::Setup setup = shop.setup(c.cap, mount);
    change(setup);
    return 100 * forecast_of(c.plans.plan, setup, *shop.mechanics).breaks_per_cap;
  };
  const auto as_is = [](cap::Setup&) {};
  const auto sound = [](cap::Setup& s) { s.bench.is_pressed = s.bench.has_clips = true; };
  const auto careless = [&](cap::Setup& s) {
    s.bench.tautness = 0.3, s.bench.needle = shop.needle("80:ball");
  };
  fmt::print("{:9} {:26} {:5} {:7.3f} {:7.3f} {:7.3f} {:8.2f} {:7.3f} {:8.4f} {:9.5f}\n", c.logo,
             c.cap, downs(c.plans.plan), level("rotary", as_is), level("rotary-raised", as_is),
             level("rotary-raised", sound), level("rotary", careless),
             level("flat-cap-hoop", as_is), level("loose-panels", as_is),
             level("flat-hoop", as_is));
}

void print_pairs(const Shop& shop, const std::vector<Case>& cases, const char* plate) {
  Pairs pairs(shop, plate);
  for (const Case& each : cases) pairs.add(each);
  for (const Row& row : pairs.rows()) {
    const bool is_told = row.low == 0;
    fmt::print("{:4} {:42} {:14} {:>5}..{:<5} {:5}", row.fact, row.pair, row.plate,
               is_told ? "" : fmt::format("{:g}", row.low),
               row.high >= kNoLimit ? "" : fmt::format("{:g}", row.high),
               is_told       ? "told"
               : row.holds() ? "holds"
                             : "OUT");
    for (const double factor : row.factors) fmt::print(" {:.3g}", factor);
    fmt::print("\n");
  }
}

}  // namespace

int main(int argc, char** argv) {
  const Shop shop(argc > 1 ? argv[1] : BUCKRAM_ROOT "/data");
  std::vector<Plans> plans;
  for (const Logo& logo : kLogos) plans.push_back(plans_of(shop, logo, BUCKRAM_ROOT "/examples"));
  std::vector<Case> cases;
  for (std::size_t k = 0; k < plans.size(); ++k) {
    for (const char* crown : kCrowns) cases.push_back({kLogos[k].name, crown, plans[k]});
  }
  fmt::print(
      "breaks per 100 caps: plain, raised, raised with press and clips, plain slack ball, "
      "flat cap hoop, loose panels, flat hoop\n");
  for (const Case& each : cases) print_levels(shop, each);
  fmt::print("factors: crest, badge, wordmark, each on the low, middling and high crown\n");
  for (const char* plate : {"rotary", "rotary-raised"}) print_pairs(shop, cases, plate);
  return 0;
}
