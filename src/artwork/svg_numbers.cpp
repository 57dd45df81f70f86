#include "artwork/svg_numbers.h"

#include "base/base.h"

#include <array>
#include <charconv>
#include <cmath>

namespace buckram::artwork {
namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

// Length of the SVG number at the start of the text, 0 for none. An 'e' counts only when digits
// follow, so that "2em" is 2 and a unit.
std::size_t number_extent(std::string_view text) {
  std::size_t i = 0;
  const auto at = [&](std::size_t k) { return k < text.size() ? text[k] : '\0'; };
  if (at(i) == '+' || at(i) == '-') ++i;
  const std::size_t first = i;
  while (is_digit(at(i))) ++i;
  std::size_t digits = i - first;
  if (at(i) == '.') {
    const std::size_t point = i++;
    while (is_digit(at(i))) ++i;
    digits += i - point - 1;
  }
  if (digits == 0) return 0;
  if (at(i) != 'e' && at(i) != 'E') return i;
  std::size_t k = i + 1;
  if (at(k) == '+' || at(k) == '-') ++k;
  if (!is_digit(at(k))) return i;
  while (is_digit(at(k))) ++k;
  return k;
}

struct Unit {
  std::string_view name;
  double px;         // CSS px in one
  bool is_physical;  // a size in the world
};
constexpr std::array<Unit, 8> kUnits = {{{"", 1, false},
                                         {"px", 1, false},
                                         {"mm", 96 / 25.4, true},
                                         {"cm", 960 / 25.4, true},
                                         {"q", 24 / 25.4, true},
                                         {"in", 96, true},
                                         {"pt", 96.0 / 72, true},
                                         {"pc", 16, true}}};

const Unit* find_unit(std::string_view name) {
  for (const Unit& unit : kUnits)
    if (unit.name == name) return &unit;
  return nullptr;
}

// The numbers between the brackets of a transform; CSS units that change nothing are passed over.
std::optional<std::vector<double>> transform_arguments(std::string_view text) {
  std::vector<double> values;
  Scanner in(text);
  while (!in.done()) {
    const auto value = in.number();
    if (!value || values.size() == 6) return std::nullopt;
    const std::string_view unit = in.word();
    if (!unit.empty() && unit != "px" && unit != "deg") return std::nullopt;
    values.push_back(*value);
    in.skip_comma();
  }
  return values;
}

geometry::Affine rotated_about(const std::vector<double>& v) {
  const geometry::Affine turn = geometry::rotation(base::radians(v[0]));
  if (v.size() < 3) return turn;
  const geometry::Affine there{1, 0, 0, 1, v[1], v[2]}, back{1, 0, 0, 1, -v[1], -v[2]};
  return geometry::compose(there, geometry::compose(turn, back));
}

std::optional<geometry::Affine> one_transform(std::string_view name, const std::vector<double>& v) {
  const std::size_t n = v.size();
  if (name == "matrix" && n == 6) return geometry::Affine{v[0], v[1], v[2], v[3], v[4], v[5]};
  if (name == "translate" && (n == 1 || n == 2))
    return geometry::Affine{1, 0, 0, 1, v[0], n == 2 ? v[1] : 0};
  if (name == "translatex" && n == 1) return geometry::Affine{1, 0, 0, 1, v[0], 0};
  if (name == "translatey" && n == 1) return geometry::Affine{1, 0, 0, 1, 0, v[0]};
  if (name == "scale" && (n == 1 || n == 2))
    return geometry::Affine{v[0], 0, 0, n == 2 ? v[1] : v[0], 0, 0};
  if (name == "rotate" && (n == 1 || n == 3)) return rotated_about(v);
  if (name == "skewx" && n == 1)
    return geometry::Affine{1, 0, std::tan(base::radians(v[0])), 1, 0, 0};
  if (name == "skewy" && n == 1)
    return geometry::Affine{1, std::tan(base::radians(v[0])), 0, 1, 0, 0};
  return std::nullopt;
}

}  // namespace

bool is_blank(char c) {
  return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f';
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

std::string lower_case(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

std::vector<std::string_view> words_of(std::string_view text) {
  std::vector<std::string_view> words;
  std::size_t i = 0;
  while (i < text.size()) {
    while (i < text.size() && is_blank(text[i])) ++i;
    const std::size_t from = i;
    while (i < text.size() && !is_blank(text[i])) ++i;
    if (i > from) words.push_back(text.substr(from, i - from));
  }
  return words;
}

void Scanner::skip_blanks() {
  while (!rest_.empty() && is_blank(rest_.front())) rest_.remove_prefix(1);
}

bool Scanner::done() {
  skip_blanks();
  return rest_.empty();
}

char Scanner::peek() {
  return done() ? '\0' : rest_.front();
}

bool Scanner::skip(char c) {
  if (done() || rest_.front() != c) return false;
  rest_.remove_prefix(1);
  return true;
}

void Scanner::skip_comma() {
  if (skip(',')) skip_blanks();
}

std::optional<double> Scanner::number() {
  skip_blanks();
  const std::size_t n = number_extent(rest_);
  if (n == 0) return std::nullopt;
  std::string_view text = rest_.substr(0, n);
  if (text.front() == '+') text.remove_prefix(1);
  double value = 0;
  const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
  // Too small to tell from zero is zero; too large for a double is no number.
  if (result.ec == std::errc::result_out_of_range) {
    const auto e = text.find_first_of("eE");
    if (e == std::string_view::npos || text.substr(e + 1, 1) != "-") return std::nullopt;
    value = 0;
  }
  if (!std::isfinite(value)) return std::nullopt;
  rest_.remove_prefix(n);
  return value;
}

std::optional<bool> Scanner::flag() {
  const char c = peek();
  if (c != '0' && c != '1') return std::nullopt;
  rest_.remove_prefix(1);
  return c == '1';
}

std::string_view Scanner::word() {
  std::size_t n = 0;
  while (n < rest_.size() && (is_letter(rest_[n]) || rest_[n] == '-')) ++n;
  const std::string_view found = rest_.substr(0, n);
  rest_.remove_prefix(n);
  return found;
}

std::string_view Scanner::until(char c) {
  const std::size_t n = std::min(rest_.find(c), rest_.size());
  const std::string_view found = rest_.substr(0, n);
  rest_.remove_prefix(std::min(n + 1, rest_.size()));
  return found;
}

std::optional<double> parse_length(std::string_view text, const LengthBase& base) {
  Scanner in(text);
  const auto value = in.number();
  if (!value) return std::nullopt;
  if (in.skip('%')) return in.done() ? std::optional(*value / 100 * base.percent_of) : std::nullopt;
  const std::string unit = lower_case(trimmed(in.rest()));
  if (unit == "em" || unit == "rem") return *value * base.em;
  if (unit == "ex") return *value * base.em / 2;
  const Unit* found = find_unit(unit);
  return found ? std::optional(*value * found->px) : std::nullopt;
}

std::optional<double> parse_physical_mm(std::string_view text) {
  Scanner in(text);
  const auto value = in.number();
  if (!value) return std::nullopt;
  const Unit* unit = find_unit(lower_case(trimmed(in.rest())));
  if (!unit || !unit->is_physical) return std::nullopt;
  return *value * unit->px * base::kMmPerCssPx;
}

NumberList parse_numbers(std::string_view text) {
  NumberList list;
  Scanner in(text);
  while (!in.done()) {
    const auto value = in.number();
    if (!value) {
      list.complete = false;
      return list;
    }
    list.values.push_back(*value);
    in.skip_comma();
  }
  return list;
}

std::optional<geometry::Affine> parse_transform(std::string_view text) {
  geometry::Affine all;
  Scanner in(text);
  if (trimmed(text) == "none") return all;
  while (!in.done()) {
    const std::string name = lower_case(trimmed(in.until('(')));
    const auto arguments = transform_arguments(in.until(')'));
    if (!arguments) return std::nullopt;
    const auto one = one_transform(name, *arguments);
    if (!one) return std::nullopt;
    all = geometry::compose(all, *one);
    in.skip_comma();
  }
  return all;
}

}  // namespace buckram::artwork
