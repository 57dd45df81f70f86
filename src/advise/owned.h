// What the shop has to work with: shop.toml. Advice asks for nothing else.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::advise {

// Empty: the shop has not said, and whatever is shipped or usual may be advised.
struct Owned {
  std::optional<std::vector<std::string>> needles;      // "80:sharp", as needles.toml names them
  std::optional<std::vector<double>> raised_plates_mm;  // plates that may be fitted, 0 to 20
  std::optional<std::vector<double>> packing_mm;        // pieces to lay under the plate, 0 to 20
  std::optional<std::vector<std::string>> mounts;       // names or files
  bool has_clips = true, has_press = true;
  std::optional<double> slowest_spm;     // no speed below is advised; 100 to 1,500
  std::optional<double> lowest_foot_mm;  // the foot is not to be set lower; 0.5 to 10
  friend bool operator==(const Owned&, const Owned&) = default;
};

// The table [owns] of a shop.toml (docs/advice.md). Throws Error{bad_data} naming key, value and
// range; unknown keys with the nearest known one.
Owned read_owned(std::string_view toml, const std::string& where);

}  // namespace buckram::advise
