#include "report/svg.h"

#include <charconv>
#include <cmath>
#include <cstdint>

namespace buckram::report {
namespace {

constexpr const char* kSerif = "Charis SIL,Charter,Georgia,DejaVu Serif,serif";
constexpr const char* kSans = "Roboto,Segoe UI,Noto Sans,DejaVu Sans,sans-serif";

std::string escaped(std::string_view words) {
  std::string out;
  for (const char c : words) {
    if (c == '&')
      out += "&amp;";
    else if (c == '<')
      out += "&lt;";
    else if (c == '>')
      out += "&gt;";
    else if (c == '"')
      out += "&quot;";
    else
      out += c;
  }
  return out;
}

// At most `digits` decimals, no trailing zeros, no minus zero.
std::string number(double value, int digits = 2) {
  char buffer[40];
  const double scale = std::pow(10.0, digits);
  const double rounded = std::round(value * scale) / scale;
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, rounded == 0 ? 0.0 : rounded,
                                 std::chars_format::fixed, digits)
                       .ptr;
  std::string out(buffer, end);
  if (digits > 0) {
    while (out.back() == '0') out.pop_back();
    if (out.back() == '.') out.pop_back();
  }
  return out;
}

// Path data in relative hundredths: rounding happens once, on the absolute place, so that nothing
// drifts; signs and points part the numbers where they can.
class PathData {
 public:
  std::string of(const Path& path) {
    out_.reserve(path.points.size() * 9);
    for (std::size_t c = 0; c < path.chains.size(); ++c) {
      const int first = path.chains[c].first, end = path.end_of(c);
      step('m', path.points[static_cast<std::size_t>(first)], c == 0);
      const std::int64_t start_x = x_, start_y = y_;
      if (end - first == 1 && !path.chains[c].closed) out_ += "h0";  // a dot, by its round cap
      for (int i = first + 1; i < end; ++i)
        step('l', path.points[static_cast<std::size_t>(i)], false);
      if (!path.chains[c].closed) continue;
      out_ += 'z';
      x_ = start_x, y_ = start_y, last_ = 'z';
    }
    return std::move(out_);
  }

 private:
  void step(char command, geometry::Point p, bool absolute) {
    const auto x = static_cast<std::int64_t>(std::llround(p.x * 100));
    const auto y = static_cast<std::int64_t>(std::llround(p.y * 100));
    const bool is_repeat = command == last_ && command == 'l';
    if (!is_repeat) out_ += absolute ? 'M' : command;
    put(absolute ? x : x - x_, is_repeat);
    put(absolute ? y : y - y_, true);
    x_ = x, y_ = y, last_ = command;
  }

  void put(std::int64_t hundredths, bool needs_break) {
    char buffer[24];
    char* p = buffer;
    std::uint64_t rest = static_cast<std::uint64_t>(hundredths < 0 ? -hundredths : hundredths);
    if (hundredths < 0)
      *p++ = '-';
    else if (needs_break)
      *p++ = ' ';
    const std::uint64_t whole = rest / 100, part = rest % 100;
    if (whole > 0 || part == 0) p = std::to_chars(p, buffer + sizeof buffer, whole).ptr;
    if (part > 0) {
      *p++ = '.';
      *p++ = static_cast<char>('0' + part / 10);
      if (part % 10) *p++ = static_cast<char>('0' + part % 10);
    }
    out_.append(buffer, p);
  }

  std::string out_;
  std::int64_t x_ = 0, y_ = 0;
  char last_ = 0;
};

std::string path_data(const Path& path) {
  return PathData{}.of(path);
}

class Writer {
 public:
  void write(const Picture& picture) {
    for (const Item& item : picture.items) std::visit([this](const auto& it) { put(it); }, item);
  }
  std::string take() { return std::move(out_); }
  std::string take_clips() { return std::move(clips_); }

 private:
  void put(const Shape& shape) {
    if (shape.path.empty()) return;
    const bool is_shared = shape.pens.size() > 1;
    const std::string fill = shape.fill ? fill_of(*shape.fill) : " fill=\"none\"";
    if (!is_shared) {
      out_ += "<path" + fill + (shape.pens.empty() ? "" : pen_of(shape.pens[0])) + " d=\"" +
              path_data(shape.path) + "\"/>\n";
      return;
    }
    const std::string id = "p" + std::to_string(++n_paths_);
    // The shared path inherits everything from its users; the first use carries the fill.
    clips_ += "<path id=\"" + id + "\" d=\"" + path_data(shape.path) + "\"/>\n";
    for (std::size_t k = 0; k < shape.pens.size(); ++k)
      out_ += "<use xlink:href=\"#" + id + "\"" + (k == 0 ? fill : " fill=\"none\"") +
              pen_of(shape.pens[k]) + "/>\n";
  }

  void put(const Disc& disc) {
    out_ += "<circle cx=\"" + number(disc.middle.x) + "\" cy=\"" + number(disc.middle.y) +
            "\" r=\"" + number(disc.radius_mm, 3) + "\"" +
            (disc.fill ? fill_of(*disc.fill) : " fill=\"none\"") +
            (disc.pen ? pen_of(*disc.pen) : "") + "/>\n";
  }

  void put(const Text& text) {
    if (text.words.empty()) return;
    if (text.halo_mm > 0) {
      Text under = text;
      under.halo_mm = 0;
      under.type.colour = text.halo;
      put_text(under, pen_of({text.halo, text.halo_mm, {}, true}) + " aria-hidden=\"true\"");
    }
    put_text(text, "");
  }

  void put_text(const Text& text, const std::string& more) {
    const Type& type = text.type;
    const std::string x = number(text.at.x), y = number(text.at.y);
    out_ += "<text x=\"" + x + "\" y=\"" + y + "\" font-family=\"" +
            (type.face == Face::serif ? kSerif : kSans) + "\" font-size=\"" +
            number(type.size_mm, 3) + "\"" + fill_of(type.colour);
    if (type.weight != 400) out_ += " font-weight=\"" + std::to_string(type.weight) + "\"";
    if (type.italic) out_ += " font-style=\"italic\"";
    if (type.tracking_em != 0)
      out_ += " letter-spacing=\"" + number(type.tracking_em * type.size_mm, 3) + "\"";
    if (text.anchor != Anchor::start)
      out_ += text.anchor == Anchor::middle ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
    if (text.turn_deg != 0)
      out_ += " transform=\"rotate(" + number(text.turn_deg) + " " + x + " " + y + ")\"";
    out_ += more + ">" + escaped(clean_words(text.words)) + "</text>\n";
  }

  void put(const Open& open) {
    out_ += "<g";
    if (!open.id.empty()) out_ += " id=\"" + escaped(open.id) + "\"";
    if (!(open.map == geometry::Affine{})) out_ += " transform=\"" + matrix(open.map) + "\"";
    if (open.opacity < 1) out_ += " opacity=\"" + number(open.opacity, 3) + "\"";
    if (open.clip) {
      const std::string id = "c" + std::to_string(++n_clips_);
      clips_ += "<clipPath id=\"" + id + "\"><path clip-rule=\"evenodd\" d=\"" +
                path_data(*open.clip) + "\"/></clipPath>\n";
      out_ += " clip-path=\"url(#" + id + ")\"";
    }
    out_ += ">\n";
  }

  void put(const Close&) { out_ += "</g>\n"; }

  static std::string matrix(const geometry::Affine& m) {
    return "matrix(" + number(m.a, 5) + " " + number(m.b, 5) + " " + number(m.c, 5) + " " +
           number(m.d, 5) + " " + number(m.e, 4) + " " + number(m.f, 4) + ")";
  }
  static std::string fill_of(Colour colour) {
    std::string out = " fill=\"" + hex(colour) + "\" fill-rule=\"evenodd\"";
    if (colour.opacity < 1) out += " fill-opacity=\"" + number(colour.opacity, 3) + "\"";
    return out;
  }
  static std::string pen_of(const Pen& pen) {
    std::string out =
        " stroke=\"" + hex(pen.colour) + "\" stroke-width=\"" + number(pen.width_mm, 3) + "\"";
    if (pen.colour.opacity < 1) out += " stroke-opacity=\"" + number(pen.colour.opacity, 3) + "\"";
    if (pen.round) out += " stroke-linecap=\"round\" stroke-linejoin=\"round\"";
    if (pen.dash.empty()) return out;
    out += " stroke-dasharray=\"";
    for (std::size_t i = 0; i < pen.dash.size(); ++i)
      out += (i ? " " : "") + number(pen.dash[i], 3);
    return out + "\"";
  }

  std::string out_, clips_;
  int n_clips_ = 0, n_paths_ = 0;
};

}  // namespace

std::string write_svg(const Picture& picture, const SvgPage& page) {
  Writer writer;
  writer.write(picture);
  const std::string w = number(page.view.width()), h = number(page.view.height());
  std::string out =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" "
      "xmlns:xlink=\"http://www.w3.org/1999/xlink\" version=\"1.1\" width=\"" +
      w + "mm\" height=\"" + h + "mm\" viewBox=\"" + number(page.view.x0) + " " +
      number(page.view.y0) + " " + w + " " + h + "\" role=\"img\">\n<title>" +
      escaped(clean_words(page.title)) + "</title>\n<desc>" +
      escaped(clean_words(page.description)) + "</desc>\n<defs>\n";
  out += writer.take_clips();
  out += "</defs>\n";
  out += writer.take();
  return out + "</svg>\n";
}

}  // namespace buckram::report
