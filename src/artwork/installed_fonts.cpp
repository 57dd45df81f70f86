#include "artwork/installed_fonts.h"

#include "artwork/svg_numbers.h"
#include "base/base.h"

#include <fmt/format.h>
#include <fontconfig/fontconfig.h>

#include <algorithm>
#include <memory>
#include <set>

namespace buckram::artwork {
namespace {

struct DestroyPattern {
  void operator()(FcPattern* p) const { FcPatternDestroy(p); }
};
using Pattern = std::unique_ptr<FcPattern, DestroyPattern>;

constexpr std::uint64_t kMaxFontBytes = 100'000'000;

const FcChar8* chars(const std::string& text) {
  return reinterpret_cast<const FcChar8*>(text.c_str());
}

std::string text_of(FcPattern* pattern, const char* object) {
  FcChar8* value = nullptr;
  if (FcPatternGetString(pattern, object, 0, &value) != FcResultMatch) return {};
  return reinterpret_cast<const char*>(value);
}

int number_of(FcPattern* pattern, const char* object, int otherwise) {
  int value = otherwise;
  FcPatternGetInteger(pattern, object, 0, &value);
  return value;
}

bool is_generic(const std::string& family) {
  static const std::set<std::string> kGeneric{"serif",   "sans-serif", "monospace",
                                              "cursive", "fantasy",    "system-ui"};
  return kGeneric.contains(lower_case(family));
}

// Names of all families that the found font goes by.
bool goes_by(FcPattern* found, const std::string& family) {
  FcChar8* value = nullptr;
  for (int k = 0; FcPatternGetString(found, FC_FAMILY, k, &value) == FcResultMatch; ++k) {
    if (FcStrCmpIgnoreCase(value, chars(family)) == 0) return true;
  }
  return false;
}

// What Fontconfig finds for the pattern. The same on every machine with the same fonts.
Pattern match(FcPattern* pattern) {
  FcPatternAddBool(pattern, FC_OUTLINE, FcTrue);
  FcPatternAddBool(pattern, FC_VARIABLE, FcFalse);
  FcConfigSubstitute(nullptr, pattern, FcMatchPattern);
  FcDefaultSubstitute(pattern);
  FcResult result = FcResultNoMatch;
  return Pattern(FcFontMatch(nullptr, pattern, &result));
}

FoundFont described(FcPattern* found) {
  return {text_of(found, FC_FILE), number_of(found, FC_INDEX, 0), text_of(found, FC_FAMILY), false};
}

// Weights within one step of the nine, and the same slant or none asked for.
bool has_look(FcPattern* found, double weight, bool is_italic) {
  double has = FC_WEIGHT_REGULAR;
  FcPatternGetDouble(found, FC_WEIGHT, 0, &has);
  const bool is_slanted = number_of(found, FC_SLANT, FC_SLANT_ROMAN) != FC_SLANT_ROMAN;
  return std::abs(FcWeightToOpenTypeDouble(has) - weight) <= 100 && is_slanted == is_italic;
}

std::vector<std::string> installed_families() {
  Pattern any(FcPatternCreate());
  FcObjectSet* objects = FcObjectSetBuild(FC_FAMILY, nullptr);
  FcFontSet* set = FcFontList(nullptr, any.get(), objects);
  std::set<std::string> names;
  for (int k = 0; set != nullptr && k < set->nfont; ++k) {
    names.insert(text_of(set->fonts[k], FC_FAMILY));
  }
  if (set != nullptr) FcFontSetDestroy(set);
  FcObjectSetDestroy(objects);
  return {names.begin(), names.end()};
}

bool is_file(const std::string& name) {
  const std::string lower = lower_case(name);
  return name.find('/') != std::string::npos || lower.ends_with(".ttf") ||
         lower.ends_with(".otf") || lower.ends_with(".ttc");
}

}  // namespace

std::optional<FoundFont> find_font(const FontWish& wish) {
  Pattern pattern(FcPatternCreate());
  for (const std::string& family : wish.families) {
    FcPatternAddString(pattern.get(), FC_FAMILY, chars(family));
  }
  FcPatternAddDouble(pattern.get(), FC_WEIGHT, FcWeightFromOpenTypeDouble(wish.weight));
  FcPatternAddInteger(pattern.get(), FC_SLANT, wish.is_italic ? FC_SLANT_ITALIC : FC_SLANT_ROMAN);
  const Pattern found = match(pattern.get());
  if (!found || text_of(found.get(), FC_FILE).empty()) return std::nullopt;
  FoundFont font = described(found.get());
  const bool has_family =
      wish.families.empty() || is_generic(wish.families.front()) ||
      std::any_of(wish.families.begin(), wish.families.end(),
                  [&](const std::string& f) { return goes_by(found.get(), f); });
  font.is_wished = has_family && has_look(found.get(), wish.weight, wish.is_italic);
  return font;
}

FoundFont font_named(const std::string& name) {
  if (is_file(name)) return {name, 0, name, true};
  Pattern pattern(FcNameParse(chars(name)));
  const std::string family = pattern ? text_of(pattern.get(), FC_FAMILY) : std::string();
  const Pattern found = pattern && !family.empty() ? match(pattern.get()) : Pattern();
  if (found && (goes_by(found.get(), family) || is_generic(family))) {
    FoundFont font = described(found.get());
    font.is_wished = true;
    return font;
  }
  const std::vector<std::string> known = installed_families();
  const std::string near = base::nearest_name(family, known);
  throw base::Error{base::ErrorCode::bad_job, fmt::format("the font \"{}\" is not installed", name),
                    "artwork.font",
                    near.empty() ? "Give the path of a .ttf or .otf file"
                                 : fmt::format("Did you mean \"{}\"? Or give the path of a .ttf "
                                               "or .otf file",
                                               near)};
}

Typeface load(const FoundFont& font) {
  return Typeface(base::read_file(font.file, kMaxFontBytes), font.index, font.file);
}

const Shelf::Book* Shelf::find(const FontWish& wish) {
  const auto [place, is_new] = books_.try_emplace(wish);
  if (is_new) {
    if (const auto font = find_font(wish)) place->second.emplace(Book{load(*font), *font});
  }
  return place->second ? &*place->second : nullptr;
}

}  // namespace buckram::artwork
