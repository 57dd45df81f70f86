#include "artwork/typeface.h"

#include "base/base.h"

#include <hb-ot.h>
#include <hb.h>

#include <array>

namespace buckram::artwork {
namespace {

template <auto destroy>
struct Destroy {
  template <class T>
  void operator()(T* p) const {
    destroy(p);
  }
};
using FontPtr = std::unique_ptr<hb_font_t, Destroy<hb_font_destroy>>;
using BufferPtr = std::unique_ptr<hb_buffer_t, Destroy<hb_buffer_destroy>>;
using DrawPtr = std::unique_ptr<hb_draw_funcs_t, Destroy<hb_draw_funcs_destroy>>;

// Takes down one glyph, from font units with y up to em with y down.
struct GlyphOutline {
  Outline outline;
  geometry::Point shift;  // font units
  double em_per_unit = 1;

  geometry::Point to_em(float x, float y) const {
    return {(shift.x + double(x)) * em_per_unit, -(shift.y + double(y)) * em_per_unit};
  }
  void add(Step step) {
    if (!outline.empty()) outline.back().steps.push_back(step);
  }
};

GlyphOutline& glyph(void* data) {
  return *static_cast<GlyphOutline*>(data);
}

DrawPtr draw_funcs() {
  DrawPtr funcs(hb_draw_funcs_create());
  hb_draw_funcs_set_move_to_func(
      funcs.get(),
      [](hb_draw_funcs_t*, void* data, hb_draw_state_t*, float x, float y, void*) {
        glyph(data).outline.push_back({glyph(data).to_em(x, y), {}, true});
      },
      nullptr, nullptr);
  hb_draw_funcs_set_line_to_func(
      funcs.get(),
      [](hb_draw_funcs_t*, void* data, hb_draw_state_t*, float x, float y, void*) {
        glyph(data).add({Step::Kind::line, false, false, {}, {}, glyph(data).to_em(x, y)});
      },
      nullptr, nullptr);
  hb_draw_funcs_set_quadratic_to_func(
      funcs.get(),
      [](hb_draw_funcs_t*, void* data, hb_draw_state_t*, float ax, float ay, float x, float y,
         void*) {
        const GlyphOutline& p = glyph(data);
        glyph(data).add({Step::Kind::quadratic, false, false, p.to_em(ax, ay), {}, p.to_em(x, y)});
      },
      nullptr, nullptr);
  hb_draw_funcs_set_cubic_to_func(
      funcs.get(),
      [](hb_draw_funcs_t*, void* data, hb_draw_state_t*, float ax, float ay, float bx, float by,
         float x, float y, void*) {
        const GlyphOutline& p = glyph(data);
        glyph(data).add(
            {Step::Kind::cubic, false, false, p.to_em(ax, ay), p.to_em(bx, by), p.to_em(x, y)});
      },
      nullptr, nullptr);
  hb_draw_funcs_make_immutable(funcs.get());
  return funcs;
}

BufferPtr shaped(hb_font_t* font, std::string_view text, bool may_join) {
  BufferPtr buffer(hb_buffer_create());
  // A code point that no font draws: U+FFFD would be sewn as its question mark.
  hb_buffer_set_replacement_codepoint(buffer.get(), 0xFFFF);
  hb_buffer_add_utf8(buffer.get(), text.data(), static_cast<int>(text.size()), 0,
                     static_cast<int>(text.size()));
  hb_buffer_guess_segment_properties(buffer.get());
  constexpr unsigned kWhole = HB_FEATURE_GLOBAL_END;
  const std::array<hb_feature_t, 2> apart{
      {{HB_TAG('l', 'i', 'g', 'a'), 0, 0, kWhole}, {HB_TAG('c', 'l', 'i', 'g'), 0, 0, kWhole}}};
  hb_shape(font, buffer.get(), apart.data(), may_join ? 0 : unsigned(apart.size()));
  return buffer;
}

}  // namespace

struct Typeface::Font {
  FontPtr font;
  DrawPtr draw = draw_funcs();
  double em_per_unit = 1;

  double metric(hb_ot_metrics_tag_t tag, double otherwise) const {
    hb_position_t value = 0;
    return hb_ot_metrics_get_position(font.get(), tag, &value) ? value * em_per_unit : otherwise;
  }
};

Typeface::Typeface(std::string_view bytes, int index, const std::string& where)
    : font_(std::make_unique<Font>()) {
  hb_blob_t* blob = hb_blob_create(bytes.data(), static_cast<unsigned>(bytes.size()),
                                   HB_MEMORY_MODE_DUPLICATE, nullptr, nullptr);
  hb_face_t* face = hb_face_create(blob, static_cast<unsigned>(index));
  hb_blob_destroy(blob);
  const bool is_font = hb_face_get_glyph_count(face) > 0;
  const unsigned units = hb_face_get_upem(face);
  font_->font.reset(hb_font_create(face));
  hb_face_destroy(face);
  if (!is_font || units == 0) {
    throw base::Error{base::ErrorCode::bad_artwork, "is not an OpenType or TrueType font", where,
                      "Give a .ttf or .otf file, or the name of an installed font"};
  }
  font_->em_per_unit = 1.0 / units;
}
Typeface::~Typeface() = default;
Typeface::Typeface(Typeface&&) noexcept = default;
Typeface& Typeface::operator=(Typeface&&) noexcept = default;

std::vector<Letter> Typeface::letters(std::string_view text, bool may_join) const {
  const BufferPtr buffer = shaped(font_->font.get(), text, may_join);
  unsigned n = 0;
  const hb_glyph_info_t* infos = hb_buffer_get_glyph_infos(buffer.get(), &n);
  const hb_glyph_position_t* places = hb_buffer_get_glyph_positions(buffer.get(), &n);
  std::vector<Letter> letters;
  for (unsigned i = 0; i < n; ++i) {
    // Glyphs of one cluster are one letter with its marks.
    if (i == 0 || infos[i].cluster != infos[i - 1].cluster) {
      letters.push_back({{}, 0, infos[i].cluster, false});
    }
    Letter& letter = letters.back();
    GlyphOutline glyph{
        {},
        {letter.advance / font_->em_per_unit + places[i].x_offset, double(places[i].y_offset)},
        font_->em_per_unit};
    letter.advance += places[i].x_advance * font_->em_per_unit;
    if (infos[i].codepoint == 0) {
      letter.is_missing = true;
      continue;
    }
    hb_font_get_glyph_shape(font_->font.get(), infos[i].codepoint, font_->draw.get(), &glyph);
    letter.outline.insert(letter.outline.end(), glyph.outline.begin(), glyph.outline.end());
  }
  return letters;
}

double Typeface::ascent() const {
  return font_->metric(HB_OT_METRICS_TAG_HORIZONTAL_ASCENDER, 0.8);
}
double Typeface::descent() const {
  return -font_->metric(HB_OT_METRICS_TAG_HORIZONTAL_DESCENDER, -0.2);
}
// Fonts without it in their tables show it by their x.
double Typeface::x_height() const {
  hb_codepoint_t x = 0;
  hb_glyph_extents_t box{};
  const bool has_x = hb_font_get_nominal_glyph(font_->font.get(), 'x', &x) &&
                     hb_font_get_glyph_extents(font_->font.get(), x, &box);
  return font_->metric(HB_OT_METRICS_TAG_X_HEIGHT,
                       has_x ? box.y_bearing * font_->em_per_unit : 0.5);
}

}  // namespace buckram::artwork
