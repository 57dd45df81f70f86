#include "machine/exact_fit.h"

#include "base/base.h"
#include "machine/bits.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <set>

namespace buckram::machine {
namespace {

constexpr std::uint64_t kPrime = 2'147'483'647;  // 2^31 - 1

std::uint64_t residue(long long value) {
  const long long p = static_cast<long long>(kPrime);
  return static_cast<std::uint64_t>(((value % p) + p) % p);
}

std::uint64_t inverse(std::uint64_t value) {
  std::uint64_t result = 1;
  for (std::uint64_t power = kPrime - 2; power > 0; power >>= 1) {
    if ((power & 1) != 0) result = result * value % kPrime;
    value = value * value % kPrime;
  }
  return result;
}

// Linear equations modulo the prime, taken in one by one.
class Equations {
 public:
  explicit Equations(std::size_t n_unknowns) : n_(n_unknowns), rows_(n_unknowns) {}

  // Coefficients, then the right side. False when it contradicts those before.
  bool add(std::vector<std::uint64_t> row) {
    for (std::size_t c = 0; c < n_; ++c) {
      if (row[c] == 0) continue;
      if (rows_[c].empty()) {
        const std::uint64_t scale = inverse(row[c]);
        for (std::size_t k = c; k <= n_; ++k) row[k] = row[k] * scale % kPrime;
        rows_[c] = std::move(row);
        ++rank_;
        return true;
      }
      const std::uint64_t factor = kPrime - row[c];
      for (std::size_t k = c; k <= n_; ++k) row[k] = (row[k] + factor * rows_[c][k]) % kPrime;
    }
    return row[n_] == 0;
  }

  int rank() const { return rank_; }
  bool is_open(std::size_t unknown) const { return rows_[unknown].empty(); }

  // Open unknowns are 0.
  std::vector<std::uint64_t> solution() const {
    std::vector<std::uint64_t> x(n_, 0);
    for (std::size_t c = n_; c-- > 0;) {
      if (rows_[c].empty()) continue;
      std::uint64_t sum = rows_[c][n_];
      for (std::size_t k = c + 1; k < n_; ++k) {
        sum = (sum + (kPrime - rows_[c][k]) * x[k]) % kPrime;
      }
      x[c] = sum;
    }
    return x;
  }

 private:
  std::size_t n_;
  std::vector<std::vector<std::uint64_t>> rows_;  // by the unknown they begin with
  int rank_ = 0;
};

struct Row {
  Bits word;
  int value;
  bool operator<(const Row& o) const { return word != o.word ? word < o.word : value < o.value; }
};

// Bits that vary, one for each group that is always equal; its followers beside it.
struct Columns {
  std::vector<int> first;
  std::vector<std::vector<int>> followers;
};

Columns columns_of(const std::vector<Row>& rows, Bits varying) {
  Columns columns;
  for (int place = 0; place < 64; ++place) {
    if ((varying & bit(place)) == 0) continue;
    const auto is_same = [&](int other) {
      return std::all_of(rows.begin(), rows.end(), [&](const Row& row) {
        return ((row.word >> place) & 1) == ((row.word >> other) & 1);
      });
    };
    const auto found = std::find_if(columns.first.begin(), columns.first.end(), is_same);
    if (found == columns.first.end()) {
      columns.first.push_back(place);
      columns.followers.emplace_back();
    } else {
      columns.followers[static_cast<std::size_t>(found - columns.first.begin())].push_back(place);
    }
  }
  return columns;
}

// A residue as the small whole number it stands for; 0 when none.
std::optional<int> whole(std::uint64_t value) {
  const auto positive = static_cast<long long>(value);
  const long long signed_value = positive > static_cast<long long>(kPrime) / 2
                                     ? positive - static_cast<long long>(kPrime)
                                     : positive;
  if (std::llabs(signed_value) > kLargestWeight) return std::nullopt;
  return static_cast<int>(signed_value);
}

// The sum of equal bits shared out: doubling on, the last one taking the rest.
void share(Number& number, const std::vector<int>& places, int sum) {
  int largest = 0;
  for (const int weight : number.weights) largest = std::max(largest, std::abs(weight));
  for (std::size_t i = 0; i < places.size(); ++i) {
    const bool is_last = i + 1 == places.size();
    largest *= 2;
    const int weight = is_last ? sum : largest;
    sum -= weight;
    if (weight == 0 || std::abs(weight) > kLargestWeight) continue;
    number.bits.push_back(places[i]);
    number.weights.push_back(weight);
  }
}

std::optional<Fit> fit_with(const std::vector<Row>& rows, Bits varying, int negate) {
  if (negate >= 0) varying &= ~bit(negate);
  const Columns columns = columns_of(rows, varying);
  const std::size_t n = columns.first.size() + 1;
  Equations equations(n);
  for (const Row& row : rows) {
    std::vector<std::uint64_t> equation(n + 1, 1);
    for (std::size_t c = 0; c + 1 < n; ++c) {
      equation[c + 1] = (row.word >> columns.first[c]) & 1;
    }
    const bool is_negated = negate >= 0 && (row.word & bit(negate)) != 0;
    equation[n] = residue(is_negated ? -row.value : row.value);
    if (!equations.add(std::move(equation))) return std::nullopt;
  }
  const std::vector<std::uint64_t> solution = equations.solution();
  Fit fit;
  fit.number.negate = negate;
  fit.n_equations = static_cast<int>(rows.size());
  fit.rank = equations.rank();
  const auto offset = whole(solution[0]);
  if (!offset) return std::nullopt;
  fit.number.offset = *offset;
  for (const bool is_shared : {false, true}) {
    for (std::size_t c = 0; c + 1 < n; ++c) {
      const auto weight = whole(solution[c + 1]);
      if (!weight) return std::nullopt;
      const bool has_followers = !columns.followers[c].empty();
      if (equations.is_open(c + 1)) fit.open |= bit(columns.first[c]);
      if (*weight == 0 || has_followers != is_shared) continue;
      std::vector<int> places{columns.first[c]};
      places.insert(places.end(), columns.followers[c].begin(), columns.followers[c].end());
      if (is_shared) {
        share(fit.number, places, *weight);
        for (const int place : places) fit.open |= bit(place);
      } else {
        fit.number.bits.push_back(places[0]);
        fit.number.weights.push_back(*weight);
      }
    }
  }
  const bool fits = fit.number.bits.size() <= static_cast<std::size_t>(kMostAxisBits) &&
                    std::all_of(rows.begin(), rows.end(), [&](const Row& row) {
                      return value_of(fit.number, row.word) == row.value;
                    });
  if (!fits) return std::nullopt;
  return fit;
}

}  // namespace

std::optional<Fit> fit_exactly(const std::vector<Bits>& words, const std::vector<int>& values) {
  BUCKRAM_ASSERT(words.size() == values.size() && !words.empty());
  std::set<Row> differing;
  Bits varying = 0;
  for (std::size_t i = 0; i < words.size(); ++i) {
    differing.insert({words[i], values[i]});
    varying |= words[i] ^ words[0];
  }
  const std::vector<Row> rows(differing.begin(), differing.end());
  if (auto fit = fit_with(rows, varying, -1)) return fit;
  for (int place = 0; place < 64; ++place) {
    if ((varying & bit(place)) == 0) continue;
    if (auto fit = fit_with(rows, varying, place)) return fit;
  }
  return std::nullopt;
}

}  // namespace buckram::machine
