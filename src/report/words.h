// Figures and names as people read them: mm first, inches beside.
#pragma once

#include <string>
#include <string_view>

namespace buckram::report {

// At most `decimals` decimals, trailing zeros dropped, a true minus sign: "46", "0.5", "−2".
std::string figure(double value, int decimals = 1);
// Always `decimals` decimals: "1.0".
std::string fixed(double value, int decimals);
std::string millimetres(double mm, int decimals = 1);  // "46 mm"
std::string inches(double mm, int decimals = 2);       // "1.81 in"
std::string thousands(long long n);                    // "12,480"
std::string duration(double seconds);                  // "40 s", "6 min", "1 h 20 min"
std::string minutes_and_seconds(double seconds);       // "6 min 10 s"
// A chance as people say it: "1 in 8,300"; two figures. "none" for zero.
std::string chance(double p);
std::string percent(double share);                                               // "42 %"
std::string count_of(long long n, std::string_view one, std::string_view many);  // "1 cap"

// The artwork element's own name in words: "use[1]/letter-ground" gives "Letter ground". Empty for
// an element that was never named ("path[3]", "g12").
std::string own_name(std::string_view source);
std::string upper_first(std::string words);
// Leaves words alone that begin with two capitals ("KHR").
std::string lower_first(std::string words);
// "80:sharp" as the trade numbers needles, metric and imperial: "80/12 sharp".
std::string needle_words(std::string_view name);

}  // namespace buckram::report
