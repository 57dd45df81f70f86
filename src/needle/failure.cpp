#include "needle/failure.h"

#include "needle/failure_of.h"

namespace buckram::needle {
namespace plate {

const HalfTurn& half_turn(std::size_t count) {
  static const std::array<HalfTurn, std::size(kCounts)> all = [] {
    std::array<HalfTurn, std::size(kCounts)> made{};
    for (std::size_t k = 0; k < made.size(); ++k) {
      for (int j = 0; j < kCounts[k] / 2; ++j) {
        const double a = 2 * base::kPi * (j + 0.5) / kCounts[k];
        made[k][static_cast<std::size_t>(j)] = {std::cos(a), std::sin(a)};
      }
    }
    return made;
  }();
  return all[count];
}

}  // namespace plate

template double outside_disc(const Normal2<double>&, double, const Care&);
template base::Four outside_disc(const Normal2<base::Four>&, double, const Care&);
template double outside_disc_exponent(const Normal2<double>&, double);
template base::Four outside_disc_exponent(const Normal2<base::Four>&, double);
template Failure failure_at(const Push&, const Blade&, const Mechanics&, const CapDraw&,
                            const Care&);
template FailureOf<base::Four> failure_at(const PushOf<base::Four>&, const Blade&, const Mechanics&,
                                          const CapDrawOf<base::Four>&, const Care&);

}  // namespace buckram::needle
