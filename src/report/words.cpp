#include "report/words.h"

#include "base/base.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <utility>

namespace buckram::report {
namespace {

std::string plain(double value, int decimals) {
  char buffer[64];
  const double scale = std::pow(10.0, decimals);
  double rounded = std::round(value * scale) / scale;
  if (rounded == 0) rounded = 0;  // no minus zero
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, std::abs(rounded),
                                 std::chars_format::fixed, decimals)
                       .ptr;
  return (rounded < 0 ? "−" : "") + std::string(buffer, end);
}

// What an element is called when nobody named it.
constexpr std::array<std::string_view, 22> kBareNames{
    "path",  "rect",  "circle", "ellipse",  "polygon", "polyline", "line",   "g",
    "use",   "text",  "tspan",  "textpath", "a",       "symbol",   "switch", "marker",
    "image", "layer", "shape",  "svg",      "group",   "pixels"};

// The last part of "use[1]/path[3]".
std::string_view last_part(std::string_view source) {
  const std::size_t slash = source.rfind('/');
  return slash == std::string_view::npos ? source : source.substr(slash + 1);
}

bool is_bare(std::string_view source) {
  std::string letters;
  for (const char c : source) {
    const auto u = static_cast<unsigned char>(c);
    if (std::isalpha(u) || u >= 0x80) letters += static_cast<char>(std::tolower(u));
  }
  return letters.size() < 2 ||
         std::find(kBareNames.begin(), kBareNames.end(), letters) != kBareNames.end();
}

std::string spelled(std::string_view source) {
  std::string out;
  for (const char c : source) {
    const bool is_break = c == '-' || c == '_' || c == '.' || c == ' ';
    if (!is_break)
      out += c;
    else if (!out.empty() && out.back() != ' ')
      out += ' ';
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  if (!out.empty()) out[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(out[0])));
  return out;
}

}  // namespace

std::string fixed(double value, int decimals) {
  return std::isfinite(value) ? plain(value, decimals) : std::string("?");
}

std::string figure(double value, int decimals) {
  std::string out = fixed(value, decimals);
  if (out.find('.') == std::string::npos) return out;
  while (out.back() == '0') out.pop_back();
  if (out.back() == '.') out.pop_back();
  return out;
}

std::string millimetres(double mm, int decimals) {
  return figure(mm, decimals) + " mm";
}
std::string inches(double mm, int decimals) {
  return fixed(mm / base::kMmPerInch, decimals) + " in";
}

std::string thousands(long long n) {
  std::string digits = std::to_string(std::abs(n));
  for (int at = static_cast<int>(digits.size()) - 3; at > 0; at -= 3)
    digits.insert(static_cast<std::size_t>(at), ",");
  return (n < 0 ? "−" : "") + digits;
}

std::string duration(double seconds) {
  if (seconds < 59.5) return figure(seconds, 0) + " s";
  const auto minutes = static_cast<long long>(std::llround(seconds / 60));
  if (minutes < 60) return std::to_string(minutes) + " min";
  const std::string hours = thousands(minutes / 60) + " h";
  return minutes % 60 == 0 ? hours : hours + " " + std::to_string(minutes % 60) + " min";
}

std::string minutes_and_seconds(double seconds) {
  const auto whole = static_cast<long long>(std::llround(seconds));
  if (whole < 60) return std::to_string(whole) + " s";
  return thousands(whole / 60) + " min" +
         (whole % 60 ? " " + std::to_string(whole % 60) + " s" : "");
}

std::string chance(double p) {
  if (!(p > 0)) return "none";
  const double n = 1 / p;
  if (n >= 1e9) return "under 1 in 1,000 million";
  if (n >= 9.5e5) return "1 in " + figure(n / 1e6, n < 9.5e6 ? 1 : 0) + " million";
  const double scale = std::pow(10.0, std::max(0.0, std::floor(std::log10(n)) - 1));
  return "1 in " + thousands(std::llround(std::round(n / scale) * scale));
}

std::string percent(double share) {
  return figure(share * 100, 0) + " %";
}

std::string count_of(long long n, std::string_view one, std::string_view many) {
  return thousands(n) + " " + std::string(n == 1 ? one : many);
}

std::string own_name(std::string_view source) {
  const std::string_view element = last_part(source);
  return is_bare(element) ? std::string() : spelled(element);
}

std::string upper_first(std::string words) {
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z')
    words[0] = static_cast<char>(words[0] - 'a' + 'A');
  return words;
}

std::string lower_first(std::string words) {
  const auto is_capital = [&](std::size_t i) {
    return i < words.size() && words[i] >= 'A' && words[i] <= 'Z';
  };
  if (is_capital(0) && !is_capital(1)) words[0] = static_cast<char>(words[0] - 'A' + 'a');
  return words;
}

std::string needle_words(std::string_view name) {
  // Metric number (hundredths of a millimetre of blade) and the imperial one printed beside it.
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 11> kImperial{
      {{"60", "8"},
       {"65", "9"},
       {"70", "10"},
       {"75", "11"},
       {"80", "12"},
       {"85", "13"},
       {"90", "14"},
       {"95", "15"},
       {"100", "16"},
       {"110", "18"},
       {"120", "19"}}};
  const std::size_t colon = name.find(':');
  const std::string_view size = name.substr(0, colon);
  std::string out(size);
  for (const auto& [metric, imperial] : kImperial)
    if (metric == size) out += "/" + std::string(imperial);
  if (colon != std::string_view::npos) out += " " + std::string(name.substr(colon + 1));
  return out;
}

}  // namespace buckram::report
