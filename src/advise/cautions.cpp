#include "advise/verdict.h"

namespace buckram::advise {

// They hold always, whatever the forecast.
std::vector<std::string> standing_cautions() {
  return {
      "Wear eye protection and keep the machine's guard in place: broken needles fly.",
      "Power off before hands go near the needle, the plate or the hook.",
      "After a break find every piece of the needle before going on. Find every piece, or keep the "
      "cap back.",
      "Keep hair, sleeves and fingers clear of the moving frame.",
      "Never open or bypass a guard to watch a risky stitch.",
      "Plate or foot changed? Power off, and turn the machine through one full stitch by hand "
      "first.",
      "Hot irons and presses burn.",
      "Sew one cap first.",
      "The machine's own manual and the rules of the workplace come first.",
      "Forecasts are estimates, never a guarantee. No breaks are logged yet, so the level is an "
      "estimate; trust the comparisons first.",
  };
}

}  // namespace buckram::advise
