#include "report/picture.h"

#include "base/base.h"

namespace buckram::report {
namespace {

// Length of the well-formed UTF-8 sequence that starts at `at`, or 0 (RFC 3629, section 4).
std::size_t sequence_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u;
  };
  const unsigned lead = byte(at);
  if (lead < 0x80) return 1;
  const std::size_t n = lead >= 0xc2 && lead < 0xe0   ? 2
                        : lead >= 0xe0 && lead < 0xf0 ? 3
                        : lead >= 0xf0 && lead < 0xf5 ? 4
                                                      : 0;
  for (std::size_t k = 1; k < n; ++k)
    if ((byte(at + k) & 0xc0) != 0x80) return 0;
  const unsigned second = byte(at + 1);
  const bool is_overlong = (lead == 0xe0 && second < 0xa0) || (lead == 0xf0 && second < 0x90);
  const bool is_beyond = (lead == 0xed && second >= 0xa0) || (lead == 0xf4 && second >= 0x90);
  return is_overlong || is_beyond ? 0 : n;
}

bool is_control(std::string_view sequence) {
  const auto lead = static_cast<unsigned char>(sequence[0]);
  if (lead < 0x20 || lead == 0x7f) return true;
  if (sequence == "\xef\xbf\xbe" || sequence == "\xef\xbf\xbf") return true;  // not allowed in XML
  return lead == 0xc2 && static_cast<unsigned char>(sequence[1]) < 0xa0;
}

}  // namespace

void Path::move(geometry::Point p) {
  chains.push_back({static_cast<int>(points.size()), false});
  points.push_back(p);
}

void Path::line(geometry::Point p) {
  BUCKRAM_ASSERT(!chains.empty());
  points.push_back(p);
}

void Path::close() {
  BUCKRAM_ASSERT(!chains.empty());
  chains.back().closed = true;
}

void Path::add(const geometry::Polyline& more, bool closed) {
  if (more.empty()) return;
  chains.push_back({static_cast<int>(points.size()), closed});
  points.insert(points.end(), more.begin(), more.end());
}

void Path::segment(geometry::Point a, geometry::Point b) {
  move(a);
  line(b);
}

void Path::box(const geometry::Box& b) {
  add({{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}}, true);
}

int Path::end_of(std::size_t chain) const {
  return chain + 1 < chains.size() ? chains[chain + 1].first : static_cast<int>(points.size());
}

void Picture::fill(Path path, Colour colour) {
  items.push_back(Shape{std::move(path), colour, {}});
}

void Picture::stroke(Path path, Pen pen) {
  items.push_back(Shape{std::move(path), {}, {std::move(pen)}});
}

void Picture::draw(Path path, std::optional<Colour> fill_colour, Pen pen) {
  items.push_back(Shape{std::move(path), fill_colour, {std::move(pen)}});
}

void Picture::place(const Picture& other, const geometry::Affine& map, std::optional<Path> clip) {
  items.push_back(Open{map, std::move(clip), 1, {}});
  items.insert(items.end(), other.items.begin(), other.items.end());
  items.push_back(Close{});
}

geometry::Affine shift(double x, double y, double scale) {
  return {scale, 0, 0, scale, x, y};
}

Path rectangle(double x, double y, double width, double height) {
  Path path;
  path.box({x, y, x + width, y + height});
  return path;
}

Path line_between(geometry::Point a, geometry::Point b) {
  Path path;
  path.segment(a, b);
  return path;
}

std::string clean_words(std::string_view words) {
  std::string out;
  for (std::size_t i = 0; i < words.size();) {
    const std::size_t n = sequence_length(words, i);
    if (n == 0) {
      out += '?';
      ++i;
      continue;
    }
    const std::string_view sequence = words.substr(i, n);
    if (is_control(sequence))
      out += ' ';
    else
      out += sequence;
    i += n;
  }
  return out;
}

}  // namespace buckram::report
