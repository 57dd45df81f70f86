// Contact sheets: the drawn thread of all glyphs of one face at one height.
#pragma once

#include "job/job.h"

#include <string>
#include <vector>

namespace letters {

struct Drawn {
  char sign = 0;
  const buckram::job::Planned* planned = nullptr;
  double x_mm = 0, y_mm = 0;  // lower left corner of the outline from the pen on the base line
};

// A PNG with the glyphs in rows on their base lines: thread 0.4 mm wide in sewing order over the
// artwork in pale, moves without thread as hair lines. `height_mm` is that of capitals;
// `across` glyphs to a row of 2000 pixels.
void draw_sheet(const std::vector<Drawn>& glyphs, double height_mm, int across,
                const std::string& path);

}  // namespace letters
