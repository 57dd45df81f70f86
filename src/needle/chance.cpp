#include "needle/chance.h"

#include "needle/failure_of.h"
#include "needle/push_of.h"

#include <algorithm>
#include <bit>
#include <cstring>

namespace buckram::needle {
namespace {

using Lanes = std::array<double, 4>;

template <class R>
PlaceChance chance_in(const Place& place, const Blade& blade, const Mechanics& m,
                      const std::vector<FourCaps>& caps, const Care& care,
                      std::vector<double>& by_cap) {
  using T = base::FourIn<R>;
  std::array<T, 4> modes;
  T sum;
  for (std::size_t c = 0; c < caps.size(); ++c) {
    const auto draw = std::bit_cast<CapDrawOf<T>>(caps[c].draw);
    const auto weight = std::bit_cast<T>(caps[c].weight);
    const PushOf<T> push = push_at(place, blade, m, draw);
    const FailureOf<T> failure = failure_at(push, blade, m, draw, care);
    sum += weight * failure.any;
    std::memcpy(&by_cap[4 * c], &failure.any, sizeof(Lanes));
    for (std::size_t k = 0; k < 4; ++k) modes[k] += weight * failure.by_mode[k];
  }
  PlaceChance chance;
  chance.hazard = base::sum_of(sum);
  for (std::size_t k = 0; k < 4; ++k) chance.by_mode[k] = base::sum_of(modes[k]);
  return chance;
}

// Only where all of it is inlined into one function compiled for AVX2: arguments of this size are
// handed over differently without it.
#if defined(__GNUC__) && !defined(__clang__) && defined(__OPTIMIZE__)

struct OneOfFour {
  using Value = double __attribute__((vector_size(32)));
  using Mask = long long __attribute__((vector_size(32)));
  using Half = double __attribute__((vector_size(16)));

  static Value all(double x) { return Value{x, x, x, x}; }
  static Value add(Value a, Value b) { return a + b; }
  static Value subtract(Value a, Value b) { return a - b; }
  static Value multiply(Value a, Value b) { return a * b; }
  static Value divide(Value a, Value b) { return a / b; }
  static Mask less(Value a, Value b) { return a < b; }
  static bool any(Mask m) {
    const auto halves = std::bit_cast<std::array<Half, 2>>(m);
    return _mm_movemask_pd(_mm_or_pd(halves[0], halves[1])) != 0;
  }
  static Value select(Mask m, Value a, Value b) { return m ? a : b; }
  static Value larger(Value a, Value b) { return a > b ? a : b; }
  static Value smaller(Value a, Value b) { return a < b ? a : b; }
  static Value root(Value a) {
    return Value{std::sqrt(a[0]), std::sqrt(a[1]), std::sqrt(a[2]), std::sqrt(a[3])};
  }
  static Value exp(Value a) { return base::vector_exp<Mask>(a); }
};

[[gnu::target("avx2"), gnu::flatten]] PlaceChance wide_chance_at(
    const Place& place, const Blade& blade, const Mechanics& m, const std::vector<FourCaps>& caps,
    const Care& care, std::vector<double>& by_cap) {
  return chance_in<OneOfFour>(place, blade, m, caps, care, by_cap);
}

bool has_wide() {
  static const bool has = __builtin_cpu_supports("avx2") != 0;
  return has;
}

#else

constexpr auto wide_chance_at = plain_chance_at;

constexpr bool has_wide() {
  return false;
}

#endif

}  // namespace

std::vector<FourCaps> by_fours(const std::vector<WeightedCap>& caps) {
  std::vector<FourCaps> fours((caps.size() + 3) / 4);
  const auto lanes = [&](std::size_t k, auto number) {
    Lanes four{};
    for (std::size_t lane = 0; lane < 4; ++lane) {
      four[lane] = number(caps[std::min(4 * k + lane, caps.size() - 1)].cap);
    }
    return std::bit_cast<base::Four>(four);
  };
  for (std::size_t k = 0; k < fours.size(); ++k) {
    CapDrawOf<base::Four>& draw = fours[k].draw;
    draw.hardness = lanes(k, [](const CapDraw& cap) { return cap.hardness; });
    draw.gap.gap_factor = lanes(k, [](const CapDraw& cap) { return cap.gap.gap_factor; });
    draw.gap.slope_factor = lanes(k, [](const CapDraw& cap) { return cap.gap.slope_factor; });
    for (std::size_t i = 0; i < 3; ++i) {
      draw.gap.modes[i] = lanes(k, [i](const CapDraw& cap) { return cap.gap.modes[i]; });
    }
    draw.alignment_x = lanes(k, [](const CapDraw& cap) { return cap.alignment_x; });
    draw.alignment_y = lanes(k, [](const CapDraw& cap) { return cap.alignment_y; });
    draw.alignment_mm2 = lanes(k, [](const CapDraw& cap) { return cap.alignment_mm2; });
    draw.strength = lanes(k, [](const CapDraw& cap) { return cap.strength; });
    draw.strength_log2 = lanes(k, [](const CapDraw& cap) { return cap.strength_log2; });
    Lanes weight{};
    for (std::size_t lane = 0; lane < 4 && 4 * k + lane < caps.size(); ++lane) {
      weight[lane] = caps[4 * k + lane].weight;
    }
    fours[k].weight = std::bit_cast<base::Four>(weight);
  }
  return fours;
}

PlaceChance plain_chance_at(const Place& place, const Blade& blade, const Mechanics& m,
                            const std::vector<FourCaps>& caps, const Care& care,
                            std::vector<double>& by_cap) {
  return chance_in<base::TwoPairs>(place, blade, m, caps, care, by_cap);
}

PlaceChance chance_at(const Place& place, const Blade& blade, const Mechanics& m,
                      const std::vector<FourCaps>& caps, const Care& care,
                      std::vector<double>& by_cap) {
  return has_wide() ? wide_chance_at(place, blade, m, caps, care, by_cap)
                    : plain_chance_at(place, blade, m, caps, care, by_cap);
}

}  // namespace buckram::needle
