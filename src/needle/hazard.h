// Door of needle/: will the needle break, where, and why.
//
// Two levels (docs/forecast.md): what differs from cap to cap is drawn once per cap (scrambled
// Sobol points shared by all penetrations); within a cap each penetration's chance is in closed
// form. Plain Monte Carlo over everything is the check in tests, a thousand times slower. The
// absolute level is an estimate: no public data says how often needles break.
#pragma once

#include "base/base.h"
#include "cap/cap.h"
#include "stitch/stitch.h"

#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::needle {

// Every symbol of the mechanics with its value, unit and source: data/mechanics.toml.
struct Mechanics;

enum class Mode { plate, hook, bend, buckle };
const char* name(Mode mode);

struct Drivers {  // drops in expected breaks when one cause is set to nothing, normalised to sum 1
  double gap = 0, slope = 0, seam = 0, crowding = 0, motion = 0, hardness = 0, buckling = 0;
};

struct WorstPlace {
  int entry = 0;
  geometry::Point at;
  double p = 0;  // chance a cap that the needle breaks at this penetration
  Mode mode = Mode::plate;
  std::string why;    // one sentence a sewer understands, with numbers
  std::string helps;  // what would help there
};

// What a forecast leaves for the next one of a changed plan.
class Remembered;

struct Forecast {
  std::vector<double> hazard;              // per entry; 0 where the needle does not go down
  double breaks_per_cap = 0;               // expected: sum of hazard
  double low = 0, high = 0;                // 90 % interval of breaks_per_cap
  double clean_cap = 1;                    // chance of a cap without a break
  double gap_mean_mm = 0, gap_max_mm = 0;  // under the penetrations
  std::array<double, 4> by_mode{};         // breaks per cap by Mode
  Drivers drivers;
  std::vector<WorstPlace> worst;                 // at most 20, by p, places at least 5 mm apart
  std::shared_ptr<const Remembered> remembered;  // with `remember` only
};

struct ForecastOptions {
  int draws = 768;  // caps
  std::uint64_t seed = 1;
  bool with_drivers = true, with_interval = true, with_words = true;
  std::vector<std::string> locked = {};  // changes that words do not offer, by id or key
  // Keeps what a later forecast of a changed plan can use: some 300 bytes a stitch, freed with the
  // last copy of the forecast. It never changes, so that several threads may look things up in it.
  bool remember = false;
  // A forecast that was asked to remember: stitches that it has seen, with the same thread around
  // them on the same set-up, are looked up, the others computed. The result is the same to the last
  // bit with it and without, whatever it is of: after a change of the bench, or of another job,
  // nothing is found and all is computed. It has to live until forecast() returns. Who follows one
  // job through its changes keeps the latest, asked to remember too: it stands alone, and needs
  // none of those before it.
  const Forecast* former = nullptr;
};

// The mechanics' constants. Throws Error{bad_data}.
std::shared_ptr<const Mechanics> read_mechanics(std::string_view toml, const std::string& where);

Forecast forecast(const stitch::Plan& plan, const cap::Setup& setup, const Mechanics& mechanics,
                  const ForecastOptions& options = {}, const base::Watch& watch = {});

// Forecasts of many set-ups for one plan, to rank changes: breaks per cap on some 300 places that
// stand for the plan, with the same caps drawn for every set-up. A few ms a set-up, whatever the
// plan's size. Level within about 15 % of forecast(); ratios between set-ups within about 10 %:
// put them on the scale of one full forecast, and forecast the best in full. Keeps references to
// plan and mechanics, which must outlive it. Readings count as taken on the standing bench.
class Screen {
 public:
  Screen(const stitch::Plan& plan, const cap::Setup& standing, const Mechanics& mechanics,
         std::uint64_t seed = 1);
  double breaks_per_cap(const cap::Setup& setup) const;

 private:
  struct State;
  std::shared_ptr<const State> state_;
};

}  // namespace buckram::needle
