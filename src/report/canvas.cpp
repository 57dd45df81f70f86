#include "report/canvas.h"

#include "base/base.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <pango/pangocairo.h>

#include <cmath>
#include <map>
#include <tuple>

namespace buckram::report {
namespace {

constexpr double kPointsPerMm = 72 / base::kMmPerInch;
// Pango's integer units are 1/1024: text is laid out in hundredths of a millimetre, so that a
// glyph is never more than 1e-5 mm off.
constexpr double kLayoutPerMm = 100;

struct Release {
  void operator()(cairo_t* c) const { cairo_destroy(c); }
  void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
  void operator()(PangoLayout* l) const { g_object_unref(l); }
  void operator()(PangoContext* c) const { g_object_unref(c); }
};
using CairoHandle = std::unique_ptr<cairo_t, Release>;
using SurfaceHandle = std::unique_ptr<cairo_surface_t, Release>;
using LayoutHandle = std::unique_ptr<PangoLayout, Release>;
using ContextHandle = std::unique_ptr<PangoContext, Release>;

ContextHandle type_context() {
  ContextHandle context(pango_font_map_create_context(pango_cairo_font_map_get_default()));
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(context.get(), options);
  pango_cairo_context_set_resolution(context.get(), 72);
  pango_context_set_round_glyph_positions(context.get(), FALSE);
  cairo_font_options_destroy(options);
  return context;
}

void set_type(PangoLayout* layout, const std::string& words, const Type& type) {
  PangoFontDescription* font = pango_font_description_new();
  pango_font_description_set_family_static(
      font, type.face == Face::serif ? "Charis SIL,DejaVu Serif" : "Roboto,DejaVu Sans");
  pango_font_description_set_absolute_size(font, type.size_mm * kLayoutPerMm * PANGO_SCALE);
  pango_font_description_set_weight(font, static_cast<PangoWeight>(type.weight));
  if (type.italic) pango_font_description_set_style(font, PANGO_STYLE_ITALIC);
  pango_layout_set_font_description(layout, font);
  pango_font_description_free(font);
  PangoAttrList* attributes = pango_attr_list_new();
  if (type.tracking_em != 0)
    pango_attr_list_insert(attributes,
                           pango_attr_letter_spacing_new(static_cast<int>(std::lround(
                               type.tracking_em * type.size_mm * kLayoutPerMm * PANGO_SCALE))));
  if (type.face == Face::sans)
    pango_attr_list_insert(attributes, pango_attr_font_features_new("tnum=1"));
  pango_layout_set_attributes(layout, attributes);
  pango_attr_list_unref(attributes);
  pango_layout_set_text(layout, words.data(), static_cast<int>(words.size()));
}

double layout_width_mm(PangoLayout* layout, const Type& type) {
  PangoRectangle logical;
  pango_layout_get_extents(layout, nullptr, &logical);
  const double width = static_cast<double>(logical.width) / PANGO_SCALE / kLayoutPerMm;
  // Pango spaces the last letter too.
  return std::max(0.0, width - type.tracking_em * type.size_mm);
}

class Painter {
 public:
  explicit Painter(cairo_t* cairo)
      : cairo_(cairo), context_(type_context()), layout_(pango_layout_new(context_.get())) {}

  void paint(const Picture& picture) {
    for (const Item& item : picture.items) std::visit([this](const auto& it) { put(it); }, item);
  }

 private:
  void trace(const Path& path) {
    cairo_new_path(cairo_);
    for (std::size_t c = 0; c < path.chains.size(); ++c) {
      const int first = path.chains[c].first, end = path.end_of(c);
      const auto& points = path.points;
      cairo_move_to(cairo_, points[static_cast<std::size_t>(first)].x,
                    points[static_cast<std::size_t>(first)].y);
      for (int i = first + 1; i < end; ++i)
        cairo_line_to(cairo_, points[static_cast<std::size_t>(i)].x,
                      points[static_cast<std::size_t>(i)].y);
      if (path.chains[c].closed)
        cairo_close_path(cairo_);
      else if (end - first == 1)
        cairo_close_path(cairo_);  // a dot, by its round cap
    }
  }

  void set_colour(Colour c) {
    cairo_set_source_rgba(cairo_, c.r / 255.0, c.g / 255.0, c.b / 255.0, c.opacity);
  }

  void stroke(const Pen& pen) {
    set_colour(pen.colour);
    cairo_set_line_width(cairo_, pen.width_mm);
    cairo_set_line_cap(cairo_, pen.round ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
    cairo_set_line_join(cairo_, pen.round ? CAIRO_LINE_JOIN_ROUND : CAIRO_LINE_JOIN_MITER);
    cairo_set_dash(cairo_, pen.dash.data(), static_cast<int>(pen.dash.size()), 0);
    cairo_stroke_preserve(cairo_);
  }

  void fill(Colour colour) {
    set_colour(colour);
    cairo_set_fill_rule(cairo_, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_fill_preserve(cairo_);
  }

  void put(const Shape& shape) {
    if (shape.path.empty()) return;
    trace(shape.path);
    if (shape.fill) fill(*shape.fill);
    for (const Pen& pen : shape.pens) stroke(pen);
    cairo_new_path(cairo_);
  }

  void put(const Disc& disc) {
    cairo_new_path(cairo_);
    cairo_arc(cairo_, disc.middle.x, disc.middle.y, disc.radius_mm, 0, 2 * base::kPi);
    cairo_close_path(cairo_);
    if (disc.fill) fill(*disc.fill);
    if (disc.pen) stroke(*disc.pen);
    cairo_new_path(cairo_);
  }

  void put(const Text& text) {
    const std::string words = clean_words(text.words);
    if (words.empty()) return;
    set_type(layout_.get(), words, text.type);
    refuse_unknown_glyphs(words);
    const double width = layout_width_mm(layout_.get(), text.type);
    const double back = text.anchor == Anchor::start ? 0 : text.anchor == Anchor::middle ? 0.5 : 1;
    const double base_line =
        static_cast<double>(pango_layout_get_baseline(layout_.get())) / PANGO_SCALE;
    cairo_save(cairo_);
    cairo_translate(cairo_, text.at.x, text.at.y);
    cairo_rotate(cairo_, base::radians(text.turn_deg));
    cairo_translate(cairo_, -back * width, 0);
    cairo_scale(cairo_, 1 / kLayoutPerMm, 1 / kLayoutPerMm);
    cairo_translate(cairo_, 0, -base_line);
    if (text.halo_mm > 0) {
      cairo_new_path(cairo_);
      cairo_move_to(cairo_, 0, 0);
      pango_cairo_layout_path(cairo_, layout_.get());
      stroke({text.halo, text.halo_mm * kLayoutPerMm, {}, true});
      cairo_new_path(cairo_);
    }
    cairo_move_to(cairo_, 0, 0);
    set_colour(text.type.colour);
    pango_cairo_show_layout(cairo_, layout_.get());
    cairo_restore(cairo_);
    cairo_new_path(cairo_);
  }

  void refuse_unknown_glyphs(const std::string& words) const {
    if (pango_layout_get_unknown_glyphs_count(layout_.get()) == 0) return;
    throw base::Error{base::ErrorCode::cannot_write,
                      "no installed font has every letter of \"" + words + "\"", "the run sheet",
                      "install a font that has them, or write the name in other letters"};
  }

  void put(const Open& open) {
    cairo_save(cairo_);
    const cairo_matrix_t m{open.map.a, open.map.b, open.map.c, open.map.d, open.map.e, open.map.f};
    cairo_transform(cairo_, &m);
    if (open.clip) {
      trace(*open.clip);
      cairo_set_fill_rule(cairo_, CAIRO_FILL_RULE_EVEN_ODD);
      cairo_clip(cairo_);
    }
    opacities_.push_back(open.opacity);
    if (open.opacity < 1) cairo_push_group(cairo_);
  }

  void put(const Close&) {
    BUCKRAM_ASSERT(!opacities_.empty());
    const double opacity = opacities_.back();
    opacities_.pop_back();
    if (opacity < 1) {
      cairo_pop_group_to_source(cairo_);
      cairo_paint_with_alpha(cairo_, opacity);
    }
    cairo_restore(cairo_);
  }

  cairo_t* cairo_;
  ContextHandle context_;
  LayoutHandle layout_;
  std::vector<double> opacities_;
};

cairo_status_t append(void* closure, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

void require(cairo_status_t status) {
  if (status == CAIRO_STATUS_SUCCESS) return;
  throw base::Error{base::ErrorCode::cannot_write, cairo_status_to_string(status), "the picture",
                    "free some memory and try again"};
}

SurfaceHandle surface_on(Pixels& pixels) {
  return SurfaceHandle(cairo_image_surface_create_for_data(
      reinterpret_cast<unsigned char*>(pixels.argb.data()), CAIRO_FORMAT_RGB24, pixels.width,
      pixels.height, pixels.width * 4));
}

}  // namespace

struct TypeRule::State {
  using Key = std::tuple<std::string, Face, double, int, bool, double>;
  ContextHandle context = type_context();
  LayoutHandle layout{pango_layout_new(context.get())};
  std::map<Key, double> known;
};

TypeRule::TypeRule() : state_(std::make_unique<State>()) {}
TypeRule::~TypeRule() = default;

double TypeRule::width_mm(const std::string& words, const Type& type) const {
  const State::Key key{words, type.face, type.size_mm, type.weight, type.italic, type.tracking_em};
  if (const auto found = state_->known.find(key); found != state_->known.end())
    return found->second;
  set_type(state_->layout.get(), clean_words(words), type);
  const double width = layout_width_mm(state_->layout.get(), type);
  state_->known.emplace(key, width);
  return width;
}

std::string TypeRule::fitted(const std::string& raw, const Type& type, double limit_mm) const {
  const std::string words = clean_words(raw);
  if (width_mm(words, type) <= limit_mm) return words;
  std::vector<std::size_t> starts;  // of letters
  for (std::size_t i = 0; i < words.size(); ++i)
    if ((static_cast<unsigned char>(words[i]) & 0xc0) != 0x80) starts.push_back(i);
  std::size_t low = 0, high = starts.empty() ? 0 : starts.size() - 1;
  const auto cut = [&](std::size_t n) {
    std::string part = words.substr(0, n < starts.size() ? starts[n] : words.size());
    while (!part.empty() && (part.back() == ' ' || part.back() == ',')) part.pop_back();
    return part + "…";
  };
  while (low < high) {
    const std::size_t middle = (low + high + 1) / 2;
    if (width_mm(cut(middle), type) <= limit_mm)
      low = middle;
    else
      high = middle - 1;
  }
  return cut(low);
}

std::string write_pdf(const std::vector<PdfPage>& pages, const PdfInfo& info) {
  BUCKRAM_ASSERT(!pages.empty());
  std::string out;
  {
    SurfaceHandle surface(cairo_pdf_surface_create_for_stream(
        append, &out, pages[0].width_mm * kPointsPerMm, pages[0].height_mm * kPointsPerMm));
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE,
                                   clean_words(info.title).c_str());
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "Buckram");
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE,
                                   info.created.c_str());
    for (const PdfPage& page : pages) {
      cairo_pdf_surface_set_size(surface.get(), page.width_mm * kPointsPerMm,
                                 page.height_mm * kPointsPerMm);
      CairoHandle cairo(cairo_create(surface.get()));
      cairo_scale(cairo.get(), kPointsPerMm, kPointsPerMm);
      Painter(cairo.get()).paint(page.picture);
      cairo_show_page(cairo.get());
      require(cairo_status(cairo.get()));
    }
    cairo_surface_finish(surface.get());
    require(cairo_surface_status(surface.get()));
  }
  return out;
}

Pixels make_pixels(int width, int height, Colour ground) {
  const std::uint32_t value = 0xff000000u | static_cast<std::uint32_t>(ground.r) << 16 |
                              static_cast<std::uint32_t>(ground.g) << 8 |
                              static_cast<std::uint32_t>(ground.b);
  return {width, height,
          std::vector<std::uint32_t>(
              static_cast<std::size_t>(width) * static_cast<std::size_t>(height), value)};
}

void paint(Pixels& pixels, const Picture& picture, const geometry::Affine& map) {
  const SurfaceHandle surface = surface_on(pixels);
  {
    const CairoHandle cairo(cairo_create(surface.get()));
    const cairo_matrix_t m{map.a, map.b, map.c, map.d, map.e, map.f};
    cairo_transform(cairo.get(), &m);
    Painter(cairo.get()).paint(picture);
    require(cairo_status(cairo.get()));
  }
  cairo_surface_flush(surface.get());
}

void paint_through(Pixels& pixels, Pixels source, const Path& clip, const geometry::Affine& map) {
  BUCKRAM_ASSERT(source.width == pixels.width && source.height == pixels.height);
  const SurfaceHandle from = surface_on(source), onto = surface_on(pixels);
  {
    const CairoHandle cairo(cairo_create(onto.get()));
    for (std::size_t c = 0; c < clip.chains.size(); ++c) {
      for (int i = clip.chains[c].first; i < clip.end_of(c); ++i) {
        const geometry::Point p = map(clip.points[static_cast<std::size_t>(i)]);
        if (i == clip.chains[c].first)
          cairo_move_to(cairo.get(), p.x, p.y);
        else
          cairo_line_to(cairo.get(), p.x, p.y);
      }
      cairo_close_path(cairo.get());
    }
    cairo_set_source_surface(cairo.get(), from.get(), 0, 0);
    cairo_fill(cairo.get());
    require(cairo_status(cairo.get()));
  }
  cairo_surface_flush(onto.get());
}

}  // namespace buckram::report
