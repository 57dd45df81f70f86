#include "artwork/installed_fonts.h"

#include "artwork/font_names.h"

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

// HarfBuzz reads these; older formats of outlines it does not.
bool can_be_read(FcPattern* found) {
  const std::string format = text_of(found, FC_FONTFORMAT);
  return !text_of(found, FC_FILE).empty() && (format == "TrueType" || format == "CFF");
}

// The nearest of all fonts that can be read; slower than a single match.
Pattern nearest_readable(FcPattern* pattern) {
  FcResult result = FcResultNoMatch;
  FcFontSet* set = FcFontSort(nullptr, pattern, FcFalse, nullptr, &result);
  Pattern nearest;
  for (int k = 0; set != nullptr && k < set->nfont && !nearest; ++k) {
    if (!can_be_read(set->fonts[k])) continue;
    nearest.reset(FcFontRenderPrepare(nullptr, pattern, set->fonts[k]));
  }
  if (set != nullptr) FcFontSetDestroy(set);
  return nearest;
}

// What Fontconfig finds for the pattern; nullptr when nothing can be read. The language is told,
// for it would take the machine's otherwise, and another font with it.
Pattern match(FcPattern* pattern) {
  FcPatternAddBool(pattern, FC_OUTLINE, FcTrue);
  FcPatternAddBool(pattern, FC_VARIABLE, FcFalse);
  FcPatternAddString(pattern, FC_LANG, chars("en"));
  FcConfigSubstitute(nullptr, pattern, FcMatchPattern);
  FcDefaultSubstitute(pattern);
  FcResult result = FcResultNoMatch;
  Pattern found(FcFontMatch(nullptr, pattern, &result));
  if (!found || can_be_read(found.get())) return found;
  return nearest_readable(pattern);
}

FoundFont described(FcPattern* found) {
  return {text_of(found, FC_FILE), number_of(found, FC_INDEX, 0), text_of(found, FC_FAMILY), false};
}

bool is_true(FcPattern* pattern, const char* object) {
  FcBool value = FcFalse;
  return FcPatternGetBool(pattern, object, 0, &value) == FcResultMatch && value == FcTrue;
}

// Weights within one step of the nine, and the same slant or none asked for. What Fontconfig would
// have drawn thicker or slanted by the renderer is neither here: outlines are taken as they are.
bool has_look(FcPattern* found, double weight, bool is_italic) {
  double has = FC_WEIGHT_REGULAR;
  FcPatternGetDouble(found, FC_WEIGHT, 0, &has);
  FcMatrix* bent = nullptr;
  const bool is_bent = FcPatternGetMatrix(found, FC_MATRIX, 0, &bent) == FcResultMatch;
  const bool is_slanted = number_of(found, FC_SLANT, FC_SLANT_ROMAN) != FC_SLANT_ROMAN;
  return !is_true(found, FC_EMBOLDEN) && !is_bent && is_slanted == is_italic &&
         std::abs(FcWeightToOpenTypeDouble(has) - weight) <= 100;
}

// Whether a name asks for a weight or slant that the found font has not.
bool lacks_look(FcPattern* asked, FcPattern* found) {
  double weight = FC_WEIGHT_REGULAR;
  const bool has_weight = FcPatternGetDouble(asked, FC_WEIGHT, 0, &weight) == FcResultMatch;
  const int slant = number_of(asked, FC_SLANT, -1);
  if (!has_weight && slant < 0) return false;
  const bool is_slanted = number_of(found, FC_SLANT, FC_SLANT_ROMAN) != FC_SLANT_ROMAN;
  const bool is_wanted_slanted = slant < 0 ? is_slanted : slant != FC_SLANT_ROMAN;
  double has = FC_WEIGHT_REGULAR;
  FcPatternGetDouble(found, FC_WEIGHT, 0, &has);
  const double wanted = has_weight ? weight : has;
  return !has_look(found, FcWeightToOpenTypeDouble(wanted), is_wanted_slanted);
}

[[noreturn]] void refuse_font(std::string what, std::string hint) {
  throw base::Error{base::ErrorCode::bad_job, std::move(what), "artwork.font", std::move(hint)};
}

}  // namespace

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

bool is_font_file(const std::string& name) {
  const std::string lower = lower_case(name);
  return name.find('/') != std::string::npos || lower.ends_with(".ttf") ||
         lower.ends_with(".otf") || lower.ends_with(".ttc");
}

std::optional<FoundFont> find_font(const FontWish& wish) {
  Pattern pattern(FcPatternCreate());
  for (const std::string& family : wish.families) {
    FcPatternAddString(pattern.get(), FC_FAMILY, chars(family));
  }
  FcPatternAddDouble(pattern.get(), FC_WEIGHT, FcWeightFromOpenTypeDouble(wish.weight));
  FcPatternAddInteger(pattern.get(), FC_SLANT, wish.is_italic ? FC_SLANT_ITALIC : FC_SLANT_ROMAN);
  const Pattern found = match(pattern.get());
  if (!found) return std::nullopt;
  FoundFont font = described(found.get());
  const bool has_family =
      wish.families.empty() || is_generic(wish.families.front()) ||
      std::any_of(wish.families.begin(), wish.families.end(),
                  [&](const std::string& f) { return goes_by(found.get(), f); });
  font.is_wished = has_family && has_look(found.get(), wish.weight, wish.is_italic);
  return font;
}

FoundFont font_named(const std::string& name) {
  if (is_font_file(name)) return {name, 0, name, true};
  Pattern pattern(FcNameParse(chars(name)));
  const std::string family = pattern ? text_of(pattern.get(), FC_FAMILY) : std::string();
  const Pattern asked(pattern ? FcPatternDuplicate(pattern.get()) : nullptr);
  const Pattern found = pattern && !family.empty() ? match(pattern.get()) : Pattern();
  if (found && (goes_by(found.get(), family) || is_generic(family))) {
    if (lacks_look(asked.get(), found.get())) {
      refuse_font(fmt::format("the font \"{}\" is not installed; of its family there is {}", name,
                              text_of(found.get(), FC_STYLE)),
                  fmt::format("Ask for \"{}\", or give the path of a .ttf or .otf file", family));
    }
    FoundFont font = described(found.get());
    font.is_wished = true;
    return font;
  }
  const std::vector<std::string> known = installed_families();
  const std::string near = base::nearest_name(family, known);
  refuse_font(fmt::format("the font \"{}\" is not installed", name),
              near.empty() ? "Give the path of a .ttf or .otf file"
                           : fmt::format("Did you mean \"{}\"? Or give the path of a .ttf "
                                         "or .otf file",
                                         near));
}

Typeface load(const FoundFont& font) {
  return Typeface(base::read_file(font.file, kMaxFontBytes), font.index, font.file);
}

// nullptr when the file is no font after all; the next best is not worth a search.
const Typeface* LoadedFonts::face_of(const FoundFont& font) {
  const auto [place, is_new] = faces_.try_emplace({font.file, font.index});
  if (is_new) {
    try {
      place->second.emplace(load(font));
    } catch (const base::Error&) {
      return nullptr;
    }
  }
  return place->second ? &*place->second : nullptr;
}

const LoadedFonts::Entry* LoadedFonts::find(const FontWish& wish, const std::string& where) {
  constexpr std::size_t kMostWishes = 500;
  const auto [place, is_new] = entries_.try_emplace(wish);
  if (entries_.size() > kMostWishes) {
    throw base::Error{base::ErrorCode::bad_artwork,
                      fmt::format("its text asks for more than {} fonts", kMostWishes), where,
                      "Turn the text into outlines and export again"};
  }
  if (is_new) {
    const auto font = find_font(wish);
    const Typeface* face = font ? face_of(*font) : nullptr;
    if (face != nullptr) place->second = Entry{face, *font};
  }
  return place->second ? &*place->second : nullptr;
}

}  // namespace buckram::artwork
